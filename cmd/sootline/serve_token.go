package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

func tokenCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{Use: "token", Short: "What lets programs use the API", Example: "  sootline serve token list\n  sootline serve token add nightly --role reader --until 2026-12-31"}
	cmd.AddCommand(tokenAdd(s), tokenList(s), tokenRemove(s))
	return cmd
}

func tokenAdd(s *session) *cobra.Command {
	var role, until string
	var scope scopeFlags
	cmd := &cobra.Command{
		Use: "add NAME", Short: "Make a token for a program, and print it this once",
		Long: "Make a token for a program, and print it this once. The program shows it to the API, and nowhere else:\n" +
			"Authorization: Bearer TOKEN. It reads, or writes as a technician does, and what it writes goes by its\n" +
			"name. It ends at the end of its day, a year from now at most; when it is removed; and when whoever made\n" +
			"it is removed or has password or role changed.",
		Example: "  sootline serve token add \"nightly report\" --until 2026-06-30 --site Works",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), true, func(a *app.App) error {
				end, err := sootline.ParseDayEnds(until, time.Local)
				if err != nil {
					return err
				}
				bound, err := scope.read(cmd.Context(), a)
				if err != nil {
					return err
				}
				secret, err := a.AddToken(cmd.Context(), app.NewToken{Name: args[0], Role: sootline.Role(role), Scope: bound, Until: end})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%s\nIt is printed this once. %s is a %s of %s until the end of %s.\n", secret, args[0], role, a.SayScope(cmd.Context(), bound), until)
				return err
			})
		},
	}
	cmd.Flags().StringVar(&role, "role", string(sootline.Reader), "reader or technician")
	cmd.Flags().StringVar(&until, "until", "", "the last day, as 2026-06-30")
	scope.add(cmd)
	if err := cmd.MarkFlagRequired("until"); err != nil {
		panic(err) // only a flag that there is not is an error
	}
	return cmd
}

func tokenList(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "list", Short: "List the tokens that open something",
		Example: "  sootline serve token list",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				tokens, err := a.Tokens(cmd.Context())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfTokens(tokens))
				}
				if len(tokens) == 0 {
					_, err := fmt.Fprintln(s.out, "None.")
					return err
				}
				var rows [][]string
				for _, t := range tokens {
					rows = append(rows, []string{t.Name, string(t.Role), a.SayScope(cmd.Context(), t.Scope), t.Maker, t.Until.Local().Format(time.DateOnly)})
				}
				return printTable(s.out, []string{"name", "role", "sites", "made by", "until"}, rows)
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	return cmd
}

func tokenRemove(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "remove NAME", Short: "End a token at once",
		Example: "  sootline serve token remove \"nightly report\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				if err := a.RemoveToken(cmd.Context(), args[0]); err != nil {
					return err
				}
				_, err := fmt.Fprintf(s.out, "The token %s opens nothing any more. What it wrote stays.\n", args[0])
				return err
			})
		},
	}
}
