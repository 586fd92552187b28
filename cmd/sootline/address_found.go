package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func addressFound(s *session) *cobra.Command {
	var note bool
	cmd := &cobra.Command{
		Use: "found LOOP FILE", Short: "Explain how what answers on a loop differs from the register",
		Long: "Explain how a list of what answers on a loop (a panel's or a technician's: a number a row, with\n" +
			"type and serial where it has them) differs from the register: the likeliest mistake first, and\n" +
			"how to make sure on site. With --note the numbers found are written down, for `address order`.",
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
				s.printFound(f)
				if note {
					n, err := a.NoteFound(cmd.Context(), site.ID, f)
					if err != nil {
						return err
					}
					fmt.Fprintf(s.out, "\n%s written down. Next: sootline address order %s\n", count(n, "found number is", "found numbers are"), args[0])
				}
				return caution(s)
			})
		},
	}
	cmd.Flags().BoolVar(&note, "note", false, "write the numbers found down, as they are explained here")
	return cmd
}

// mostRivals is how many other explanations are printed.
const mostRivals = 4

func (s *session) printFound(f *app.Found) {
	for _, trouble := range f.Troubles {
		fmt.Fprintf(s.out, "not used, %s\n", withRow(trouble))
	}
	if len(f.Traces) == 0 {
		fmt.Fprintf(s.out, "Loop %s: all %d that answer are as the register has them.\n", f.Loop.Name, len(f.Answers))
		return
	}
	fmt.Fprintf(s.out, "Loop %s: %s from the register in %s; %s for that:\n", f.Loop.Name,
		count(len(f.Answers), "answer differs", "answers differ"), count(len(f.Traces), "place", "places"),
		count(len(f.Mistakes), "mistake would account", "mistakes would account"))
	for i, mistake := range f.Mistakes {
		s.heading(fmt.Sprintf("%d", i+1))
		fmt.Fprintf(s.out, "  %s\n  -> %s\n", wrap(mistake.Says, 2), wrap(mistake.Prove, 5))
	}
	for i, rival := range f.Rivals[:min(mostRivals, len(f.Rivals))] {
		if i == 0 {
			s.heading("or, as far as the list shows")
		}
		fmt.Fprintf(s.out, "  %s\n  -> %s\n", wrap(rival.Says, 2), wrap(rival.Prove, 5))
	}
	if f.Next != "" {
		s.heading("what tells most of these apart")
		fmt.Fprintf(s.out, "  %s\n", wrap(f.Next, 2))
	}
}

func addressSettings(s *session) *cobra.Command {
	var texts []string
	cmd := &cobra.Command{
		Use: "settings [LOOP]", Short: "List the settings that are not as wanted, in the order of the walk",
		Long: "List the settings that devices should have and do not have, in the order of the walk. What is\n" +
			"wanted stands in the schedule, what was found is added with `log add set`; --rule wants a\n" +
			"setting of every device of an area, or of a type in it.",
		Example: "  sootline address settings 1.2\n  sootline address settings --rule Bedrooms:blink=off --rule Kitchen/Larch:sensitivity=low",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.onLoop(cmd, args, func(a *app.App, site store.SiteLine, loop string) error {
				return s.listSettings(cmd, a, site, loop, texts)
			})
		},
	}
	cmd.Flags().StringArrayVar(&texts, "rule", nil, "a rule, as AREA:NAME=CHOICE or AREA/TYPE:NAME=CHOICE; repeat for more")
	return cmd
}

func (s *session) listSettings(cmd *cobra.Command, a *app.App, site store.SiteLine, loop string, texts []string) error {
	rules, err := app.ParseSettingRules(texts)
	if err != nil {
		return err
	}
	all, err := a.SettingDifferences(cmd.Context(), site.ID, loop, rules)
	if err != nil {
		return err
	}
	for _, l := range all {
		s.heading(fmt.Sprintf("Loop %s: %s not as wanted", l.Loop.Name, count(len(l.Differences), "setting is", "settings are")))
		var rows [][]string
		for _, d := range l.Differences {
			device := l.Loop.Devices[d.Device]
			found := d.Found
			if found == "" {
				found = "nobody looked"
			}
			rows = append(rows, []string{"[ ]", device.Name, device.Type, d.Name, d.Wanted, found})
		}
		if len(rows) > 0 {
			if err := printTable(s.out, []string{"done", "point", "type", "setting", "wanted", "found"}, rows); err != nil {
				return err
			}
		}
	}
	return nil
}
