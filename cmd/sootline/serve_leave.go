package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline/internal/app"
)

func personLeave(s *session) *cobra.Command {
	var file string
	var dryRun, known bool
	cmd := &cobra.Command{
		Use: "leave --file LIST", Short: "Take everybody of a list out of those who may sign in",
		Long: "Take everybody of a list out of those who may sign in: all of them, or nobody. The file is a table\n" +
			"with a column name, or has a name a line. Sessions, phones, addresses for calendars, and tokens that\n" +
			"they made open nothing any more, also in a server that runs; who is asked in is asked in no more.\n" +
			"A name that the book does not know refuses the list: it may be misspelled. See --known.",
		Example: "  sootline serve person leave --file leavers.csv --dry-run",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				names, err := a.LeaverList(cmd.Context(), file)
				if err != nil {
					return err
				}
				if dryRun {
					l, err := a.LookAtLeavers(cmd.Context(), names)
					if err != nil {
						return err
					}
					last := "Nothing was done. Without --dry-run it is done."
					if len(l.Unknown) > 0 && !known {
						last = "Nothing was done. The list would be refused; with --known the others go."
					}
					return s.sayLeavers(l, "would sign in no more", "would be asked in no more", last)
				}
				l, err := a.Leave(cmd.Context(), names, known)
				if err != nil {
					return err
				}
				return s.sayLeavers(l, "may not sign in any more", "is asked in no more", "What anybody wrote stays.")
			})
		},
	}
	cmd.Flags().StringVar(&file, "file", "", "the list")
	cmd.Flags().BoolVar(&dryRun, "dry-run", false, "show what would happen, and take nobody off")
	cmd.Flags().BoolVar(&known, "known", false, "take off whom the book knows, though it does not know others of the list")
	if err := cmd.MarkFlagRequired("file"); err != nil {
		panic(err)
	}
	return cmd
}

// sayLeavers says what happens to whom, a line each.
func (s *session) sayLeavers(l app.Leavers, gone, asked, last string) error {
	var lines []string
	for _, p := range l.Going {
		lines = append(lines, fmt.Sprintf("%s, %s, %s.", p.Name, p.Role, gone))
	}
	for _, name := range l.Asked {
		lines = append(lines, fmt.Sprintf("%s %s.", name, asked))
	}
	for _, name := range l.Unknown {
		lines = append(lines, fmt.Sprintf("%q is nobody whom the book knows.", name))
	}
	for _, line := range append(lines, last) {
		if _, err := fmt.Fprintln(s.out, line); err != nil {
			return err
		}
	}
	return nil
}
