package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type rulesFlags struct {
	sets      bool
	asJSON    bool
	use       []string
	file, out string
}

func visitRules(s *session) *cobra.Command {
	var flags rulesFlags
	cmd := &cobra.Command{
		Use: "rules", Short: "Show or choose the rules by which things fall due",
		Long: "Show the rules that hold on a site: what each asks for, its edition and clause, and whether\n" +
			"its figures were read there, are as others restate them, not checked, or somebody's own.\n" +
			"Look up what others restate, and what is not checked, in the edition in force.\n\n" +
			"--use takes ready sets (--sets lists them); --out writes what holds to a file, --file reads it\n" +
			"back once you changed it: also minutes for each work, areas to set up, and your walking order\n" +
			"(docs/formats/rules.md).",
		Example: "  sootline visit rules --sets\n  sootline visit rules --use bs5839-1-2025 --site Works\n  sootline visit rules --out rules.json",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if flags.sets && flags.asJSON {
				return printJSON(s.out, shape.OfRuleSets(app.RuleSets()))
			}
			if flags.sets {
				s.printSets()
				return nil
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error { return s.rules(cmd, a, site, flags) })
		},
	}
	cmd.Flags().BoolVar(&flags.sets, "sets", false, "list the sets that are ready")
	cmd.Flags().StringSliceVar(&flags.use, "use", nil, "choose sets by name; rules of one name are taken from the first")
	cmd.Flags().StringVar(&flags.file, "file", "", "choose what this file says")
	cmd.Flags().StringVar(&flags.out, "out", "", "write what holds to this file")
	cmd.Flags().BoolVar(&flags.asJSON, "json", false, "print what holds as JSON, as docs/formats/rules.md describes it")
	cmd.MarkFlagsMutuallyExclusive("sets", "use", "file")
	return cmd
}

func (s *session) printSets() {
	for _, set := range app.RuleSets() {
		s.heading(set.Name)
		fmt.Fprintf(s.out, "  %s\n", s.wrap(set.Says, 2))
		for i := range set.Rules {
			s.printRule(&set.Rules[i])
		}
	}
}

func (s *session) printRule(rule *sootline.ServiceRule) {
	fmt.Fprintf(s.out, "  - %s\n", s.wrap(fmt.Sprintf("%s (%s): %s", rule.Name, app.RuleSource(rule), rule.Text), 4))
}

func (s *session) rules(cmd *cobra.Command, a *app.App, site store.SiteLine, flags rulesFlags) error {
	r, err := a.Register(cmd.Context(), site.ID, now())
	if err != nil {
		return err
	}
	service := r.Site.Service
	switch {
	case len(flags.use) > 0:
		service.Rules, err = chosenSets(flags.use)
	case flags.file != "":
		service, err = readService(flags.file)
	default:
		service.Rules = app.RulesOf(r)
	}
	if err != nil {
		return err
	}
	if len(flags.use) > 0 || flags.file != "" {
		if err := a.SetService(cmd.Context(), site.ID, service); err != nil {
			return err
		}
		if r, err = a.Register(cmd.Context(), site.ID, now()); err != nil {
			return err
		}
	}
	if flags.out != "" {
		if err := mustBeFree(flags.out); err != nil {
			return err
		}
		err := writeWhole(flags.out, func(w io.Writer) error { return printJSON(w, service) })
		if err != nil {
			return err
		}
	}
	if flags.asJSON {
		holds := r.Site.Service
		holds.Rules = app.RulesOf(r)
		return printJSON(s.out, holds)
	}
	s.printService(r)
	return nil
}

func (s *session) printService(r *sootline.Register) {
	fmt.Fprintf(s.out, "Site %s:\n", r.Site.Name)
	rules := app.RulesOf(r)
	for i := range rules {
		s.printRule(&rules[i])
	}
	if len(r.Site.Service.Rules) == 0 {
		fmt.Fprintln(s.out, "  Nobody chose these; `sootline visit rules --sets` lists others.")
	}
	for _, area := range r.Site.Service.Areas {
		fmt.Fprintf(s.out, "  set up %s: %s\n", area.Area, strings.TrimSuffix(count(area.Setup, "minute", "minutes")+", "+area.Why, ", "))
	}
	if len(r.Site.Service.Order) > 0 {
		fmt.Fprintf(s.out, "  walking order: %s\n", joined(r.Site.Service.Order))
	}
}

func chosenSets(names []string) ([]sootline.ServiceRule, error) {
	var rules []sootline.ServiceRule
	for _, name := range names {
		i := slices.IndexFunc(app.RuleSets(), func(set app.RuleSet) bool { return set.Name == name })
		if i < 0 {
			return nil, sootline.Errorf(sootline.Invalid, "`sootline visit rules --sets` lists them", "there is no set %q", name)
		}
		for _, rule := range app.RuleSets()[i].Rules {
			if !slices.ContainsFunc(rules, func(r sootline.ServiceRule) bool { return r.Name == rule.Name }) {
				rules = append(rules, rule)
			}
		}
	}
	return rules, nil
}

func readService(path string) (sootline.Service, error) {
	raw, err := os.ReadFile(path)
	if err != nil {
		return sootline.Service{}, sootline.Errorf(sootline.NotFound, "`sootline visit rules --out FILE` writes one", "read the rules: %w", err)
	}
	if !json.Valid(raw) {
		return sootline.Service{}, sootline.Errorf(sootline.Invalid, "docs/formats/rules.md shows one", "%s is not JSON", path)
	}
	body, err := sootline.DecodeBody(sootline.ServiceKind, raw)
	if err != nil {
		return sootline.Service{}, fmt.Errorf("%s: %w", path, err)
	}
	service, _ := body.(sootline.Service)
	return service, nil
}
