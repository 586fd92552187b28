package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type alarmsFlags struct {
	viewFlags
	code, since, area string
	codes, all        bool
}

func alarmsCommand(s *session) *cobra.Command {
	var flags alarmsFlags
	cmd := &cobra.Command{
		Use:   "alarms",
		Short: "Count the false alarms, hold them against a code's limits, and say what to try",
		Long: "Count the false alarms of the last twelve months by category and as incidents (one area\n" +
			"within a day), give the rate per hundred detectors and year with the range that chance alone allows, hold it\n" +
			"against the limits of a code, and say which points, areas, causes and hours repeat, which came\n" +
			"from detectors outside their band, whether what was done helped, and what to try next.",
		Example: "  sootline alarms --site Works\n  sootline alarms --code is3218:2009\n" +
			"  sootline alarms --since 2025-06-01 --area Kitchen\n  sootline alarms --codes",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if flags.codes {
				return s.printCodes()
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.alarms(cmd, a, site, flags)
			})
		},
	}
	flags.add(cmd)
	f := cmd.Flags()
	f.StringVar(&flags.code, "code", "", "the code and edition whose limits hold (default the first of --codes)")
	f.BoolVar(&flags.codes, "codes", false, "list the codes with their limits, and how each figure is known")
	f.StringVar(&flags.since, "since", "", "compare before this day with after it: did what was done then help?")
	f.StringVar(&flags.area, "area", "", "with --since: only this area")
	f.BoolVar(&flags.all, "all", false, "every alarm, and every action looked at")
	return cmd
}

func (s *session) alarms(cmd *cobra.Command, a *app.App, site store.SiteLine, flags alarmsFlags) error {
	on, err := flags.when(cmd, a, site)
	if err != nil {
		return err
	}
	r, err := a.Alarms(cmd.Context(), site.ID, on, flags.code)
	if err != nil {
		return err
	}
	switch {
	case flags.since != "":
		err = s.printSince(r, flags)
	case flags.asJSON:
		err = printJSON(s.out, shape.OfAlarms(r))
	case flags.asCSV:
		err = printCSV(s.out, shape.AlarmsHead(), shape.AlarmsRows(r))
	default:
		err = s.printAlarms(r, flags.all)
	}
	if err == nil && flags.strict && app.AboveLimits(r) > 0 {
		return errFindings
	}
	return err
}

// printSince says whether what was done on a day helped.
func (s *session) printSince(r *app.AlarmReport, flags alarmsFlags) error {
	at, err := sootline.ParseDayBegins(flags.since, r.Zone)
	if err != nil {
		return usageError{fmt.Errorf("--since %q is not a date such as 2025-06-01", flags.since)}
	}
	e, err := app.AlarmsSince(r, flags.area, at)
	if err != nil {
		return err
	}
	if flags.asJSON {
		return printJSON(s.out, shape.OfEffect(&e))
	}
	fmt.Fprintf(s.out, "False alarms of %s before and since %s: %s.\n  %s\n", cmp.Or(flags.area, "the site"), flags.since, e.State, s.wrap(e.Reason, 2))
	if e.Before.Incidents+e.After.Incidents > 0 && e.Known() {
		fmt.Fprintf(s.out, "  before: %s\n  since:  %s\n", perYear(&e.Before), perYear(&e.After))
		fmt.Fprintf(s.out, "  rate before over rate since: %s (%s to %s at 95 %%)\n", times(e.Ratio.Value), times(e.Ratio.Low), times(e.Ratio.High))
	}
	return caution(s)
}

func perYear(t *app.AlarmTally) string {
	return fmt.Sprintf("%d in %s detector-years, from %s to %s", t.Incidents, app.FigureOfRate(t.Exposure), t.From.Format(time.DateOnly), t.To.Format(time.DateOnly))
}

