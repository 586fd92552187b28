package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func logAdd(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use: "add KIND", Short: "Add an entry by hand",
		Long: "Add an entry to the log book by hand. Each kind has a command of its own, whose --help lists what\n" +
			"it says. Corrections and withdrawals have commands beside this one.",
		Example: "  sootline log add read --point 1.2.073 --value \"25 26 25\"\n" +
			"  sootline log add cleaned --point 1.2.073 --at 2026-01-15 --text \"flour dust\"\n" +
			"  sootline log add restored --point 1.2.073",
		Args: cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usageError{errors.New("which kind of entry? see `sootline log add --help`")}
			}
			return unknownKind(args[0])
		},
		FParseErrWhitelist: cobra.FParseErrWhitelist{UnknownFlags: true}, // the kind is what is wrong
	}
	for _, kind := range addable() {
		cmd.AddCommand(logAddKind(s, kind))
	}
	return cmd
}

// unknownKind refuses a kind that nobody adds by hand, with those near it.
func unknownKind(kind string) error {
	var names []string
	for _, k := range addable() {
		names = append(names, string(k.Kind))
	}
	return sootline.Errorf(sootline.Invalid, meant("sootline log add ", app.Nearest(kind, names))+"`sootline log add --help` lists the kinds", "kind %q is not known here", kind)
}

// addable lists the kinds that people add: all but those that the program writes
// by itself, and amendments.
func addable() []sootline.KindFacts {
	return slices.DeleteFunc(sootline.Kinds(), func(kind sootline.KindFacts) bool {
		return kind.ByProgram || len(sootline.FieldsOf(kind.Kind)) == 0
	})
}

func logAddKind(s *session, kind sootline.KindFacts) *cobra.Command {
	var flags sayFlags
	long := "Add an entry of kind " + string(kind.Kind) + ": " + kind.Says + "."
	switch {
	case kind.OfPoint:
		long += "\nIt needs its point."
	case kind.OfSite:
		long += "\nIt is about the site alone, and has no point."
	}
	cmd := &cobra.Command{
		Use: string(kind.Kind), Short: kind.Says, Long: long, Example: logAddExample(kind.Kind), Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			body, err := flags.say(kind.Kind, sootline.Form{})
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				zone, err := s.siteZone(cmd, a, site)
				if err != nil {
					return err
				}
				at, err := flags.when(zone)
				if err != nil {
					return err
				}
				e, err := a.AddEntry(cmd.Context(), site.ID, app.Note{At: at.At, Day: at.Day, Point: flags.point, Body: body, Sure: flags.sure})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Added: %s, as entry %s.\n", strings.TrimSpace(string(e.Body.Kind())+" "+flags.point), e.ID)
				return err
			})
		},
	}
	flags.add(cmd, kind.Kind)
	return cmd
}

func (s *session) siteZone(cmd *cobra.Command, a *app.App, site store.SiteLine) (*time.Location, error) {
	r, err := a.Register(cmd.Context(), site.ID, time.Time{})
	if err != nil {
		return nil, err
	}
	return app.Zone(r.Site.Zone)
}

func logCorrect(s *session) *cobra.Command {
	var flags sayFlags
	var why string
	cmd := &cobra.Command{
		Use: "correct ENTRY", Short: "Put an entry right",
		Long: "Put an entry right: give what it should have said otherwise, by the flags of its kind (`sootline log\n" +
			"add KIND --help` lists them). What no flag names stays as it holds; a flag with an empty text takes\n" +
			"its part away. Both entries stay in the log.",
		Example: "  sootline log correct 01890a5d-ac96-774b-bcce-b302099a8057 --value 25 --why \"typed 250\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := entryID(args[0])
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				r, err := a.Register(cmd.Context(), site.ID, time.Time{})
				if err != nil {
					return err
				}
				e, err := a.Correct(cmd.Context(), site.ID, app.Amendment{Entry: id, Why: why, Sure: flags.sure}, func(holds sootline.Entry) (sootline.Corrected, error) {
					return flags.correction(r, holds)
				})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Entry %s is corrected by entry %s; both stay in the log.\n", id, e.ID)
				return err
			})
		},
	}
	var kinds []sootline.Kind
	for _, kind := range addable() {
		kinds = append(kinds, kind.Kind)
	}
	flags.add(cmd, kinds...)
	cmd.Flags().StringVar(&why, "why", "", "why, in words")
	return cmd
}

func (f *sayFlags) correction(r *sootline.Register, holds sootline.Entry) (sootline.Corrected, error) {
	c := app.AsItHolds(holds)
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return c, err
	}
	at, err := f.when(zone)
	if err != nil {
		return c, err
	}
	if !at.At.IsZero() {
		c.At, c.Day = sootline.Instant(at.At), at.Day
	}
	if f.point != "" {
		p, err := app.PointNamed(r, f.point)
		if err != nil {
			return c, err
		}
		c.Point = p.ID
	}
	form, err := sootline.FormOf(holds.Body)
	if err != nil {
		return c, err
	}
	c.Body, err = f.say(holds.Body.Kind(), form)
	return c, err
}

func entryID(text string) (sootline.ID, error) {
	id, err := sootline.ParseID(text)
	if err != nil {
		return id, sootline.Errorf(sootline.Invalid, "`sootline log` shows the ids", "%w", err)
	}
	return id, nil
}

func logWithdraw(s *session) *cobra.Command {
	var why string
	cmd := &cobra.Command{
		Use: "withdraw ENTRY", Short: "Take an entry back, also a correction or a withdrawal",
		Example: "  sootline log withdraw 01890a5d-ac96-774b-bcce-b302099a8057 --why \"wrong site\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := entryID(args[0])
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				e, err := a.Withdraw(cmd.Context(), site.ID, app.Amendment{Entry: id, Why: why})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Entry %s is withdrawn by entry %s; both stay in the log.\n", id, e.ID)
				return err
			})
		},
	}
	cmd.Flags().StringVar(&why, "why", "", "why, in words")
	return cmd
}
