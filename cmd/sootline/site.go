package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func siteCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use: "site", Short: "Add, list and show sites, and set their rules",
		Example: "  sootline site add \"Works\" --loop 1 --loop 2",
	}
	cmd.AddCommand(siteAdd(s), siteList(s), siteShow(s), siteLoop(s), siteArea(s), siteRules(s), siteFacts(s))
	return cmd
}

func siteAdd(s *session) *cobra.Command {
	var zone string
	var loops []string
	cmd := &cobra.Command{
		Use:   "add NAME",
		Short: "Add a site to the book; makes the book where there is none",
		Long: "Add a site to the book; makes the book where there is none.\n\n" +
			"A loop is given as LOOP or PANEL.LOOP, with its numbers where they are not 1 to 126:\n" +
			"--loop 1.2=1-99/0 says that loop 2 of panel 1 allows 1 to 99 and that a new device\n" +
			"carries 0. (1 to 126 with 127 unset is common practice, no source.)",
		Example: "  sootline site add \"Works\" --loop 1 --loop 2\n  sootline site add \"Mill\" --zone Europe/Paris --loop 1.1=1-99/0",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			in := app.NewSite{Name: args[0], Zone: zone}
			for _, text := range loops {
				loop, err := parseLoop(text)
				if err != nil {
					return err
				}
				in.Loops = append(in.Loops, loop)
			}
			return s.open(cmd.Context(), true, func(a *app.App) error {
				if _, err := a.AddSite(cmd.Context(), in); err != nil {
					return err
				}
				_, err := fmt.Fprintf(s.out, "Added site %s to book %s.\nNext: take in the listings you have, whatever their shape:\n\n  sootline take types.csv schedule.csv readings.csv --site %s\n",
					in.Name, a.Book.Path(), shellWord(in.Name))
				return err
			})
		},
	}
	cmd.Flags().StringArrayVar(&loops, "loop", nil, "a loop, as LOOP, PANEL.LOOP or PANEL.LOOP=FIRST-LAST/UNSET; repeat for more")
	cmd.Flags().StringVar(&zone, "zone", "", "time zone of the site, for example Europe/Paris (default UTC)")
	return cmd
}

// parseLoop reads LOOP, PANEL.LOOP, and either with =FIRST-LAST/UNSET.
func parseLoop(text string) (sootline.LoopFacts, error) {
	bad := func() (sootline.LoopFacts, error) {
		return sootline.LoopFacts{}, sootline.Errorf(sootline.Invalid, "for example --loop 1, --loop 1.2, or --loop 1.2=1-99/0", "%q is not a loop", text)
	}
	name, span, described := strings.Cut(text, "=")
	loop := sootline.LoopFacts{Panel: "1", First: sootline.DefaultFirst, Last: sootline.DefaultLast, Unset: sootline.DefaultUnset}
	loop.Loop = sootline.CleanName(name)
	if panel, rest, both := strings.Cut(name, "."); both {
		loop.Panel, loop.Loop = sootline.CleanName(panel), sootline.CleanName(rest)
	}
	if loop.Loop == "" || loop.Panel == "" || strings.ContainsAny(loop.Loop, "./ ") {
		return bad()
	}
	if !described {
		return loop, nil
	}
	numbers, unset, saysUnset := strings.Cut(span, "/")
	first, last, ok := strings.Cut(numbers, "-")
	var errs [3]error
	loop.First, errs[0] = strconv.Atoi(first)
	loop.Last, errs[1] = strconv.Atoi(last)
	loop.Unset = 0
	if saysUnset {
		loop.Unset, errs[2] = strconv.Atoi(unset)
	}
	if !ok || errs[0] != nil || errs[1] != nil || errs[2] != nil || loop.First > loop.Last {
		return bad()
	}
	return loop, nil
}

