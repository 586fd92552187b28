package main

import (
	"fmt"
	"math"
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

type judgeFlags struct {
	viewFlags
	all    bool
	why    bool
	action []string
}

func judgeCommand(s *session) *cobra.Command {
	var flags judgeFlags
	cmd := &cobra.Command{
		Use:   "judge [POINT...]",
		Short: "Judge the resting values, and say what to do at each point",
		Long: "Judge the latest resting value of every detector against the band of its type, say whether\n" +
			"it drifts and when it will leave its band, and what to do: leave, look again, clean at the\n" +
			"visit, clean now, replace, or read. Shows the points that need something; --all shows all,\n" +
			"and a point that is named is shown with every reason.",
		Example: "  sootline judge --site Works\n  sootline judge 1.2.073 --on 2026-01-15\n  sootline judge --site Works --json --all",
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.judge(cmd, a, site, args, flags)
			})
		},
	}
	flags.viewFlags.add(cmd)
	cmd.Flags().BoolVar(&flags.all, "all", false, "also the points that can be left alone (JSON and CSV hold all of them always)")
	cmd.Flags().BoolVar(&flags.why, "why", false, "every reason, not only the one that decided")
	cmd.Flags().StringSliceVar(&flags.action, "action", nil, "only points with these actions, for example \"clean now,replace\"")
	return cmd
}

func (s *session) judge(cmd *cobra.Command, a *app.App, site store.SiteLine, points []string, flags judgeFlags) error {
	on, err := flags.when(cmd, a, site)
	if err != nil {
		return err
	}
	survey, err := a.Survey(cmd.Context(), site.ID, on)
	if err != nil {
		return err
	}
	if err := survey.Judge(cmd.Context()); err != nil {
		return err
	}
	r := survey.Register
	judgements, err := selected(r, survey.Judged().Judgements, points, flags.action)
	if err != nil {
		return err
	}
	s.progress.clear()
	switch {
	case flags.asJSON:
		err = printJSON(s.out, shape.OfJudged(r, on, judgements))
	case flags.asCSV:
		err = printCSV(s.out, judgeHead, judgeRows(judgements))
	default:
		one := len(points) > 0
		switch err = s.printWork(r, on, judgements, flags.all || one, flags.why || one); {
		case err != nil || len(judgements) == 0:
		case one:
			s.printHistories(survey, judgements)
		default:
			s.printOverview(survey.Judged().Overview, len(survey.Asked()))
		}
		if since := survey.RulesSince(); err == nil && !since.IsZero() {
			s.say(2, "By the rules that held on %s: others were set on %s.", on.Format(time.DateOnly), since.Format(time.DateOnly))
		}
		if err == nil {
			err = caution(s)
		}
	}
	if err != nil {
		return err
	}
	if flags.strict && slices.ContainsFunc(judgements, func(j app.Judgement) bool { return j.Action != app.Leave }) {
		return errFindings
	}
	return nil
}

// selected keeps the points that were named, or all, and of those the ones with
// the actions asked for.
func selected(r *sootline.Register, judgements []app.Judgement, points, actions []string) ([]app.Judgement, error) {
	named := map[*sootline.Point]bool{}
	for _, name := range points {
		p, err := app.PointNamed(r, name)
		if err != nil {
			return nil, err
		}
		named[p] = true
	}
	kept := slices.DeleteFunc(slices.Clone(judgements), func(j app.Judgement) bool {
		return len(named) > 0 && !named[j.Point] || len(actions) > 0 && !slices.Contains(actions, string(j.Action))
	})
	if len(named) > len(kept) && len(actions) == 0 {
		return nil, sootline.Errorf(sootline.NotFound, "`sootline check` shows what else is known of it", "a point named here has no resting value to judge")
	}
	return kept, nil
}

