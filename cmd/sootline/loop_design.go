package main

import (
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// designFlags are what is typed of a design.
type designFlags struct {
	choice                     app.DesignChoice
	isolators, at              string
	beside                     []string
	risers, loads              []string
	rule                       int
	points, chart, write, json bool
	strict, sure               bool
}

func loopDesign(s *session) *cobra.Command {
	var flags designFlags
	cmd := &cobra.Command{
		Use: "design TABLE", Short: "Make loops of what areas want, before there is a register",
		Long: "Make loops of what areas want: a table with a line an area (area, floor, m2 or width and depth, x\n" +
			"and y of its corner) and a column for each type, headed by its name; or, with a column type, a\n" +
			"line a place. The program finds the order of the cable, the numbers, the metres, the fewest\n" +
			"isolators that keep the rules of the site, and the smallest cross-section of which the verdict\n" +
			"is shown. What feeds the loops is what `loop supply` says of one of the panel. Everything that\n" +
			"was assumed is listed. Nothing is written down without --write.",
		Example: "  sootline loop design counts.csv --at 0,0,0 --riser 2,8\n  sootline loop design counts.csv --beside \"mm2=2.5 spare=30\"\n" +
			"  sootline loop design counts.csv --write",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := flags.fill(cmd.Flags().Changed); err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error { return s.design(cmd, a, site, args[0], &flags) })
		},
	}
	f := cmd.Flags()
	f.StringVar(&flags.choice.Panel, "panel", "", "the panel whose loops they are to be (default the first one)")
	f.StringVar(&flags.choice.Like, "like", "", "the loop that is fed as these will be (default the first of the panel)")
	f.IntVar(&flags.choice.Most, "most", 0, "numbers that a loop may have (default as its span allows)")
	f.Float64Var(&flags.choice.Spare, "spare", -1, "per cent of the numbers kept for later (default 20)")
	f.IntVar(&flags.choice.Loops, "loops", 0, "how many loops (default as few as do)")
	f.Float64Var(&flags.choice.MM2, "mm2", 0, "cross-section of the cable (default the smallest that does)")
	f.StringVar(&flags.isolators, "isolators", "fewest", "fewest, or every: one in every base")
	f.StringVar(&flags.at, "at", "", "where the panel is: metres across, metres along, floor (default 0,0,0)")
	f.StringSliceVar(&flags.risers, "riser", nil, "where cable goes from floor to floor, as ACROSS/ALONG in metres; repeat")
	f.Float64Var(&flags.choice.Storey, "storey", 0, "metres of cable from floor to floor (default 4)")
	f.Float64Var(&flags.choice.Slack, "slack", -1, "metres of cable a device besides (default 2)")
	f.StringArrayVar(&flags.beside, "beside", nil, "a second design beside it, by what is otherwise: mm2=2.5 spare=30 loops=2 most=99 isolators=every")
	f.StringArrayVar(&flags.loads, "load", nil, "what hangs on the panel besides, NAME=COUNTxREST/ALARM in mA; repeat")
	f.IntVar(&flags.rule, "rule", 1, "rule set of the battery; `standby --rules` lists them")
	f.BoolVar(&flags.points, "points", false, "list every place in the order of the cable")
	f.BoolVar(&flags.chart, "chart", false, "draw the longest cable by devices and cross-section")
	f.BoolVar(&flags.sure, "sure", false, "with --write: it is so, the same places are meant once more")
	f.BoolVar(&flags.write, "write", false, "write the places into the register, for the bench")
	f.BoolVar(&flags.json, "json", false, "print JSON, as docs/formats/json.md describes it")
	f.BoolVar(&flags.strict, "strict", false, "exit 1 unless the verdict of every loop is shown")
	return cmd
}

// fill reads the flags that are words.
func (f *designFlags) fill(changed func(string) bool) error {
	f.choice.Every = f.isolators == "every"
	if f.isolators != "every" && f.isolators != "fewest" {
		return sootline.Errorf(sootline.Invalid, "", "isolators are fewest or every, found %q", f.isolators)
	}
	if changed("spare") && f.choice.Spare < 0 || changed("slack") && f.choice.Slack < 0 {
		return sootline.Errorf(sootline.Invalid, "", "what is kept to spare and the slack are from 0")
	}
	return f.choice.Place(f.at, strings.Join(f.risers, " "))
}

// otherwise gives the choice of the second design.
func (f *designFlags) otherwise() (app.DesignChoice, error) {
	other := f.choice
	for _, part := range strings.FieldsFunc(strings.Join(f.beside, " "), func(r rune) bool { return r == ' ' || r == ',' }) {
		if err := other.Change(part); err != nil {
			return other, err
		}
	}
	return other, nil
}

