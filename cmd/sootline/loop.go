package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type loopFlags struct {
	on      string
	what    app.WhatIf
	ask     app.Ask
	file    string
	atOnce  int
	every   bool
	json    bool
	strict  bool
	changed func(string) bool
}

func loopCommand(s *session) *cobra.Command {
	var flags loopFlags
	cmd := &cobra.Command{
		Use:   "loop [LOOP]",
		Short: "Solve a loop as the circuit that it is, healthy and under every single fault",
		Long: "Solve a loop as the direct-current circuit that it is: healthy, and under every single open\n" +
			"and short, with the devices in alarm where they hurt most. Cable lengths and spurs come from\n" +
			"the schedule, currents and least volts from the type sheets, what feeds it from `loop supply`,\n" +
			"floors and square metres from `site area`, rules from `site facts --follows`. The verdict is\n" +
			"shown (proved for every state and choice of alarms), not shown (with the fact or measurement\n" +
			"that would settle it), or fails (with a state that does). What nobody wrote down is taken on\n" +
			"its unsafe side for the verdict; for the figures something usual is assumed, said and counted. Devices of kind isolator, and those with the setting isolator=yes, open towards a\n" +
			"short on both sides; isolator=after, before or branch, on one.\n\n" +
			"--what-if FILE lays a file over the loop; without LOOP the file is the whole loop, and no\n" +
			"book is needed. Its format is in docs/formats/loop.md. Nothing is written down.",
		Example: "  sootline loop\n  sootline loop 1.2 --pairs\n  sootline loop 1.2 --add 6 --type Sounder\n" +
			"  sootline loop 1.2 --what-if longer.json\n  sootline loop 1.2 --in-alarm 1.2.004,1.2.009 --fault break@1.2.007",
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			flags.changed = cmd.Flags().Changed
			return s.loops(cmd, args, flags)
		},
	}
	f := cmd.Flags()
	f.StringVar(&flags.on, "on", "", "as of the end of this day (default now)")
	f.StringVar(&flags.file, "what-if", "", "lay this file over the loop")
	f.Float64Var(&flags.what.Volts, "volts", 0, "what if the panel gave these volts")
	f.Float64Var(&flags.what.MM2, "mm2", 0, "what if the cable had this cross-section, in square millimetres")
	f.IntVar(&flags.what.Add, "add", 0, "what if so many devices more stood before the panel's IN end")
	f.StringVar(&flags.what.Type, "type", "", "the type of the devices that are added")
	f.StringVar(&flags.what.Base, "isolator", "", "what if this point had an isolator in its base")
	f.IntVar(&flags.atOnce, "alarms", 0, "what if so many devices were in alarm at once, where they hurt most")
	f.StringSliceVar(&flags.what.InAlarm, "in-alarm", nil, "what if exactly these points were in alarm")
	f.StringSliceVar(&flags.ask.Faults, "fault", nil, "a fault besides: break@POINT or short@POINT on the cable that leads to POINT or IN, plus@ or minus@ for one core; repeat for two at once")
	f.BoolVar(&flags.ask.Pairs, "pairs", false, "look at every two breaks at once too")
	f.BoolVar(&flags.every, "faults", false, "list every single fault, with what it leaves and what it takes")
	f.BoolVar(&flags.json, "json", false, "print JSON, as docs/formats/json.md describes it")
	f.BoolVar(&flags.strict, "strict", false, "exit 1 unless the verdict is shown")
	cmd.AddCommand(loopDesign(s), loopAdvise(s), loopShort(s), loopBreak(s), loopEarth(s), loopSupply(s), loopRadial(s), loopLead(s))
	return cmd
}

func (s *session) loops(cmd *cobra.Command, args []string, flags loopFlags) error {
	if flags.changed("alarms") {
		flags.what.AtOnce = &flags.atOnce
	}
	if flags.file != "" {
		var err error
		if flags.what.File, err = readLoopFile(flags.file); err != nil {
			return err
		}
		if len(args) == 0 {
			flags.ask.Turns = true
			power, err := app.FilePower(flags.what, flags.ask)
			if err != nil {
				return err
			}
			return s.tellPowers([]*app.Power{power}, nil, flags, true)
		}
	}
	return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
		return s.siteLoops(cmd, a, site, args, flags)
	})
}

func readLoopFile(name string) (what *app.LoopFile, err error) {
	f, err := os.Open(name)
	if err != nil {
		code := sootline.Unavailable
		if errors.Is(err, fs.ErrNotExist) {
			code = sootline.NotFound
		}
		return nil, sootline.Errorf(code, "docs/formats/loop.md shows such a file", "%w", err)
	}
	defer f.Close() //nolint:errcheck // it was only read
	if what, err = app.ReadLoopFile(f); err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "docs/formats/loop.md describes such a file", "%s: %w", name, err)
	}
	return what, nil
}

