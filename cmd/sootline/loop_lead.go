package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type leadFlags struct {
	told  app.FaultTold
	ask   bool
	write bool
	grade string
	json  bool
}

func loopLead(s *session) *cobra.Command {
	var flags leadFlags
	cmd := &cobra.Command{
		Use: "find LOOP", Short: "Find a fault step by step, from what the panel says",
		Long: "Find a fault step by step: from what the panel says, with a multimeter, a screwdriver and the\n" +
			"panel's list of who answers. Each time it says the step that tells most for its minutes; the\n" +
			"devices stay in. Tell its answer with --told, after all that was told before: so a search can be\n" +
			"left and gone on with, and any other step may be told too.\n\n" +
			"  --panel \"says open; silent 16-29; out 42; in 38\"   any part may be left out; mA\n" +
			"  --told \"out/list: silent 16-29\"                    a step, a colon and its answer\n\n" +
			"What the panel says: open, short, earth, double (with: twice 12), missing, current (too high),\n" +
			"ohms (too many round the loop), nothing. An answer may be wrong; one that fits nothing is named.\n" +
			"With --ask it asks for each answer in turn. Nothing is written down without --write.",
		Example: "  sootline loop find 1.2 --panel \"says open\"\n  sootline loop find 1.2 --panel \"says open\" --told \"out/list: answers 1-15\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			loop, err := parseLoopID(args[0])
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.leadLoop(cmd, a, site, loop, &flags)
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&flags.told.Panel, "panel", "", "what the panel says with both ends plugged in")
	f.StringArrayVar(&flags.told.Told, "told", nil, "a step with its answer, as STEP: ANSWER; repeat in order")
	f.BoolVar(&flags.told.NoMeter, "no-meter", false, "no multimeter is at hand")
	f.BoolVar(&flags.ask, "ask", false, "ask for each answer in turn, until the end or an empty line")
	f.BoolVar(&flags.write, "write", false, "write the end of the search down as a defect")
	f.StringVar(&flags.grade, "grade", string(sootline.SeriousDefect), "how grave that defect is: minor, serious or critical")
	f.BoolVar(&flags.json, "json", false, "print JSON, as docs/formats/json.md describes it")
	return cmd
}

func (s *session) leadLoop(cmd *cobra.Command, a *app.App, site store.SiteLine, loop sootline.LoopID, flags *leadFlags) error {
	if flags.write {
		e, err := a.NoteFault(cmd.Context(), site.ID, loop, flags.told, sootline.DefectGrade(flags.grade), app.Note{})
		if err != nil {
			return err
		}
		return s.tellDefect(cmd, a, site, e.ID)
	}
	lead, err := a.LeadFault(cmd.Context(), site.ID, loop, flags.told)
	if err != nil {
		return err
	}
	if flags.json {
		return printJSON(s.out, shape.OfLead(lead))
	}
	if err := s.printLead(lead, flags); err != nil {
		return err
	}
	for flags.ask && lead.Next != nil {
		answer, err := s.ask("\nAnswer (an empty line leaves off): ")
		if err != nil || answer == "" {
			return nil
		}
		if lead, err = s.answerLead(cmd, a, site, loop, flags, lead, answer); err != nil {
			return err
		}
		if err := s.printLead(lead, flags); err != nil {
			return err
		}
	}
	return nil
}

// answerLead takes the answer to a step. One that cannot be read is said, and the step asked again.
func (s *session) answerLead(cmd *cobra.Command, a *app.App, site store.SiteLine, loop sootline.LoopID, flags *leadFlags, lead *app.Lead, answer string) (*app.Lead, error) {
	told := flags.told
	told.Told = append(slices.Clone(told.Told), lead.Next.Code+": "+answer)
	next, err := a.LeadFault(cmd.Context(), site.ID, loop, told)
	switch sootline.ErrorCode(err) {
	case sootline.Invalid, sootline.NotFound:
		fmt.Fprintf(s.out, "That cannot be read: %s.\n", err)
		return lead, nil
	case sootline.Conflict:
		fmt.Fprintf(s.out, "That is not taken: %s: %s.\n", err, sootline.ErrorHint(err))
		return lead, nil
	}
	if err != nil {
		return nil, err
	}
	flags.told = told
	return next, nil
}

func (s *session) printLead(l *app.Lead, flags *leadFlags) error {
	for _, warned := range l.Warned {
		fmt.Fprintf(s.out, "%s\n", wrap(warned, 0))
	}
	fmt.Fprintf(s.out, "%s\n", wrap(l.Conclusion(), 0))
	for _, v := range l.Likely[1:] {
		fmt.Fprintf(s.out, "  or %s\n", wrap(v.Text, 5))
	}
	if other := l.Other(); other != "" {
		fmt.Fprintf(s.out, "  or %s\n", wrap(other, 5))
	}
	if doubt := l.Doubt(); doubt != "" {
		fmt.Fprintf(s.out, "%s\n", wrap(doubt, 0))
	}
	if n := l.Next; n != nil {
		fmt.Fprintf(s.out, "\nNext, about %s:\n", count(n.Minutes, "minute", "minutes"))
		for _, line := range n.Do {
			fmt.Fprintf(s.out, "- %s\n", wrap(line, 2))
		}
		if n.Caution != "" {
			fmt.Fprintf(s.out, "  %s\n", wrap(n.Caution, 2))
		}
		fmt.Fprintln(s.out)
		fmt.Fprintf(s.out, "Tell: %s\n", s.typed(6, leadCommand(l.Loop, flags, fmt.Sprintf("--told \"%s: ...\"", n.Code))))
		fmt.Fprintf(s.out, "  %s\n", wrap("instead of the dots "+n.Expects, 2))
	} else if l.Writable() {
		fmt.Fprintf(s.out, "Write it down: %s\n", s.typed(15, leadCommand(l.Loop, flags, "--write")))
	}
	if len(l.Restore) > 0 && l.Next == nil {
		fmt.Fprintf(s.out, "Before you leave: %s\n", wrap(strings.Join(l.Restore, " "), 0))
	}
	if l.Spurs > 0 {
		fmt.Fprintf(s.out, "%s\n", wrap(fmt.Sprintf("Not searched: %s.", count(l.Spurs, "point on a spur", "points on spurs")), 0))
	}
	if len(l.Assumed) > 0 {
		fmt.Fprintln(s.out)
	}
	s.printAssumed(l.Assumed)
	s.circuitCaution()
	return caution(s)
}

// leadCommand is the command that goes on from here.
func leadCommand(loop string, flags *leadFlags, then string) []string {
	parts := []string{"sootline loop find " + loop}
	if flags.told.Panel != "" {
		parts = append(parts, fmt.Sprintf("--panel %q", flags.told.Panel))
	}
	if flags.told.NoMeter {
		parts = append(parts, "--no-meter")
	}
	for _, told := range flags.told.Told {
		parts = append(parts, fmt.Sprintf("--told %q", told))
	}
	return append(parts, then)
}
