package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type dueFlags struct {
	viewFlags
	all, full bool
	states    []string
	ics       string
}

func visitDue(s *session) *cobra.Command {
	var flags dueFlags
	cmd := &cobra.Command{
		Use: "due", Short: "List what is due, why, since when and until when",
		Long: "List what the rules of a site ask for: what, by which clause, since when the term runs, its\n" +
			"last day, and the entries it rests on. \"due\" means that it is to be done at a visit on that\n" +
			"day, since the visit after it would be too late; \"overdue\" that its last day is past.\n\n" +
			"The rules are chosen with `sootline visit rules`. --ics writes the last days as a calendar.",
		Example: "  sootline visit due --site Works\n  sootline visit due --all --ics due.ics\n  sootline visit due --full --state met",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error { return s.due(cmd, a, flags) })
		},
	}
	flags.viewFlags.add(cmd)
	cmd.Flags().BoolVar(&flags.all, "all", false, "every site of the book")
	cmd.Flags().BoolVar(&flags.full, "full", false, "a line for each point, with its reason")
	cmd.Flags().StringSliceVar(&flags.states, "state", []string{string(app.Overdue), string(app.DueNow)}, "only these: overdue, due, met (JSON and CSV hold all of them always)")
	cmd.Flags().StringVar(&flags.ics, "ics", "", "write the last days to this file as an iCalendar feed")
	return cmd
}

func dueStates() []app.DueState { return []app.DueState{app.Overdue, app.DueNow, app.Met} }

func (s *session) due(cmd *cobra.Command, a *app.App, flags dueFlags) error {
	for _, state := range flags.states {
		if !slices.Contains(dueStates(), app.DueState(state)) {
			return sootline.Errorf(sootline.Invalid, "one of overdue, due, met", "%q is not a state", state)
		}
	}
	lists, err := s.dueLists(cmd, a, flags)
	if err != nil {
		return err
	}
	s.progress.clear()
	if flags.ics != "" {
		if err := writeWhole(flags.ics, func(w io.Writer) error { return a.DueCalendar(w, lists) }); err != nil {
			return err
		}
	}
	switch {
	case flags.asJSON:
		err = printJSON(s.out, shape.OfDue(lists))
	case flags.asCSV:
		err = printCSV(s.out, shape.DueHead(), shape.DueRows(lists))
	default:
		for i, list := range lists {
			if i > 0 {
				fmt.Fprintln(s.out)
			}
			s.printDue(list, flags)
		}
		if flags.ics != "" {
			fmt.Fprintf(s.out, "\nThe last days are in %s.\n", flags.ics)
		}
		err = caution(s)
	}
	if err == nil {
		err = notShown(lists)
	}
	if err == nil && flags.strict && slices.ContainsFunc(lists, func(l app.DueList) bool { return l.Count(app.Overdue) > 0 }) {
		return errFindings
	}
	return err
}