// printWork prints the work list: first what needs somebody now.
func (s *session) printWork(r *sootline.Register, on time.Time, judgements []app.Judgement, all, why bool) error {
	if len(judgements) == 0 {
		_, err := fmt.Fprintf(s.out, "Site %s has nothing to judge yet. Take in its schedule and readings:\n\n  sootline take schedule.csv readings.csv --site %s\n", r.Site.Name, shellWord(r.Site.Name))
		return err
	}
	first := fmt.Sprintf("Site %s on %s: %s judged", r.Site.Name, on.Format(time.DateOnly), count(len(judgements), "point", "points"))
	groups := app.ByAction(judgements)
	for _, g := range groups {
		first += fmt.Sprintf(", %d %s", len(g.Judgements), g.Action)
	}
	fmt.Fprintf(s.out, "%s.\n", s.wrap(first, 0))
	for _, g := range groups {
		if g.Action == app.Leave && !all {
			continue
		}
		s.heading(fmt.Sprintf("%s (%d)", g.Action, len(g.Judgements)))
		for _, j := range g.Judgements {
			s.printPoint(j, why)
		}
	}
	return nil
}

// printHistories draws what was read at each point, and where that leads.
func (s *session) printHistories(survey *app.Survey, judgements []app.Judgement) {
	for _, j := range judgements {
		fmt.Fprintf(s.out, "\n%s", survey.History(j.Point).Text(s.columns()-4))
	}
}

// printOverview tells of the site as a whole, in a few lines.
func (s *session) printOverview(o app.Overview, questions int) {
	const most = 3
	s.heading("the site as a whole")
	fmt.Fprintf(s.out, "  inside the band: %s\n", s.wrap(o.Reason, 19))
	for _, area := range o.Areas[:min(most, len(o.Areas))] {
		name := area.Area
		if name == "" {
			name = "no area named"
		}
		fmt.Fprintf(s.out, "  %s: %d of %d outside, %d on the way\n", name, area.Outside, area.Points, area.Leaving)
	}
	for _, typ := range o.Ageing[:min(most, len(o.Ageing))] {
		fmt.Fprintf(s.out, "  %s ages: %d of %d fall, by %s a year in the middle\n", typ.Type, typ.Falling, typ.Points, sootline.Significant(-typ.Drift, 3))
	}
	if questions > 0 {
		fmt.Fprintf(s.out, "  %s about what nobody wrote down: sootline ask\n", count(questions, "question", "questions"))
	}
}

// printPoint prints what a point reads and where it is, and under it the reason
// that decided, or all of them.
func (s *session) printPoint(j app.Judgement, why bool) {
	fmt.Fprintf(s.out, "  %-9s %-18s %s\n", j.Point.Ref(), reads(j), s.wrap(where(j.Point), 31))
	for i, reason := range j.Sentences() {
		if i > 0 && !why {
			break
		}
		fmt.Fprintf(s.out, "            %s\n", s.wrap(reason, 12))
	}
	if why {
		s.printOthers(j)
	}
}

// printOthers prints what else was read at a point, each with its reasons; the one
// that decided for the point stands above already.
func (s *session) printOthers(j app.Judgement) {
	for _, other := range j.Others {
		fmt.Fprintf(s.out, "            %s: %s\n", other.Quantity, other.Action)
		for _, reason := range other.Sentences() {
			if other.Quantity+": "+reason != j.Sentences()[0] {
				fmt.Fprintf(s.out, "              %s\n", s.wrap(reason, 14))
			}
		}
	}
}

// reads tells the value beside its band, as 33 in 18..36, with the unit where it
// is not that of the resting value.
func reads(j app.Judgement) string {
	if j.ReadAt.IsZero() {
		return "not read"
	}
	shown := math.Round(j.Value*1000) / 1000 // a figure turned into another unit has no end
	value := number(&shown)
	if j.Quantity != "" && j.Sheet.Unit != "" {
		value += " " + j.Sheet.Unit
	}
	if j.Band != nil && (j.Band.Low != nil || j.Band.High != nil) { // an end that is not known is left open
		value += fmt.Sprintf(" in %s..%s", number(j.Band.Low), number(j.Band.High))
	}
	return value
}

func where(p *sootline.Point) string {
	var parts []string
	for _, part := range []string{p.Location, p.Area, p.Type} {
		if part != "" && !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}

func number(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}
