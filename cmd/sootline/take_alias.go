package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func takeAlias(s *session) *cobra.Command {
	var asJSON, sure bool
	cmd := &cobra.Command{
		Use: "alias [OF SAID MEANS]", Short: "List what spellings mean, or say what one means",
		Long: "List what spellings of types, areas, causes and people mean, or say what one means: OF is\n" +
			"type, area, cause or person. What was written before is understood so as well. Where MEANS is\n" +
			"the spelling itself, it is a name of its own and is not asked about again. An alias is an\n" +
			"entry of the log, and is taken back by withdrawing it; the list gives its id.",
		Example: "  sootline take alias --site Works\n  sootline take alias type \"OPT2\" \"OPT-2\" --site Works\n  sootline log withdraw ID --site Works",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 0 && len(args) != 3 {
				return usageError{fmt.Errorf("give nothing, or what is spelled, the spelling and what it means")}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if len(args) == 3 {
					body := sootline.Alias{Of: sootline.AliasOf(args[0]), Said: args[1], Means: args[2]}
					e, err := a.SayAlias(cmd.Context(), site.ID, body, sure)
					if err != nil {
						return err
					}
					_, err = fmt.Fprintf(s.out, "%s (entry %s)\n", sootline.Say(e.Body), e.ID)
					return err
				}
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfAliases(r))
				}
				return s.printAliases(r)
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print them as JSON (docs/formats/json.md)")
	cmd.Flags().BoolVar(&sure, "sure", false, "write it although the spelling is a type of its own, or nothing is called so")
	return cmd
}

func (s *session) printAliases(r *sootline.Register) error {
	var rows [][]string
	for _, known := range r.Aliases() {
		rows = append(rows, []string{string(known.Of), known.Said, known.Means, known.Entry.By, known.Entry.Noted.Format("2006-01-02"), known.Entry.ID.String()})
	}
	if len(rows) == 0 {
		_, err := fmt.Fprintln(s.out, "No spelling has an alias.")
		return err
	}
	return printTable(s.out, []string{"of", "spelling", "means", "by", "since", "entry"}, rows)
}

// askSpellings asks what spellings mean that nobody knows, the likeliest first. An
// empty answer leaves one open.
func (s *session) askSpellings(out *app.Outcome) ([]sootline.Alias, error) {
	var said []sootline.Alias
	for _, t := range out.Tables {
		for _, spelling := range t.Spellings {
			means, err := s.askSpelling(t.Table, spelling)
			if err != nil {
				return nil, err
			}
			if means != "" {
				said = append(said, spelling.Answer(means))
			}
		}
	}
	return said, nil
}

// askSpelling asks what one spelling means, until the answer is one of the letters, or nothing.
func (s *session) askSpelling(table *app.IntakeTable, spelling *app.Spelling) (means string, err error) {
	fmt.Fprintf(s.out, "\n%s: %s\n", tableName(table), spelling.Question())
	names := append(slices.Clone(spelling.Likely), spelling.Said)
	for i, name := range names {
		if i == len(names)-1 {
			name = "a name of its own"
		}
		fmt.Fprintf(s.out, "  %c  %s\n", 'a'+i, name)
	}
	for {
		answer, err := s.ask("(empty: later) > ")
		if err != nil || answer == "" {
			return "", err
		}
		if i, ok := letterOf(answer, len(names)); ok {
			return names[i], nil
		}
		tell(s.err, noLetter(answer, len(names)))
	}
}

// settleSpellings asks on a terminal what spellings mean, and works the take out anew
// with what was answered.
func (s *session) settleSpellings(cmd *cobra.Command, a *app.App, site store.SiteLine, in *app.Intake, out *app.Outcome, opts *app.TakeOptions) (*app.Outcome, error) {
	if !terminal(s.in) {
		return out, nil
	}
	var err error
	if opts.Aliases, err = s.askSpellings(out); err != nil || len(opts.Aliases) == 0 {
		return out, err
	}
	return a.Preview(cmd.Context(), site.ID, in, *opts)
}

// showSpellings names the spellings that are open, and how one is settled.
func (s *session) showSpellings(t *app.TableOutcome) {
	for _, spelling := range t.Spellings {
		fmt.Fprintf(s.out, "  %s\n  Rows that are taken have it as it stands; say what it means with:\n    sootline take alias %s %s %s\n",
			wrap(spelling.Question(), 4), spelling.Of, shellWord(spelling.Said), shellWord(spelling.Likely[0]))
	}
}

// offerLearned asks whether tables are to be understood as listings of their shape were
// before. With --yes that is done where nothing speaks against it.
func (s *session) offerLearned(in *app.Intake, yes bool) error {
	for _, table := range in.Tables {
		learned := table.Learned
		if learned == nil {
			continue
		}
		fmt.Fprintf(s.out, "%s: %s\n", tableName(table), learned.Says())
		use := yes && learned.Why == ""
		switch {
		case yes && !use:
			fmt.Fprintf(s.out, "  Not used, for %s; to use it, give it with --map.\n", learned.Why)
		case !yes && terminal(s.in):
			if learned.Why != "" {
				fmt.Fprintf(s.out, "  But %s.\n", learned.Why)
			}
			var err error
			if use, err = s.agrees("Use it?"); err != nil {
				return err
			}
		}
		if !use {
			continue
		}
		if err := table.UseLearned(); err != nil {
			return err
		}
		fmt.Fprintln(s.out, "  Used.")
	}
	return nil
}