func siteList(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "list", Short: "List the sites of the book",
		Example: "  sootline site list",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				sites, err := a.Book.Sites(cmd.Context())
				if err != nil {
					return err
				}
				if asJSON {
					return s.sitesAsJSON(cmd.Context(), a, sites)
				}
				if len(sites) == 0 {
					_, err := fmt.Fprintln(s.out, "The book has no site yet. Add one:\n\n  sootline site add \"Works\" --loop 1")
					return err
				}
				var rows [][]string
				for _, site := range sites {
					last := ""
					if site.Last.After(sootline.LongAgo) {
						last = site.Last.Format(time.DateOnly)
					}
					rows = append(rows, []string{site.Name, strconv.Itoa(site.Entries), strconv.Itoa(site.Stations), last})
				}
				if err := printTable(s.out, []string{"site", "entries", "stations", "last entry (UTC)"}, rows); err != nil {
					return err
				}
				return s.printUnreadable(cmd.Context(), a, sites)
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}

// sitesAsJSON prints sites, each with what is the matter where its log cannot be read.
func (s *session) sitesAsJSON(ctx context.Context, a *app.App, sites []store.SiteLine) error {
	for i := range sites {
		sites[i].Trouble = a.Readable(ctx, sites[i])
		if ctx.Err() != nil {
			return sites[i].Trouble
		}
	}
	return printJSON(s.out, shape.OfSites(sites))
}

// siteAsJSON prints a site as a whole, judged.
func (s *session) siteAsJSON(ctx context.Context, a *app.App, site store.SiteLine) error {
	survey, err := a.Survey(ctx, site.ID, now())
	if err == nil {
		err = survey.Judge(ctx)
	}
	s.progress.clear()
	if err != nil {
		return err
	}
	return printJSON(s.out, shape.OfSite(survey))
}

// printUnreadable says below a list of sites of which the log cannot be read, and why.
func (s *session) printUnreadable(ctx context.Context, a *app.App, sites []store.SiteLine) error {
	for _, site := range sites {
		if err := a.Readable(ctx, site); err != nil {
			if ctx.Err() != nil {
				return err
			}
			s.printTrouble(err)
		}
	}
	return nil
}

func siteShow(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "show", Short: "Show what the log book says of a site",
		Example: "  sootline site show --site Works",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if asJSON {
					return s.siteAsJSON(cmd.Context(), a, site)
				}
				figures, err := a.FiguresAt(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				if err := showSite(s, r); err != nil {
					return err
				}
				s.heading("figures")
				for _, f := range figures.List() {
					fmt.Fprintf(s.out, "  %-52s  %s\n", f.Name, s.wrap(f.Value, 56))
				}
				return nil
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}

func showSite(s *session, r *sootline.Register) error {
	disabled := 0
	onLoop := map[sootline.LoopID]int{}
	for _, p := range r.Points() {
		onLoop[p.LoopID()]++
		if p.Disabled != nil {
			disabled++
		}
	}
	rules := r.Site.Rules
	s.say(2, "Site %s, time zone %s: %d points, %d types, %d readings, %d entries.",
		r.Site.Name, orUTC(r.Site.Zone), len(r.Points()), len(r.Sheets()), r.Readings, r.Entries)
	s.printZoneDoubt(r)
	s.say(2, "Rules: a visit every %d months; a disablement is forgotten after %d days; usual spread %.4g.",
		rules.VisitMonths, rules.ForgottenDays, rules.PooledSD)
	fmt.Fprintln(s.out, s.wrap("Losses: "+rules.Losses.Say()+".", 0))
	if disabled > 0 {
		fmt.Fprintf(s.out, "STILL DISABLED: %d points; `sootline check` lists them.\n", disabled)
	}
	if open, mended := r.CountDefects(); open+mended > 0 {
		fmt.Fprintf(s.out, "Defects: %s; `sootline defect` lists them.\n", defectsWaiting(open, mended))
	}
	if len(r.Loops()) == 0 {
		_, err := fmt.Fprintln(s.out, "\nNo loop is described yet:\n\n  sootline site loop 1.1=1-126/127")
		return err
	}
	var rows [][]string
	for _, loop := range r.Loops() {
		said := ""
		if !r.Described(loop.LoopID) {
			said = "assumed"
		}
		rows = append(rows, []string{
			loop.String(), fmt.Sprintf("%d to %d", loop.First, loop.Last), strconv.Itoa(loop.Unset),
			strconv.Itoa(onLoop[loop.LoopID]), said,
		})
	}
	fmt.Fprintln(s.out)
	return printTable(s.out, []string{"loop", "numbers", "unset", "points", ""}, rows)
}

func siteLoop(s *session) *cobra.Command {
	var reserved []int
	var separate bool
	cmd := &cobra.Command{
		Use: "loop LOOP...", Short: "Say which numbers a loop allows",
		Long:    "Say which numbers a loop allows and which one a device carries before anyone sets it.\nA later word replaces an earlier one.",
		Example: "  sootline site loop 1.2=1-99/0 --site Works\n  sootline site loop 1.2=1-159/0 --separate --reserved 50,51",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				for _, text := range args {
					loop, err := parseLoop(text)
					if err != nil {
						return err
					}
					loop.Reserved, loop.Separate = reserved, separate
					if err := a.SetLoop(cmd.Context(), site.ID, loop); err != nil {
						return err
					}
					fmt.Fprintf(s.out, "Loop %s.%s allows %d to %d; unset is %d.\n", loop.Panel, loop.Loop, loop.First, loop.Last, loop.Unset)
				}
				return nil
			})
		},
	}
	cmd.Flags().IntSliceVar(&reserved, "reserved", nil, "numbers that are kept free")
	cmd.Flags().BoolVar(&separate, "separate", false, "detectors and the other devices have a range each")
	return cmd
}

