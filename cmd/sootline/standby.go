package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type standbyFlags struct {
	rule      int
	loads     []string
	panel     string
	coldest   float64
	design    float64
	ageing    float64
	chargerMA float64
	accepts   float64
	largest   float64
	sizes     []string
	rules     bool
	json      bool
	changed   func(string) bool
}

func standbyCommand(s *session) *cobra.Command {
	var flags standbyFlags
	cmd := &cobra.Command{
		Use:   "standby",
		Short: "Size the standby battery",
		Long: "Size the standby battery behind a load list. --panel takes what stands on the loops of a panel\n" +
			"from the register, and the load list that `standby loads` keeps of it; --load adds a line for\n" +
			"once, or takes the place of the kept one of its name, and so does each figure that is typed.\n" +
			"It is sized by the rule set of --rule or of the kept list, with its reasoning; without either,\n" +
			"or with --rule 0, by every set. --rules lists the rule sets by clause and edition, with their\n" +
			"figures, each marked as published or not checked.",
		Example: "  sootline standby --rules\n" +
			"  sootline standby --panel 1 --load panel=1x120/250 --rule 1 --coldest 10\n" +
			"  sootline standby --load panel=1x120/250 --load sounders=8x0/16",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			flags.changed = cmd.Flags().Changed
			if flags.rules || len(flags.loads) == 0 && flags.panel == "" {
				return s.printStandbyRules(flags.json)
			}
			return s.standby(cmd, flags)
		},
	}
	f := cmd.Flags()
	f.BoolVar(&flags.rules, "rules", false, "list the rule sets")
	f.IntVar(&flags.rule, "rule", 0, "number of the rule set (left out: the load list's, else all of them)")
	f.StringVar(&flags.panel, "panel", "", "take what stands on the loops of this panel from the register")
	f.StringArrayVar(&flags.loads, "load", nil, "a line of the load list, as NAME=COUNTxREST/ALARM in mA; repeat for more")
	f.Float64Var(&flags.coldest, "coldest", 0, "lowest temperature of the battery, in degrees Celsius")
	f.Float64Var(&flags.design, "design", 0, "factor for load that is added later (default 1)")
	f.Float64Var(&flags.ageing, "ageing", 0, "ageing factor where the rule has none (default 1.25)")
	f.Float64Var(&flags.chargerMA, "charger-ma", 0, "what the charger gives on average beside the load")
	f.Float64Var(&flags.accepts, "accepts", 0, "share of the charge that the battery keeps (default 1)")
	f.Float64Var(&flags.largest, "largest-ah", 0, "the largest battery that the panel takes")
	f.StringArrayVar(&flags.sizes, "sizes", nil, "capacities to choose from, in Ah, with spaces between them (default those commonly sold)")
	f.BoolVar(&flags.json, "json", false, "print JSON, as docs/formats/json.md describes it")
	cmd.AddCommand(standbyWear(s), standbyLoads(s), standbyUndo(s))
	return cmd
}

// standby puts the load list together and sizes the battery.
func (s *session) standby(cmd *cobra.Command, flags standbyFlags) error {
	under, err := flags.conditions()
	if err != nil {
		return err
	}
	battery := app.Battery{Under: under}
	for _, text := range flags.loads {
		load, err := parseLoad(text)
		if err != nil {
			return err
		}
		battery.Drains = append(battery.Drains, load)
	}
	if flags.panel == "" {
		return s.tellStandby(battery, flags, nil)
	}
	return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
		whole, assumed, err := a.PanelBattery(cmd.Context(), site.ID, now(), flags.panel, battery)
		if err != nil {
			return err
		}
		if !flags.changed("rule") {
			flags.rule = whole.Rule
		}
		return s.tellStandby(whole, flags, assumed)
	})
}

func (f *standbyFlags) conditions() (app.Conditions, error) {
	under := app.Conditions{Design: f.design, Ageing: f.ageing, Charger: app.Amps(f.chargerMA / 1000), Accepts: f.accepts, Largest: app.AmpHours(f.largest)}
	if f.changed("coldest") {
		celsius := app.Celsius(f.coldest)
		under.Coldest = &celsius
	}
	for _, text := range f.sizes {
		sizes, err := app.TypedSamples(text)
		if err != nil {
			return under, err
		}
		for _, size := range sizes {
			under.Sizes = append(under.Sizes, app.AmpHours(size))
		}
	}
	return under, nil
}

// parseLoad reads NAME=COUNTxREST/ALARM.
func parseLoad(text string) (app.Drain, error) {
	bad := sootline.Errorf(sootline.Invalid, "for example --load sounders=8x0/16: eight, each 0 mA at rest and 16 mA in alarm", "%q is not a line of a load list", text)
	name, rest, ok := strings.Cut(text, "=")
	number, currents, both := strings.Cut(rest, "x")
	quiet, alarm, two := strings.Cut(currents, "/")
	if !ok || !both || !two {
		return app.Drain{}, bad
	}
	count, err1 := strconv.Atoi(number)
	restMA, err2 := strconv.ParseFloat(quiet, 64)
	alarmMA, err3 := strconv.ParseFloat(alarm, 64)
	if err1 != nil || err2 != nil || err3 != nil {
		return app.Drain{}, bad
	}
	return app.Drain{Name: name, Count: count, Rest: app.Amps(restMA / 1000), Alarm: app.Amps(alarmMA / 1000)}, nil
}