// notShown ends a command that went over several sites and could not show all: what it
// printed says which and why, and whoever reads only how it ended is not told that all is well.
func notShown(lists []app.DueList) error {
	n := 0
	for i := range lists {
		if lists[i].Trouble != nil {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return sootline.Errorf(sootline.ErrorCode(lists[slices.IndexFunc(lists, func(l app.DueList) bool { return l.Trouble != nil })].Trouble), "", "%d of %s could not be shown", n, count(len(lists), "site", "sites"))
}

func (s *session) dueLists(cmd *cobra.Command, a *app.App, flags dueFlags) ([]app.DueList, error) {
	if !flags.all {
		site, err := a.Site(cmd.Context(), s.siteName)
		if err != nil {
			return nil, err
		}
		on, err := flags.when(cmd, a, site)
		if err != nil {
			return nil, err
		}
		list, err := a.Due(cmd.Context(), site, on)
		return []app.DueList{list}, err
	}
	if s.siteName != "" {
		return nil, usageError{fmt.Errorf("--all is every site, so --site has no place beside it")}
	}
	on, err := app.ParseDay(flags.on)
	if err != nil {
		return nil, err
	}
	return a.DueEverywhere(cmd.Context(), on)
}

func (s *session) printDue(list app.DueList, flags dueFlags) {
	if list.Trouble != nil {
		s.printTrouble(list.Trouble)
		return
	}
	fmt.Fprintf(s.out, "Site %s on %s: %d overdue, %d due, %d met.\n", list.Site.Name, list.On,
		list.Count(app.Overdue), list.Count(app.DueNow), list.Count(app.Met))
	fmt.Fprintf(s.out, "Next due: %s.\n", list.Next())
	s.printZoneDoubt(list.Register)
	if day := list.Forgotten(); day.Known() {
		fmt.Fprintf(s.out, "The visit of %s is still open: what was done since counts as done at it. Close it with `sootline visit close`.\n", day)
	}
	s.printStanding(list.Standing())
	says := map[app.DueState]string{app.Overdue: "overdue", app.DueNow: "due, at a visit on this day", app.Met: "met, until the visit after it"}
	for _, state := range dueStates() {
		if !slices.Contains(flags.states, string(state)) || list.Count(state) == 0 {
			continue
		}
		s.heading(fmt.Sprintf("%s (%d)", says[state], list.Count(state)))
		for _, rule := range append([]sootline.ServiceRule{app.DefectRule()}, app.RulesOf(list.Register)...) {
			s.printRuleDue(list, &rule, state, flags.full)
		}
	}
}

// printTrouble says why a site among others cannot be shown, and what to do.
func (s *session) printTrouble(err error) {
	fmt.Fprintf(s.out, "%s.\n", s.wrap("CAUTION: "+err.Error(), 0))
	if ways := inWords(sootline.ErrorWays(err)); ways != "" {
		fmt.Fprintf(s.out, "  -> %s\n", s.wrap(ways, 5))
	}
}

// printRuleDue prints what one rule asks for in one state: all points of one
// last day in a line, or each with its reason.
func (s *session) printRuleDue(list app.DueList, rule *sootline.ServiceRule, state app.DueState, full bool) {
	byDay := map[app.Day][]*app.Obligation{}
	var days []app.Day
	for i := range list.Obligations {
		o := &list.Obligations[i]
		if o.Rule.Name != rule.Name || o.State != state {
			continue
		}
		if byDay[o.Until] == nil {
			days = append(days, o.Until)
		}
		byDay[o.Until] = append(byDay[o.Until], o)
	}
	if len(days) == 0 {
		return
	}
	fmt.Fprintf(s.out, "  %s (%s)\n", rule.Name, app.RuleSource(rule))
	for _, day := range days {
		s.printDayDue(day, byDay[day], full)
	}
}

func (s *session) printDayDue(day app.Day, all []*app.Obligation, full bool) {
	const most = 14
	by := "at this visit"
	if day.Known() {
		by = "by " + day.String()
	}
	if full || len(all) == 1 {
		for _, o := range all {
			fmt.Fprintf(s.out, "    %-13s  %s\n", by, s.wrap(strings.Trim(asked(o)+": "+o.Why, ": "), 19))
		}
		return
	}
	var names []string
	for _, o := range all {
		names = append(names, asked(o))
	}
	text := fmt.Sprintf("%d in all: %s", len(names), joined(names[:min(most, len(names))]))
	if more := len(names) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	fmt.Fprintf(s.out, "    %-13s  %s\n", by, s.wrap(text, 19))
}

// asked names what an obligation is about.
func asked(o *app.Obligation) string {
	switch {
	case o.Work == "press":
		return o.Points[0].Ref().String() + ", " + o.Of
	case o.Of != "":
		return o.Of
	case len(o.Points) == 1:
		return o.Points[0].Ref().String()
	}
	return ""
}

func visitChanged(s *session) *cobra.Command {
	var text, at string
	cmd := &cobra.Command{
		Use: "changed [POINT...]", Short: "Log a change of configuration and the points it affects",
		Long:    "Log a change of configuration and the points known to be affected. Where a rule asks for it,\nthese and a share of the others are then due for a test.",
		Example: "  sootline visit changed 1.2.073 1.2.074 --text \"new cause and effect for the east stairs\"",
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				zone, err := s.siteZone(cmd, a, site)
				if err != nil {
					return err
				}
				when, err := (&sayFlags{at: at}).when(zone)
				if err != nil {
					return err
				}
				e, err := a.NoteChange(cmd.Context(), site.ID, when, text, args)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Added: changed, %s affected, as entry %s.\n", count(len(args), "point", "points"), e.ID)
				return err
			})
		},
	}
	cmd.Flags().StringVar(&text, "text", "", "what was changed")
	cmd.Flags().StringVar(&at, "at", "", "when, as 2026-01-15 or 2026-01-15T09:30 (default now)")
	return cmd
}
