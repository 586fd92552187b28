package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type verifyFlags struct {
	paper, file, against string
	asJSON               bool
}

func logVerify(s *session) *cobra.Command {
	var flags verifyFlags
	cmd := &cobra.Command{
		Use: "verify", Short: "Check that no line of the log was altered, removed or reordered, and say what witnesses it",
		Long: "Check that no line of the log was altered, removed or reordered: follow each station's chain, compare it\n" +
			"with the head that the station signed, with what other stations pinned, and with a file kept elsewhere.\n" +
			"What this can and cannot find is in docs/methods/chain.md.",
		Example: "  sootline log verify --site Works\n  sootline log verify --against works-2026-01.jsonl\n  sootline log verify --paper K3QZ-7MFA-WY2C-5LTD --file servicing.pdf",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if flags.file != "" && flags.paper == "" {
					return usageError{errors.New("--file is a paper's: give its code with --paper")}
				}
				if flags.paper != "" {
					return s.verifyPaper(cmd.Context(), a, site, flags)
				}
				return s.verify(cmd.Context(), a, site, flags)
			})
		},
	}
	cmd.Flags().StringVar(&flags.paper, "paper", "", "hold a printed paper against the book, by the code at the foot of its pages")
	cmd.Flags().StringVar(&flags.file, "file", "", "of --paper: the file that was handed over; whether it is the one issued")
	cmd.Flags().StringVar(&flags.against, "against", "", "compare with this export or backup, of any date, that was kept elsewhere")
	cmd.Flags().BoolVar(&flags.asJSON, "json", false, "print what was found as JSON (docs/formats/json.md)")
	cmd.MarkFlagsMutuallyExclusive("paper", "against")
	cmd.MarkFlagsMutuallyExclusive("paper", "json")
	return cmd
}

func (s *session) verify(ctx context.Context, a *app.App, site store.SiteLine, flags verifyFlags) error {
	v, err := s.verification(ctx, a, site, flags.against)
	if err != nil {
		return err
	}
	if flags.asJSON {
		if err := printJSON(s.out, shape.OfVerification(v)); err != nil {
			return err
		}
		return notWhole(site, &v)
	}
	if len(v.Faults) == 0 {
		s.printWhole(site, &v)
	}
	for _, fault := range v.Faults {
		fmt.Fprintf(s.out, "%s.\n", s.wrap(fault.Error(), 0))
	}
	for i := range v.Chains {
		chain := &v.Chains[i]
		fmt.Fprintf(s.out, "\nStation %s, to its line %d:\n", chain.Station, chain.Last)
		for _, sentence := range chain.Sentences(v.Zone) {
			fmt.Fprintf(s.out, "  %s\n", s.wrap(sentence, 2))
		}
	}
	fmt.Fprintln(s.out)
	for _, limit := range v.Limits() {
		fmt.Fprintln(s.out, s.wrap(limit, 0))
	}
	return notWhole(site, &v)
}

func (s *session) verification(ctx context.Context, a *app.App, site store.SiteLine, against string) (app.Verification, error) {
	if against == "" {
		return a.Verify(ctx, site.ID)
	}
	return a.VerifyAgainst(ctx, site.ID, against)
}

// checkChains says of a site among others only whether its chains hold.
func (s *session) checkChains(ctx context.Context, a *app.App, site store.SiteLine) error {
	v, err := a.VerifyListed(ctx, site)
	if err != nil {
		return err
	}
	if len(v.Faults) == 0 {
		s.printWhole(site, &v)
	}
	return notWhole(site, &v)
}

func (s *session) printWhole(site store.SiteLine, v *app.Verification) {
	s.say(2, "Site %s: %s of %s, none altered, missing or out of order.",
		site.Name, count(v.Lines, "line", "lines"), count(v.Stations, "station", "stations"))
}

func notWhole(site store.SiteLine, v *app.Verification) error {
	if len(v.Faults) == 0 {
		return nil
	}
	return sootline.Errorf(sootline.Damaged, "import that station's own export, or put a backup in the book's place with `sootline book restore BACKUP`",
		"site %s: %w (the first of %d faults in %d lines)", site.Name, v.Faults[0], len(v.Faults), v.Lines)
}
