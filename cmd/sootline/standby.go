package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
)

type standbyFlags struct {
	rule    int
	loads   []string
	coldest float64
	design  float64
	ageing  float64
	rules   bool
}

func standbyCommand(s *session) *cobra.Command {
	var flags standbyFlags
	cmd := &cobra.Command{
		Use:   "standby",
		Short: "Size the standby battery",
		Long: "Size the standby battery behind a load list, by the clause of a rule set. --rules lists the\n" +
			"rule sets with their figures and whether each was read or remembered.",
		Example: "  sootline standby --rules\n" +
			"  sootline standby --rule 1 --load panel=1x120/250 --load sounders=8x0/16 --coldest 10",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if flags.rules || len(flags.loads) == 0 {
				return s.printStandbyRules()
			}
			in := app.Standby{Rule: flags.rule, Design: flags.design, Ageing: flags.ageing}
			if cmd.Flags().Changed("coldest") {
				in.Coldest = &flags.coldest
			}
			for _, text := range flags.loads {
				load, err := parseLoad(text)
				if err != nil {
					return err
				}
				in.Loads = append(in.Loads, load)
			}
			return s.printStandby(in)
		},
	}
	f := cmd.Flags()
	f.BoolVar(&flags.rules, "rules", false, "list the rule sets")
	f.IntVar(&flags.rule, "rule", 1, "number of the rule set")
	f.StringArrayVar(&flags.loads, "load", nil, "a line of the load list, as NAME=COUNTxREST/ALARM in mA; repeat for more")
	f.Float64Var(&flags.coldest, "coldest", 0, "lowest temperature of the battery, in degrees Celsius")
	f.Float64Var(&flags.design, "design", 0, "factor for load that is added later (default 1)")
	f.Float64Var(&flags.ageing, "ageing", 0, "ageing factor where the rule has none (default 1.25)")
	return cmd
}

// parseLoad reads NAME=COUNTxREST/ALARM.
func parseLoad(text string) (app.Load, error) {
	bad := sootline.Errorf(sootline.Invalid, "for example --load sounders=8x0/16: eight, each 0 mA at rest and 16 mA in alarm", "%q is not a line of a load list", text)
	name, rest, ok := strings.Cut(text, "=")
	number, currents, both := strings.Cut(rest, "x")
	quiet, alarm, two := strings.Cut(currents, "/")
	if !ok || !both || !two {
		return app.Load{}, bad
	}
	load := app.Load{Name: name}
	var errs [3]error
	load.Count, errs[0] = strconv.Atoi(number)
	load.RestMA, errs[1] = strconv.ParseFloat(quiet, 64)
	load.AlarmMA, errs[2] = strconv.ParseFloat(alarm, 64)
	if errs != [3]error{} {
		return app.Load{}, bad
	}
	return load, nil
}

func (s *session) printStandbyRules() error {
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
	_, err := fmt.Fprintln(s.out, "\nA load list is given with --load; `sootline standby --help` shows one.")
	return err
}

func (s *session) printStandby(in app.Standby) error {
	size, err := in.Size()
	if err != nil {
		return err
	}
	if size.Chosen == 0 {
		s.heading(fmt.Sprintf("Needed: %v; no usual size is that large", size.Required))
	} else {
		s.heading(fmt.Sprintf("Battery: %v (needed: %v)", size.Chosen, size.Required))
	}
	for _, step := range size.Steps {
		fmt.Fprintf(s.out, "  %s\n", wrap(step, 4))
	}
	_, err = fmt.Fprintf(s.out, "\n%s\n", wrap(app.CircuitCaution, 0))
	return err
}