func siteRules(s *session) *cobra.Command {
	var facts sootline.Opened
	var asJSON bool
	cmd := &cobra.Command{
		Use: "rules", Short: "Set a site's rules, time zone or name",
		Example: "  sootline site rules --site Works --visit-months 6 --zone Europe/Paris",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if err := notZero(cmd.Flags()); err != nil {
					return err
				}
				if facts != (sootline.Opened{}) {
					if err := a.SetFacts(cmd.Context(), site.ID, facts); err != nil {
						return err
					}
				}
				if asJSON {
					return s.siteAsJSON(cmd.Context(), a, site)
				}
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				return showSite(s, r)
			})
		},
	}
	addJSON(cmd, &asJSON)
	flags := cmd.Flags()
	flags.StringVar(&facts.Name, "name", "", "another name for the site")
	flags.StringVar(&facts.Zone, "zone", "", "time zone, for example Europe/Paris")
	flags.StringVar(&facts.Remark, "remark", "", "a remark on the site")
	flags.IntVar(&facts.Rules.VisitMonths, "visit-months", 0, "months from one visit to the next")
	flags.IntVar(&facts.Rules.ForgottenDays, "forgotten-days", 0, "days after which a disablement counts as forgotten")
	flags.Float64Var(&facts.Rules.PooledSD, "usual-spread", 0, "usual spread of a resting value about its trend, where a type sheet gives none")
	lossFlags(flags, &facts.Rules.Losses)
	return cmd
}

// notZero refuses a zero, with which a rule is not chosen, and the one before would stay without a word.
func notZero(flags *pflag.FlagSet) (err error) {
	flags.Visit(func(f *pflag.Flag) {
		if f.Value.String() == "0" {
			err = sootline.NotChosen("--" + f.Name)
		}
	})
	return err
}

// lossFlags are for what it costs to be wrong about a detector.
func lossFlags(flags *pflag.FlagSet, losses *sootline.Losses) {
	flags.Float64Var(&losses.Missed, "loss-missed", 0, "what it costs to miss a detector that is outside until the next visit")
	flags.Float64Var(&losses.Look, "loss-look", 0, "what a second look for nothing costs")
	flags.Float64Var(&losses.Clean, "loss-clean", 0, "what a needless cleaning at a visit costs")
	flags.Float64Var(&losses.Trip, "loss-trip", 0, "what a trip between visits to clean costs, for nothing")
	flags.Float64Var(&losses.Replace, "loss-replace", 0, "what it costs to replace a good unit")
}

// printZoneDoubt says that days are read in UTC for want of the site's zone.
func (s *session) printZoneDoubt(r *sootline.Register) {
	if doubt := r.Site.ZoneDoubt(); doubt != "" {
		s.say(2, "CAUTION: %s; `sootline check` says what to do.", doubt)
	}
}

func orUTC(zone string) string {
	if zone == "" {
		return "UTC"
	}
	return zone
}

// shellWord quotes a word where a shell needs it.
func shellWord(s string) string {
	if s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./,:") == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