// siteLoops solves the loops of a site.
func (s *session) siteLoops(cmd *cobra.Command, a *app.App, site store.SiteLine, args []string, flags loopFlags) error {
	on, err := (&viewFlags{on: flags.on}).when(cmd, a, site)
	if err != nil {
		return err
	}
	r, err := a.Register(cmd.Context(), site.ID, on)
	if err != nil {
		return err
	}
	asked := r.Loops()
	radials, err := app.RadialPowers(r, "")
	if err != nil {
		return err
	}
	if len(args) == 1 {
		id, err := parseLoopID(args[0])
		if err != nil {
			return err
		}
		radials = slices.DeleteFunc(radials, func(p *app.RadialPower) bool { return p.Kept.ID() != id })
		if len(radials) > 0 && !slices.ContainsFunc(asked, func(l sootline.Loop) bool { return l.LoopID == id }) {
			return s.tellPowers(nil, radials, flags, true)
		}
		asked, flags.ask.Turns = []sootline.Loop{r.Loop(id)}, true
	}
	if len(args) == 0 { // a loop that is described and has no point is no circuit yet
		with := map[sootline.LoopID]bool{}
		for _, p := range r.Points() {
			with[p.LoopID()] = true
		}
		asked = slices.DeleteFunc(slices.Clone(asked), func(l sootline.Loop) bool { return !with[l.LoopID] })
	}
	if len(asked)+len(radials) == 0 && !flags.json {
		_, err := fmt.Fprintf(s.out, "Site %s has no loop with points yet. Take in its schedule:\n\n  sootline take schedule.csv --site %s\n", r.Site.Name, shellWord(r.Site.Name))
		return err
	}
	var powers []*app.Power
	for _, loop := range asked {
		if a.Working != nil {
			a.Working(app.Progress{What: "solving loop " + loop.String()})
		}
		power, err := app.LoopPower(r, loop.LoopID, flags.what, flags.ask)
		if err != nil {
			return err
		}
		powers = append(powers, power)
	}
	s.progress.clear()
	return s.tellPowers(powers, radials, flags, len(args) == 1)
}

func (s *session) tellPowers(powers []*app.Power, radials []*app.RadialPower, flags loopFlags, whole bool) error {
	troubled := false
	for _, p := range powers {
		troubled = troubled || !p.Shown()
		if !flags.json {
			s.printPower(p, whole, flags.every)
		}
	}
	for _, p := range radials {
		troubled = troubled || !p.Shown()
		if !flags.json {
			s.printRadial(p, whole)
		}
	}
	if flags.json {
		if err := printJSON(s.out, shape.OfLoops(powers, radials, flags.every)); err != nil {
			return err
		}
	} else {
		s.circuitCaution()
	}
	if flags.strict && troubled {
		return errFindings
	}
	return nil
}

func (s *session) circuitCaution() { fmt.Fprintf(s.out, "\n%s\n", wrap(app.CircuitCaution, 0)) }

// printPower tells what a loop comes to: in short, or with its drawing and
// everything that was assumed.
func (s *session) printPower(p *app.Power, whole, every bool) {
	s.headings(wrap(fmt.Sprintf("Loop %s: %s", p.Name, p.Verdict()), 0))
	say := func(label, text string) {
		if text == "" {
			return
		}
		label = fmt.Sprintf("  %-14s", label+":")
		fmt.Fprintf(s.out, "%s%s\n", label, wrap(text, len(label)))
	}
	c := p.Circuit
	say("would settle", p.Settles())
	say("as taken", p.AsTaken())
	say("least left", p.Least())
	say("not written", p.Guessed())
	say("healthy", c.Sentence(&p.Survey.Healthy))
	say("worst", c.Sentence(&p.Survey.Worst))
	if p.Pair != nil {
		say("worst pair", c.Sentence(&p.Pair.Outcome)+"; "+p.Pair.Loss.Sentence())
	}
	if p.Given != nil {
		say("as asked", c.Sentence(&p.Given.Outcome)+"; "+p.Given.Loss.Sentence())
	}
	if whole {
		say("current", p.Currents())
		say("limit", p.LimitSentence())
		say("any order", p.Restart.Reason)
		for _, text := range p.Cable {
			say("cable", text)
		}
		say("takes most", "with "+c.Describe(p.Most.Faults)+", "+p.Most.Loss.Sentence())
	}
	for _, b := range p.Broken {
		say("rule broken", b.Sentence(c))
	}
	if whole {
		say("rules kept", strings.Join(p.Kept, "; "))
		say("rules untold", strings.Join(p.Untold, "; "))
		for _, text := range p.Turns {
			say("may be off", text)
		}
	}
	s.printMeters(p.Meters, whole, say)
	if every {
		s.printFaults(p)
	}
	if !whole {
		if len(p.Assumed) > 0 {
			fmt.Fprintf(s.out, "  %s; `sootline loop %s` says which\n", count(len(p.Assumed), "thing was assumed", "things were assumed"), p.Name)
		}
		return
	}
	fmt.Fprintf(s.out, "\n%s\n", p.Picture().Text(s.columns()-4))
	s.printAssumed(p.Assumed)
	fmt.Fprintf(s.out, "%s\n", s.wrap(app.SourceWords, 0))
}