func (s *session) design(cmd *cobra.Command, a *app.App, site store.SiteLine, name string, flags *designFlags) error {
	r, err := a.Register(cmd.Context(), site.ID, now())
	if err != nil {
		return err
	}
	brief, err := s.readBrief(name, r)
	if err != nil {
		return err
	}
	if a.Working != nil {
		a.Working(app.Progress{What: "laying loops"})
	}
	d, err := app.DesignLoops(r, brief, flags.choice)
	s.progress.clear()
	if err != nil {
		return err
	}
	if flags.json {
		if err := printJSON(s.out, shape.OfDesign(d)); err != nil {
			return err
		}
	} else if err := s.printDesign(r, brief, d, flags); err != nil {
		return err
	}
	if flags.write {
		d.Sure = flags.sure
		return s.writeDesign(cmd, a, site, d, name)
	}
	if flags.strict && !d.Shown() {
		return errFindings
	}
	return nil
}

func (s *session) readBrief(name string, r *sootline.Register) (*app.DesignBrief, error) {
	var from io.Reader = os.Stdin
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, sootline.Errorf(sootline.NotFound, "the handbook's page design.md shows such a table", "%w", err)
		}
		defer f.Close() //nolint:errcheck // it was only read
		from = f
	}
	return app.ReadDesignBrief(from, r)
}

func (s *session) printDesign(r *sootline.Register, brief *app.DesignBrief, d *app.Design, flags *designFlags) error {
	s.headings(wrap("Design "+d.Headline(), 0))
	var rows [][]string
	for _, l := range d.Loops {
		rows = append(rows, l.Cells())
	}
	printTable(s.out, app.DesignHeads, rows) //nolint:errcheck // as for every line of a report
	fmt.Fprintf(s.out, "%s\n\n", wrap(app.DesignKey, 0))
	for _, l := range d.Loops {
		s.printDesigned(l, flags.points)
	}
	if err := s.printDesignBattery(d, flags); err != nil {
		return err
	}
	if len(flags.beside) > 0 {
		if err := s.printBeside(r, brief, d, flags); err != nil {
			return err
		}
	}
	if flags.chart {
		chart, err := app.LongestCables(r, d)
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "\n%s\n", chart.Picture().Text(s.columns()-4))
	}
	fmt.Fprintln(s.out, "\nAssumed, because nobody said otherwise:")
	for _, one := range d.Assumed {
		fmt.Fprintf(s.out, "  - %s\n", wrap(one.String(), 4))
	}
	s.circuitCaution()
	if !flags.write {
		fmt.Fprintln(s.out, "\nNothing is written down. Next: the same with --write, then sootline bench begin")
	}
	return nil
}

// printDesigned tells of one loop.
func (s *session) printDesigned(l *app.DesignedLoop, points bool) {
	say := func(label, text string) {
		if text != "" {
			label = fmt.Sprintf("  %-14s", label+":")
			fmt.Fprintf(s.out, "%s%s\n", label, wrap(text, len(label)))
		}
	}
	fmt.Fprintf(s.out, "%s\n", wrap(fmt.Sprintf("Loop %s: %s", l, l.Power.Verdict()), 0))
	say("would settle", l.Power.Settles())
	say("least left", l.Power.Least())
	for _, b := range l.Power.Broken {
		say("rule broken", b.Sentence(l.Power.Circuit))
	}
	say("isolators", l.Isolators.Reason)
	if at := l.IsolatorNumbers(); at != "" {
		say("in bases of", at)
	}
	if points {
		printTable(s.out, app.PointHeads, l.Listed()) //nolint:errcheck // as for every line of a report
	}
	fmt.Fprintln(s.out)
}

func (s *session) printDesignBattery(d *app.Design, flags *designFlags) error {
	var added []app.Drain
	for _, text := range flags.loads {
		load, err := parseLoad(text)
		if err != nil {
			return err
		}
		added = append(added, load)
	}
	text, err := d.BatterySentence(added, flags.rule)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintln(s.out, wrap(text, 0))
	return err
}

func (s *session) printBeside(r *sootline.Register, brief *app.DesignBrief, d *app.Design, flags *designFlags) error {
	choice, err := flags.otherwise()
	if err != nil {
		return err
	}
	other, err := app.DesignLoops(r, brief, choice)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, b := range app.BesideOf(d, other) {
		rows = append(rows, []string{b.What, b.One, b.Other})
	}
	fmt.Fprintln(s.out)
	return printTable(s.out, []string{"side by side", "as chosen", strings.Join(flags.beside, " ")}, rows)
}

func (s *session) writeDesign(cmd *cobra.Command, a *app.App, site store.SiteLine, d *app.Design, name string) error {
	act, err := a.WriteDesign(cmd.Context(), site.ID, d, name)
	if err != nil {
		return err
	}
	taken, _ := act.Body.(sootline.Taken)
	_, err = fmt.Fprintf(s.out, "\nWritten: %s places with their numbers, types, cable and isolators.\nThis is act %s; it is taken back whole with: sootline take undo %s --site %s\nNext: sootline bench begin --order cable\n",
		strconv.Itoa(taken.Added[sootline.FittedKind]), taken.Name, taken.Name, shellWord(site.Name))
	return err
}