func times(x float64) string {
	if x > 1e6 {
		return "no end"
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

func (s *session) printCodes() error {
	for _, code := range app.AlarmCodes() {
		s.heading(fmt.Sprintf("%s: %s, %s", code.Key, code.Name, code.Edition))
		for _, t := range code.Triggers {
			fmt.Fprintf(s.out, "  %s\n", s.wrap(t.Limit()+": "+t.Level, 6))
			fmt.Fprintf(s.out, "      %s\n", s.wrap(t.Known(), 6))
		}
	}
	_, err := fmt.Fprintln(s.out, "\nBuy or consult the edition in force: editions change, and these are restated.")
	return err
}

func (s *session) printAlarms(r *app.AlarmReport, all bool) error {
	first := fmt.Sprintf("Site %s, twelve months to %s: %s in %s", r.Register.Site.Name, r.Local(r.On), count(r.Year.Alarms, "false alarm", "false alarms"), count(r.Year.Incidents, "incident", "incidents"))
	if r.Fires > 0 {
		first += fmt.Sprintf("; %s besides", count(r.Fires, "real fire", "real fires"))
	}
	s.say(2, "%s.", first)
	s.printRate(r)
	s.printCategories(r)
	s.printLimits(r)
	s.printRepeats(r)
	s.printDrifted(r)
	s.printEffects(r, all)
	if r.Year.Alarms > 0 || r.YearBefore.Alarms > 0 {
		s.heading("month by month")
		fmt.Fprintln(s.out, strings.TrimRight(app.AlarmPicture(r).Text(s.columns()), "\n"))
	}
	if all {
		s.printEach(r)
	}
	if len(r.Advice) > 0 {
		s.heading("what to try next")
		for _, a := range r.Advice {
			fmt.Fprintf(s.out, "  %s\n  -> %s\n", s.wrap(a.Because, 2), s.wrap(inWords(sootline.Ways{a.Way}), 5))
		}
	}
	fmt.Fprintf(s.out, "\n%s\n", s.wrap(app.AlarmCaution, 0))
	return caution(s)
}

func (s *session) printRate(r *app.AlarmReport) {
	if !r.Year.Known() {
		fmt.Fprintln(s.out, "  no rate: there is no automatic detector on record, or no record yet")
	} else {
		s.say(8, "  rate: %s incidents for 100 detectors and year; between %s and %s at 95 %%",
			app.FigureOfRate(r.Year.Per100), app.FigureOfRate(r.Year.Low), app.FigureOfRate(r.Year.High))
		s.say(4, "  %s automatic detectors (call points are not counted), %s detector-years", app.FigureOfRate(r.Year.Detectors), app.FigureOfRate(r.Year.DetectorYears))
	}
	if r.YearBefore.Known() {
		fmt.Fprintf(s.out, "  the twelve months before: %s, rate %s\n", count(r.YearBefore.Incidents, "incident", "incidents"), app.FigureOfRate(r.YearBefore.Per100))
	}
	if r.Attended > 0 {
		fmt.Fprintf(s.out, "  the fire service came %s\n", count(r.Attended, "time", "times"))
	}
	for _, note := range r.Notes {
		fmt.Fprintf(s.out, "  note: %s\n", s.wrap(note, 8))
	}
}

func (s *session) printCategories(r *app.AlarmReport) {
	if r.Year.Alarms == 0 {
		return
	}
	s.heading("by category")
	for _, c := range r.ByCategory {
		if c.Alarms > 0 {
			fmt.Fprintf(s.out, "  %-12s %s in %s\n", c.Category, count(c.Alarms, "alarm", "alarms"), count(c.Incidents, "incident", "incidents"))
		}
	}
}

func (s *session) printLimits(r *app.AlarmReport) {
	s.heading(fmt.Sprintf("against %s, %s", r.Code.Name, r.Code.Edition))
	for _, a := range r.Answers {
		fmt.Fprintf(s.out, "  %-15s %s\n", a.State, s.wrap(a.Level+": "+a.Limit(), 18))
		fmt.Fprintf(s.out, "                  %s\n", s.wrap(a.Reason, 18))
		if a.Chance != "" && a.Why != "" {
			fmt.Fprintf(s.out, "                  %s\n", s.wrap(fmt.Sprintf("and by chance alone? %s: %s", a.Chance, a.Why), 18))
		}
	}
}

// most is how many lines of a list are shown to people.
const most = 5

func (s *session) printRepeats(r *app.AlarmReport) {
	for _, list := range []struct {
		name    string
		repeats []app.AlarmRepeat
	}{{"points", r.Points}, {"areas", r.Areas}, {"causes", r.Causes}, {"hours", r.Hours}, {"days of the week", r.Weekdays}} {
		again := slices.DeleteFunc(slices.Clone(list.repeats), func(x app.AlarmRepeat) bool { return x.Incidents < 2 })
		if len(again) == 0 {
			continue
		}
		s.heading(list.name + " that repeat")
		for _, x := range again[:min(most, len(again))] {
			often := count(x.Alarms, "alarm", "alarms") + " in " + count(x.Incidents, "incident", "incidents") + byChance(&x)
			fmt.Fprintf(s.out, "  %-24s %s\n", x.Name, s.wrap(often, 27))
		}
	}
}

func byChance(x *app.AlarmRepeat) string {
	switch {
	case x.Expected == 0:
		return ""
	case x.More():
		return fmt.Sprintf("; %.2g by chance: more than chance (p = %.2g, all looked at counted in)", x.Expected, x.P)
	}
	return fmt.Sprintf("; %.2g by chance: may be chance", x.Expected)
}

func (s *session) printDrifted(r *app.AlarmReport) {
	if r.Drift.Alarms == 0 {
		return
	}
	s.heading("and their resting values")
	fmt.Fprintf(s.out, "  %s\n", s.wrap(r.Drift.Reason, 2))
	for _, d := range r.Drift.List {
		fmt.Fprintf(s.out, "  %s  %s  %s, %s\n", r.Local(d.At), d.Point.Ref(), d.Verdict, d.Words)
	}
}

func (s *session) printEffects(r *app.AlarmReport, all bool) {
	if len(r.Effects) == 0 {
		return
	}
	s.heading("did it help?")
	shown := 0
	for i := range r.Effects {
		e := &r.Effects[i]
		if !all && (e.State == app.TooFewToTell || shown == most) {
			continue
		}
		shown++
		fmt.Fprintf(s.out, "  %s  %s: %s; %s\n", r.Local(e.On), e.What, e.State, s.wrap(e.Reason, 4))
	}
	if rest := len(r.Effects) - shown; rest > 0 {
		s.say(4, "  of %s at points that had alarmed nobody can tell yet, or they are left out here: --all", count(rest, "action", "actions"))
	}
}

// printEach lists every false alarm of the twelve months.
func (s *session) printEach(r *app.AlarmReport) {
	s.heading("every false alarm")
	for _, in := range r.Incidents {
		for i := range in.Alarms {
			a := &in.Alarms[i]
			again := ""
			if i > 0 {
				again = " (same incident)"
			}
			fmt.Fprintf(s.out, "  %s  %-9s %-11s %s%s\n", fmt.Sprintf("%-16s", a.Entry.When(r.Zone, "2006-01-02 15:04")), shape.Ref(a.Point), a.Category, s.wrap(cmp.Or(join(a.Cause, a.Text), "-"), 41), again)
		}
	}
}

func join(cause, text string) string {
	if cause == "" || text == "" {
		return cause + text
	}
	return cause + ": " + text
}
