package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/papers"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func paperIssued(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: string(sootline.IssuedKind), Short: "List the papers that were issued, the last one first",
		Example: "  sootline paper issued --site Works",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfIssued(papers.Register(r)))
				}
				return s.printIssued(r)
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print them as JSON (docs/formats/json.md)")
	return cmd
}

func (s *session) printIssued(r *sootline.Register) error {
	all := papers.Register(r)
	if len(all) == 0 {
		_, err := fmt.Fprintln(s.out, "No paper was issued yet.")
		return err
	}
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, e := range all {
		said, _ := e.Body.(sootline.Issued)
		rows = append(rows, []string{e.Noted.In(zone).Format("2006-01-02 15:04"), said.Paper, said.Day, e.By, said.Code, said.Content[:16]})
	}
	return printTable(s.out, []string{"when", "paper", "of", "by", "code", "SHA-256 begins"}, rows)
}
