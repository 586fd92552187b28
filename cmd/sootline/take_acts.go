package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func takeList(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "list", Short: "List what was taken in, the last first",
		Long: "List the takes of a site, the last first: when, of which files, by whom, and what each\n" +
			"wrote. A take that was taken back stays in the list, with what took it back.",
		Example: "  sootline take list --site Works",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				acts, err := a.Acts(cmd.Context(), site.ID)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfTakes(acts))
				}
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				return s.printActs(acts, r)
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print them as JSON (docs/formats/json.md)")
	return cmd
}

func (s *session) printActs(acts []app.Act, r *sootline.Register) error {
	if len(acts) == 0 {
		_, err := fmt.Fprintln(s.out, "Nothing was taken in yet.")
		return err
	}
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return err
	}
	rows := make([][]string, len(acts))
	for i := range acts {
		act := &acts[i]
		stands := "stands"
		if act.UndoneBy != nil {
			stands = "taken back by " + act.UndoneBy.Taken.Name
		}
		rows[i] = []string{act.Taken.Name, act.Entry.Noted.In(zone).Format("2006-01-02 15:04"), act.Entry.By, act.What(), act.Taken.AddedSaid(), stands}
	}
	return printTable(s.out, []string{"take", "when", "by", "what", "wrote", "stands"}, rows)
}

func takeUndo(s *session) *cobra.Command {
	var wish app.UndoWish
	var yes, dryRun bool
	cmd := &cobra.Command{
		Use: "undo TAKE", Short: "Take a whole take back",
		Long: "Take a take back whole, by its name or its id: every entry that it wrote and that still\n" +
			"holds is withdrawn at once. Nothing is removed from the log. This is an act of its own, with\n" +
			"a name by which it can be taken back too. Where later entries rest on the take, it says which\n" +
			"and asks.",
		Example: "  sootline take undo 2026-11-30-1 --site Works\n  sootline take undo 2026-11-30-1 --why \"dates read the wrong way\" --yes --sure",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			wish.Act = args[0]
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.undoTake(cmd, a, site, wish, yes, dryRun)
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&wish.Why, "why", "", "why, in words")
	f.BoolVar(&wish.Sure, "sure", false, "although later entries rest on it")
	f.BoolVarP(&yes, "yes", "y", false, "take it back without asking")
	f.BoolVar(&dryRun, "dry-run", false, "show what would happen, and take nothing back")
	return cmd
}

func (s *session) undoTake(cmd *cobra.Command, a *app.App, site store.SiteLine, wish app.UndoWish, yes, dryRun bool) error {
	if !yes || dryRun {
		would, err := a.LookAtUndo(cmd.Context(), site.ID, wish)
		if err != nil {
			return err
		}
		s.showUndo(would, "would be taken back")
		if dryRun {
			_, err := fmt.Fprintln(s.out, "\nNothing was taken back: this was a dry run.")
			return err
		}
		question := "Take it back?"
		if len(would.Resting) > 0 {
			question = "Take it back although that rests on it?"
		}
		if !terminal(s.in) {
			return sootline.Errorf(sootline.Invalid, "say --yes to take it back, or --dry-run to only look", "nothing was taken back: there is no terminal to ask on")
		}
		yes, err := s.agrees(question)
		if err != nil {
			return err
		}
		if !yes {
			return sootline.Errorf(sootline.Invalid, "", "nothing was taken back")
		}
		wish.Sure = wish.Sure || len(would.Resting) > 0
	}
	did, err := a.UndoTake(cmd.Context(), site.ID, wish)
	if err != nil {
		return err
	}
	s.showUndo(did, "taken back")
	if said, ok := did.Entry.Body.(sootline.Taken); ok {
		fmt.Fprintf(s.out, "That is %s; it is taken back with: sootline take undo %[1]s --site %[2]s\n", said.Name, shellWord(site.Name))
	}
	return nil
}

// showUndo tells what taking an act back did, or would do.
func (s *session) showUndo(u *app.Undone, did string) {
	var parts []string
	for _, kind := range slices.Sorted(maps.Keys(u.Took)) {
		parts = append(parts, fmt.Sprintf("%d %s", u.Took[kind], kind))
	}
	fmt.Fprintf(s.out, "%s, %s: %s %s\n", u.Act.Taken.Name, u.Act.What(), strings.Join(parts, ", "), did)
	if u.Gone > 0 {
		fmt.Fprintf(s.out, "  %s withdrawn before\n", count(u.Gone, "entry of it was", "entries of it were"))
	}
	if u.Shared > 0 {
		fmt.Fprintf(s.out, "  %s noted at another station too, and stay\n", count(u.Shared, "entry of it was", "entries of it were"))
	}
	for _, rests := range u.Resting {
		fmt.Fprintf(s.out, "  rests on it: %s\n", rests)
	}
}