func (s *session) printStandbyRules(asJSON bool) error {
	if asJSON {
		return printJSON(s.out, shape.OfStandbyRules())
	}
	var rows [][]string
	for i, rule := range app.StandbyRules() {
		rows = append(rows, []string{
			strconv.Itoa(i + 1), rule.Name, rule.Clause,
			fmt.Sprintf("%.3g h (%s)", rule.Standby.Value, rule.Standby.Source), fmt.Sprintf("%.3g h (%s)", rule.Alarm.Value, rule.Alarm.Source),
			fmt.Sprintf("%g (%s)", rule.Margin.Value, rule.Margin.Source),
		})
	}
	if err := printTable(s.out, []string{"rule", "set", "clause", "standby", "alarm", "factor"}, rows); err != nil {
		return err
	}
	_, err := fmt.Fprintf(s.out, "\n%s\n%s\n", s.wrap(app.SourceWords, 0), s.wrap("A load list is given with --panel and --load; `sootline standby --help` shows one.", 0))
	return err
}

// tellStandby sizes by one rule set or by all of them.
func (s *session) tellStandby(battery app.Battery, flags standbyFlags, assumed []string) error {
	if flags.json {
		shape, err := shape.OfStandby(battery, flags.rule, assumed)
		if err != nil {
			return err
		}
		return printJSON(s.out, shape)
	}
	if flags.panel != "" || flags.rule == 0 {
		if err := s.printDrains(battery); err != nil {
			return err
		}
	}
	tell := s.printEveryRule
	if flags.rule != 0 {
		tell = func(battery app.Battery) error { return s.printSizing(battery, flags.rule) }
	}
	if err := tell(battery); err != nil {
		return err
	}
	if lacks := battery.Lacks(); lacks != "" {
		fmt.Fprintf(s.out, "\n%s\n", s.wrap(lacks, 0))
	}
	if len(assumed) > 0 {
		fmt.Fprintln(s.out)
	}
	s.printAssumed(assumed)
	s.circuitCaution()
	return nil
}

func (s *session) printDrains(battery app.Battery) error {
	var rows [][]string
	var rest, alarm app.Amps
	for _, d := range battery.Drains {
		n := app.Amps(d.Count)
		rest, alarm = rest+n*d.Rest, alarm+n*d.Alarm
		rows = append(rows, []string{d.Name, strconv.Itoa(d.Count), mA(d.Rest), mA(d.Alarm), mA(n * d.Rest), mA(n * d.Alarm)})
	}
	rows = append(rows, []string{"all together", "", "", "", mA(rest), mA(alarm)})
	return printTable(s.out, []string{"load", "number", "rest mA", "alarm mA", "all at rest", "all in alarm"}, rows)
}

func mA(a app.Amps) string { return strconv.FormatFloat(shape.Milli(float64(a)), 'f', -1, 64) }

func (s *session) printEveryRule(battery app.Battery) error {
	var rows [][]string
	for i, rule := range app.StandbyRules() {
		size, err := battery.Size(i + 1)
		if err != nil {
			return err
		}
		chosen, left := "none is large enough", ""
		if size.Chosen > 0 {
			chosen, left = size.Chosen.String(), fmt.Sprintf("%v, %v more at rest", size.Spare, size.Longer)
		}
		rows = append(rows, []string{strconv.Itoa(i + 1), rule.Name, rule.Clause, size.Required.String(), chosen, left})
	}
	fmt.Fprintln(s.out)
	if err := printTable(s.out, []string{"rule", "set", "clause", "needed", "next size", "which leaves"}, rows); err != nil {
		return err
	}
	_, err := fmt.Fprintln(s.out, "\n--rule N shows how one of them comes about.")
	return err
}

func (s *session) printSizing(battery app.Battery, rule int) error {
	size, err := battery.Size(rule)
	if err != nil {
		return err
	}
	s.heading(battery.Heading(size))
	for _, step := range size.Steps {
		fmt.Fprintf(s.out, "  %s\n", s.wrap(step, 4))
	}
	return nil
}

func standbyWear(s *session) *cobra.Command {
	var rated, amps, hours, k, years float64
	var asJSON bool
	cmd := &cobra.Command{
		Use: "wear", Short: "Say what a measured discharge test says of a battery's age",
		Long: "Turn a discharge test, a constant current until the end voltage, into a capacity at the 20 h rate\n" +
			"by Peukert's law, and hold it against 80 % of what the battery is rated at. The years left are\n" +
			"a straight line through new and now: a guess, no source.",
		Example: "  sootline standby wear --rated 7 --amps 0.7 --hours 7.2 --years 3",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			test := app.Discharge{Rated: app.AmpHours(rated), Current: app.Amps(amps), Lasted: app.Hours(hours), K: k, Years: years}
			wear, err := test.Wear()
			if err != nil {
				return err
			}
			if asJSON {
				return printJSON(s.out, shape.OfWear(&wear))
			}
			fmt.Fprintln(s.out, s.wrap(wear.Reason, 0))
			s.circuitCaution()
			return nil
		},
	}
	f := cmd.Flags()
	f.Float64Var(&rated, "rated", 0, "capacity that it is rated at, in Ah at the 20 h rate (needed)")
	f.Float64Var(&amps, "amps", 0, "current of the test, in A (needed)")
	f.Float64Var(&hours, "hours", 0, "hours until the end voltage (needed)")
	f.Float64Var(&k, "k", 1.2, "Peukert's exponent: 1.1 to 1.3 for lead-acid (common practice, no source)")
	f.Float64Var(&years, "years", 0, "age of the battery (left out: not known)")
	f.BoolVar(&asJSON, "json", false, "print JSON, as docs/formats/json.md describes it")
	for _, name := range []string{"rated", "amps", "hours"} {
		cmd.MarkFlagRequired(name) //nolint:errcheck // the flag is there
	}
	return cmd
}
