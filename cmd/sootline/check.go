package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// viewFlags say as of when, and in what form.
type viewFlags struct {
	on            string
	asJSON, asCSV bool
	strict        bool
	all           bool // of findings: each, not one line a kind
}

func (v *viewFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&v.on, "on", "", "as of the end of this day, for example 2026-01-15 (default now)")
	cmd.Flags().BoolVar(&v.asJSON, "json", false, "print JSON, of the shape in docs/formats/json.md")
	cmd.Flags().BoolVar(&v.asCSV, "csv", false, "print CSV")
	cmd.Flags().BoolVar(&v.strict, "strict", false, "exit 1 when something needs somebody")
	cmd.MarkFlagsMutuallyExclusive("json", "csv")
}

// when reads --on on the site's clock.
func (v *viewFlags) when(cmd *cobra.Command, a *app.App, site store.SiteLine) (time.Time, error) {
	if v.on == "" {
		return now(), nil
	}
	r, err := a.Register(cmd.Context(), site.ID, time.Time{})
	if err != nil {
		return time.Time{}, err
	}
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return time.Time{}, err
	}
	return day(v.on, zone)
}

func checkCommand(s *session) *cobra.Command {
	var view viewFlags
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Say what is wrong on the register",
		Long: "Say what is wrong on the register: numbers used twice, outside the loop's span or never\n" +
			"set; points without a type; types without a band; units past their service life; points\n" +
			"never read; points disabled and forgotten.",
		Example: "  sootline check --site Works\n  sootline check --site Works --json --strict",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				on, err := view.when(cmd, a, site)
				if err != nil {
					return err
				}
				r, findings, err := a.Check(cmd.Context(), site.ID, on)
				if err != nil {
					return err
				}
				if err := printFindings(s, view, r, on, findings); err != nil {
					return err
				}
				if view.strict && needsSomebody(findings) {
					return errFindings
				}
				return nil
			})
		},
	}
	view.add(cmd)
	cmd.Flags().BoolVar(&view.all, "all", false, "tell each finding; else kinds of which there are many are one line each")
	return cmd
}

func needsSomebody(findings []sootline.Finding) bool {
	for _, f := range findings {
		if f.Weight > sootline.Hint {
			return true
		}
	}
	return false
}

func printFindings(s *session, view viewFlags, r *sootline.Register, on time.Time, findings []sootline.Finding) error {
	switch {
	case view.asJSON:
		return printJSON(s.out, shape.OfCheck(r, on, findings))
	case view.asCSV:
		var rows [][]string
		for _, f := range findings {
			rows = append(rows, []string{f.Weight.String(), f.Code, strings.Join(shape.Refs(f.Points), " "), f.Reason, inWords(f.WayOut)})
		}
		return printCSV(s.out, []string{"weight", "code", "points", "reason", "way out"}, rows)
	case len(r.Points()) == 0:
		_, err := fmt.Fprintf(s.out, "Site %s has no point yet. Take in its schedule:\n\n  sootline take schedule.csv --site %s\n", r.Site.Name, shellWord(r.Site.Name))
		return err
	case len(findings) == 0:
		_, err := fmt.Fprintf(s.out, "Site %s: nothing wrong found on %s.\n", r.Site.Name, count(len(r.Points()), "point", "points"))
		return err
	}
	fmt.Fprintf(s.out, "Site %s: %s on %s.\n", r.Site.Name, count(len(findings), "finding", "findings"), count(len(r.Points()), "point", "points"))
	s.tellFindings(findings, view.all)
	return caution(s)
}

// tellFindings tells findings, the many of one kind in one line unless all are asked for.
func (s *session) tellFindings(findings []sootline.Finding, all bool) {
	byWeight := map[sootline.Weight]int{}
	for _, f := range findings {
		byWeight[f.Weight]++
	}
	lines := app.FindingLines(findings)
	if all {
		lines = lines[:0]
		for _, f := range findings {
			lines = append(lines, app.FindingLine{Weight: f.Weight, Count: 1, Reason: f.Reason, WayOut: f.WayOut})
		}
	}
	gathered := false
	for i, line := range lines {
		if i == 0 || line.Weight != lines[i-1].Weight {
			s.heading(fmt.Sprintf("%s (%d)", line.Weight, byWeight[line.Weight]))
		}
		gathered = gathered || line.Count > 1
		fmt.Fprintf(s.out, "  %s\n", s.wrap(line.Reason, 2))
		if len(line.WayOut) > 0 {
			fmt.Fprintf(s.out, "  -> %s\n", s.wrap(inWords(line.WayOut), 5))
		}
	}
	if gathered {
		fmt.Fprint(s.out, "\nKinds of which there are many are one line each; with --all each is told.\n")
	}
}

func joined(names []string) string { return strings.Join(names, ", ") }

// caution is shown under whatever could be relied on.
func caution(s *session) error {
	const lines = 91 // wide, so that a sentence begins one
	_, err := fmt.Fprintf(s.out, "\n%s\n", wrapTo("Advice only. Before work: the responsible person's consent, and the monitoring centre told. "+
		"After it: restore what was disabled. The code that applies there and the device's own instructions come first; "+
		"design and certification are for those licensed for it.", 0, min(lines, s.columns())))
	return err
}
