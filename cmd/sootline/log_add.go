package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// sayFlags are what an entry made by hand says, as flags or as JSON.
type sayFlags struct {
	at, point, text, cause, body string
	category                     string
	values                       []string
	settings                     []string
	wanted, found                int
	typ, serial                  string
	failed, attended             bool
}

func (f *sayFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.at, "at", "", "when it happened, as 2026-01-15 or 2026-01-15T09:30, on the site's clock (default now)")
	flags.StringVar(&f.point, "point", "", "the point, for example 1.2.073")
	flags.StringVar(&f.text, "text", "", "in words")
	flags.StringVar(&f.cause, "cause", "", "cause of an alarm, fault or disablement")
	flags.StringVar(&f.category, "category", "", "of an alarm: unwanted, equipment, malicious, good intent, fire or test")
	flags.BoolVar(&f.attended, "attended", false, "the fire service came to the alarm")
	flags.StringArrayVar(&f.values, "value", nil, "samples of a reading with spaces between them, for example \"25 26 25.5\"; or given again for each")
	flags.StringSliceVar(&f.settings, "setting", nil, "settings wanted, as name=choice")
	flags.IntVar(&f.wanted, "wanted", 0, "the number that a point should have")
	flags.IntVar(&f.found, "found", 0, "the number that a point was found to have")
	flags.StringVar(&f.typ, "type", "", "type of the device fitted instead")
	flags.StringVar(&f.serial, "serial", "", "serial of the device fitted instead")
	flags.BoolVar(&f.failed, "failed", false, "the device did not pass its test")
	flags.StringVar(&f.body, "body", "", "what the entry says, as JSON (docs/formats/log.md), for any kind")
}

// say makes the body of an entry from the flags, by way of the kind's own JSON,
// so that a flag the kind has no use for is a mistake and not silence.
func (f *sayFlags) say(kind sootline.Kind) (sootline.Body, error) {
	raw := []byte(f.body)
	if f.body == "" {
		fields, err := f.fields(kind)
		if err != nil {
			return nil, err
		}
		if raw, err = json.Marshal(fields); err != nil {
			return nil, err
		}
	}
	body, err := sootline.DecodeBody(kind, raw)
	if sootline.ErrorCode(err) == sootline.Newer { // here it is a slip of the pen
		return nil, sootline.Errorf(sootline.Invalid, "`sootline log add --help` lists the kinds", "%w", err)
	}
	return body, err
}

func (f *sayFlags) fields(kind sootline.Kind) (map[string]any, error) {
	fields := map[string]any{}
	for name, value := range map[string]string{"text": f.text, "cause": f.cause, "category": f.category, "type": f.typ, "serial": f.serial} {
		if value != "" {
			fields[name] = value
		}
	}
	if kind == sootline.ReadKind && f.text != "" {
		delete(fields, "text")
		fields["remark"] = f.text
	}
	if f.wanted != 0 {
		fields["wanted"] = f.wanted
	}
	if f.found != 0 {
		fields["found"] = f.found
	}
	if f.failed {
		fields["failed"] = true
	}
	if f.attended {
		fields["attended"] = true
	}
	if len(f.values) > 0 {
		samples, err := numbers(f.values)
		if err != nil {
			return nil, err
		}
		fields["samples"] = samples
	}
	if len(f.settings) > 0 {
		wanted := map[string]string{}
		for _, setting := range f.settings {
			name, choice, ok := strings.Cut(setting, "=")
			if !ok {
				return nil, sootline.Errorf(sootline.Invalid, "for example --setting sensitivity=high", "%q is not a setting", setting)
			}
			wanted[name] = choice
		}
		fields["wanted"] = wanted
	}
	return fields, nil
}

func numbers(texts []string) ([]float64, error) {
	var all []float64
	for _, text := range texts {
		samples, err := app.TypedSamples(text)
		if err != nil {
			return nil, err
		}
		all = append(all, samples...)
	}
	return all, nil
}

// when reads --at on the site's clock; empty gives the zero moment, which is now.
func (f *sayFlags) when(zone *time.Location) (sootline.Moment, error) {
	if f.at == "" {
		return sootline.Moment{}, nil
	}
	return sootline.ParseMoment(f.at, zone)
}

func logAdd(s *session) *cobra.Command {
	var flags sayFlags
	long := "Add an entry to the log book by hand. The kinds:\n\n"
	for _, kind := range sootline.Kinds() {
		if !kind.ByProgram && kind.Kind != sootline.CorrectedKind && kind.Kind != sootline.WithdrawnKind {
			long += fmt.Sprintf("  %-10s %s\n", kind.Kind, kind.Says)
		}
	}
	cmd := &cobra.Command{
		Use: "add KIND", Short: "Add an entry by hand",
		Long: long + "\nCorrections and withdrawals have commands of their own.",
		Example: "  sootline log add read --point 1.2.073 --value \"25 26 25\"\n" +
			"  sootline log add cleaned --point 1.2.073 --at 2026-01-15 --text \"flour dust\"\n" +
			"  sootline log add restored --point 1.2.073",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			body, err := flags.say(sootline.Kind(args[0]))
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
				e, err := a.AddEntry(cmd.Context(), site.ID, app.Note{At: at.At, Day: at.Day, Point: flags.point, Body: body})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Added: %s, as entry %s.\n", strings.TrimSpace(string(e.Body.Kind())+" "+flags.point), e.ID)
				return err
			})
		},
	}
	flags.add(cmd)
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
		Long: "Put an entry right: give what it should have said, whole. When and where it happened stay\n" +
			"as they were unless --at or --point say otherwise. Both entries stay in the log.",
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
				e, err := a.Correct(cmd.Context(), site.ID, app.Amendment{Entry: id, Why: why}, func(old sootline.Entry) (sootline.Corrected, error) {
					return flags.correction(r, old)
				})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Entry %s is corrected by entry %s; both stay in the log.\n", id, e.ID)
				return err
			})
		},
	}
	flags.add(cmd)
	cmd.Flags().StringVar(&why, "why", "", "why, in words")
	return cmd
}

func (f *sayFlags) correction(r *sootline.Register, old sootline.Entry) (sootline.Corrected, error) {
	c := sootline.Corrected{At: old.At, Day: old.Day, Point: old.Point, Body: old.Body}
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
	said, err := f.fields(old.Body.Kind())
	if err != nil || len(said) == 0 && f.body == "" {
		return c, err
	}
	c.Body, err = f.say(old.Body.Kind())
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