// printMeters tells how what was measured stands to what is calculated, and what changed; in short the one that is off.
func (s *session) printMeters(m *app.LoopMeasured, whole bool, say func(label, text string)) {
	if m == nil {
		return
	}
	for i := range m.Last {
		if one := &m.Last[i]; whole || one.Off() != 0 {
			say("measured", one.Sentence())
		}
	}
	for _, text := range m.Insulation {
		if whole {
			say("insulation", text)
		}
	}
	for _, text := range m.Changes {
		if whole {
			say("since", text)
		}
	}
}

func (s *session) printAssumed(assumed []string) {
	if len(assumed) > 0 {
		fmt.Fprintln(s.out, "Assumed, because nobody wrote it down:")
	}
	for _, what := range assumed {
		fmt.Fprintf(s.out, "  - %s\n", wrap(what, 4))
	}
}

// printFaults lists every single fault.
func (s *session) printFaults(p *app.Power) {
	var rows [][]string
	for _, f := range p.Singles {
		at, volts, margin := "nobody is fed", "", ""
		switch {
		case !f.Exists:
			at = "no operating point"
		case f.Point >= 0:
			at, volts, margin = p.Circuit.Loop().Points[f.Point].Name, fmt.Sprintf("%.2f", f.Volts), fmt.Sprintf("%.2f", f.Margin)
		}
		area := ""
		if f.Loss.Area > 0 {
			area = fmt.Sprintf("%.0f", f.Loss.Area)
		}
		rows = append(rows, []string{
			p.Circuit.Describe(f.Faults), at, volts, margin, fmt.Sprint(len(f.Loss.Points)), fmt.Sprint(f.Loss.Counted), strings.Join(f.Loss.Zones, " "), area,
		})
	}
	fmt.Fprintln(s.out)
	printTable(s.out, []string{"fault", "worst at", "V", "margin V", "lost", "counted", "zones", "m2"}, rows) //nolint:errcheck // as for every line of a report
}

func parseLoopID(text string) (sootline.LoopID, error) {
	loop, err := parseLoop(text)
	return sootline.LoopID{Panel: loop.Panel, Name: loop.Loop}, err
}

func loopAdvise(s *session) *cobra.Command {
	var typ string
	var asJSON bool
	cmd := &cobra.Command{
		Use: "advise LOOP", Short: "Say how much more a loop can carry, and what would help most",
		Long: "Say how much longer the cable may be, which cross-section would do, where one more isolator\n" +
			"helps most, and, with --type, how many more of a device fit and where: each with its reason.",
		Example: "  sootline loop advise 1.2 --type Sounder",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := parseLoopID(args[0])
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				advice, err := a.AdviseLoop(cmd.Context(), site.ID, now(), id, typ)
				s.progress.clear()
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfAdvice(id, advice))
				}
				s.printAdvice(advice)
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&typ, "type", "", "the type of device of which more are wanted")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, as docs/formats/json.md describes it")
	return cmd
}

func (s *session) printAdvice(advice *app.LoopAdvice) {
	say := func(format string, args ...any) { fmt.Fprintf(s.out, "- %s\n", wrap(fmt.Sprintf(format, args...), 2)) }
	say("longer cable: %.2f times as long at most, %v in all: %s", advice.Stretch.Factor, advice.Stretch.Metres, advice.Stretch.Reason)
	say("cross-section: %s", advice.CrossSection.Reason)
	if advice.NextIsolator != nil {
		say("one more isolator: %s", advice.NextIsolator.Reason)
	}
	say("isolators as a set: %s", advice.Isolators.Sentence())
	if len(advice.Rooms) > 0 {
		best := advice.Rooms[0]
		say("more of type %s: %d fit %s, where the most do, and the loop has %d numbers left: %s", advice.Type, best.More, best.Between, advice.Numbers, best.Reason)
	}
	if len(advice.Assumed) > 0 {
		fmt.Fprintln(s.out)
	}
	s.printAssumed(advice.Assumed)
	s.circuitCaution()
}
