package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func siteFacts(s *session) *cobra.Command {
	typed := sootline.Form{}
	values := map[string]*string{}
	var asJSON bool
	cmd := &cobra.Command{
		Use: "facts", Short: "Show or state the facts of a site that papers need",
		Long: "Show or state the facts of a site that papers need: address, responsible person, category, the code\n" +
			"that it follows, firm. They live in its log, once; each paper takes them from there.",
		Example: "  sootline site facts --site Works\n  sootline site facts --address \"1 Invented Street\" --responsible \"R. Person\" --category L2",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			for key, value := range values {
				if *value != "" {
					typed[key] = *value
				}
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error { return s.siteFacts(cmd, a, site, typed, asJSON) })
		},
	}
	for _, field := range sootline.FactFields() {
		values[field.Key] = cmd.Flags().String(strings.ReplaceAll(field.Key, "_", "-"), "", field.Label)
	}
	addJSON(cmd, &asJSON)
	return cmd
}

func (s *session) siteFacts(cmd *cobra.Command, a *app.App, site store.SiteLine, typed sootline.Form, asJSON bool) error {
	if len(typed) > 0 {
		body, err := sootline.BodyOf(sootline.OpenedKind, typed)
		if err != nil {
			return err
		}
		facts, _ := body.(sootline.Opened)
		if err := a.SetFacts(cmd.Context(), site.ID, facts); err != nil {
			return err
		}
	}
	r, err := a.Register(cmd.Context(), site.ID, now())
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, r.Site.SiteFacts)
	}
	form, err := sootline.FormOf(sootline.Opened{SiteFacts: r.Site.SiteFacts})
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "Site %s:\n", r.Site.Name)
	for _, field := range sootline.FactFields() {
		value := form[field.Key]
		if value == "" {
			value = "not known; --" + strings.ReplaceAll(field.Key, "_", "-")
		}
		fmt.Fprintf(s.out, "  %-50s  %s\n", field.Label, s.wrap(value, 54))
	}
	return nil
}
