package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func addressHow(s *session) *cobra.Command {
	ways := make([]string, 0, len(app.HowChoices()))
	for _, choice := range app.HowChoices() {
		ways = append(ways, fmt.Sprintf("  %-34s %s", choice.Writes, choice.Says))
	}
	var asJSON bool
	cmd := &cobra.Command{
		Use: "how [TYPE WAY]", Short: "Say how the number of a type is set, or list what is written down",
		Long: "Say how the number of a type is set: it is written into its type sheet, and from then on the\n" +
			"cards of its devices show where their switches or dials stand. Without words, list how the\n" +
			"types of the site are set. The ways:\n\n" + strings.Join(ways, "\n"),
		Example: "  sootline address how\n  sootline address how Plimbow switches 7 high-first",
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if len(args) > 0 {
					if err := a.SayHowSet(cmd.Context(), site.ID, args[0], strings.Join(args[1:], " ")); err != nil {
						return err
					}
				}
				if asJSON {
					r, err := a.Register(cmd.Context(), site.ID, now())
					if err != nil {
						return err
					}
					return printJSON(s.out, shape.OfTypes(r))
				}
				hows, err := a.TypeHows(cmd.Context(), site.ID)
				if err != nil {
					return err
				}
				rows := make([][]string, len(hows))
				for i := range hows {
					rows[i] = []string{hows[i].Type, strconv.Itoa(len(hows[i].Points)), howWords(&hows[i])}
				}
				return printTable(s.out, []string{"type", "devices", "how its number is set"}, rows)
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}

// howWords says how the number of a type is set; of a sheet that nobody can read, what
// it says.
func howWords(how *app.TypeHow) string {
	if how.Err != nil {
		return "cannot be read: " + how.Said
	}
	return how.Setter.Words()
}

// askHow asks for the types of which nobody wrote down how their number is set, one
// line a type.
func (s *session) askHow(asked []app.TypeHow) {
	for i := range asked {
		reason, ways := asked[i].Ask()
		fmt.Fprintf(s.out, "! %s\n  -> %s\n", s.wrap(reason, 2), s.wrap(inWords(ways), 5))
	}
	if len(asked) > 0 {
		fmt.Fprintln(s.out)
	}
}
