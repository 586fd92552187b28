package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func addressFound(s *session) *cobra.Command {
	var note, asJSON bool
	cmd := &cobra.Command{
		Use: "found LOOP FILE", Short: "Explain how what answers on a loop differs from the register",
		Long: "Explain how a list of what answers on a loop (a panel's or a technician's: a number a row, with\n" +
			"type and serial where it has them) differs from the register: the likeliest mistake first, and\n" +
			"how to make sure on site. With --note the numbers that the list shows are written down, for\n`address order`: by serial, or of the only device that it may be.",
		Example: "  sootline address found 1.2 panel-list.csv\n  sootline address found 1.2 panel-list.csv --note",
		Args:    cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			loop, err := parseLoop(args[0])
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				f, err := a.ExplainFound(cmd.Context(), site.ID, sootline.LoopID{Panel: loop.Panel, Name: loop.Loop}, args[1])
				if err != nil {
					return err
				}
				written := 0
				if note {
					if written, err = a.NoteFound(cmd.Context(), site.ID, f); err != nil {
						return err
					}
				}
				if asJSON {
					return printJSON(s.out, shape.OfFound(f, written))
				}
				s.printFound(f)
				if note {
					fmt.Fprintf(s.out, "\n%s written down. Next: sootline address order %s\n", count(written, "found number is", "found numbers are"), args[0])
				}
				return caution(s)
			})
		},
	}
	cmd.Flags().BoolVar(&note, "note", false, "write down the numbers that the list shows")
	addJSON(cmd, &asJSON)
	return cmd
}

// mostRivals is how many other explanations are printed.
const mostRivals = 4

func (s *session) printFound(f *app.Found) {
	for _, trouble := range f.Troubles {
		fmt.Fprintf(s.out, "not used, %s\n", withRow(trouble))
	}
	if len(f.Traces) == 0 {
		fmt.Fprintf(s.out, "Loop %s: %s.\n", f.Loop.Name, f.Agrees())
		s.printUntold(f)
		return
	}
	s.say(2, "Loop %s: %s from the register in %s; %s for that:", f.Loop.Name,
		count(len(f.Answers), "answer differs", "answers differ"), count(len(f.Traces), "place", "places"),
		count(len(f.Mistakes), "mistake would account", "mistakes would account"))
	for i, mistake := range f.Mistakes {
		s.heading(fmt.Sprintf("%d", i+1))
		fmt.Fprintf(s.out, "  %s\n  -> %s\n", s.wrap(mistake.Says, 2), s.wrap(mistake.Prove, 5))
	}
	for i, rival := range f.Rivals[:min(mostRivals, len(f.Rivals))] {
		if i == 0 {
			s.heading("or, as far as the list shows")
		}
		fmt.Fprintf(s.out, "  %s\n  -> %s\n", s.wrap(rival.Says, 2), s.wrap(rival.Prove, 5))
	}
	if f.Next != "" {
		s.heading("what tells most of these apart")
		fmt.Fprintf(s.out, "  %s\n", s.wrap(f.Next, 2))
	}
	s.printUntold(f)
}

// printUntold tells of which devices the list does not show the number.
func (s *session) printUntold(f *app.Found) {
	for i, untold := range f.Untold {
		if i == 0 {
			s.heading("what the list does not show, so that nothing is written down of it")
		}
		fmt.Fprintf(s.out, "  %s\n", s.wrap(untold, 2))
	}
}
