package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func loopSupply(s *session) *cobra.Command {
	var supply sootline.Supply
	var celsius, back float64
	var alarms int
	cmd := &cobra.Command{
		Use: "supply LOOP", Short: "Write down what feeds a loop and what its cable is",
		Long:    "Write down what feeds a loop and what its cable is. A later word replaces an earlier one\nwhole. What is left out is not known, and is assumed and said where it is needed.",
		Example: "  sootline loop supply 1.2 --volts 24 --limit-ma 400 --mm2 1.5 --celsius 30 --return-metres 25 --alarms 10",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			loop, err := parseLoopID(args[0])
			if err != nil {
				return err
			}
			supply.Panel, supply.Loop = loop.Panel, loop.Name
			if cmd.Flags().Changed("celsius") {
				supply.Celsius = &celsius
			}
			if cmd.Flags().Changed("return-metres") {
				supply.ReturnMetres = &back
			}
			if cmd.Flags().Changed("alarms") {
				supply.AlarmsAtOnce = &alarms
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if err := a.SetSupply(cmd.Context(), site.ID, supply); err != nil {
					return err
				}
				_, err := fmt.Fprintf(s.out, "Loop %s is fed with %v V. Next: sootline loop %s\n", loop, supply.Volts, args[0])
				return err
			})
		},
	}
	f := cmd.Flags()
	f.Float64Var(&supply.Volts, "volts", 0, "volts at the panel's terminals, the least it gives (needed)")
	f.Float64Var(&supply.SourceOhms, "source-ohms", 0, "resistance of each core inside the panel, at each end")
	f.Float64Var(&supply.LimitMA, "limit-ma", 0, "what an end can give, in mA")
	f.Float64Var(&supply.MM2, "mm2", 0, "cross-section of a core in square millimetres, copper")
	f.IntVar(&supply.AWG, "awg", 0, "or its American wire gauge")
	f.Float64Var(&celsius, "celsius", 0, "temperature of the cable")
	f.Float64Var(&supply.UsualMetres, "usual-metres", 0, "cable between two points where the schedule does not say")
	f.Float64Var(&back, "return-metres", 0, "cable from the last point back to the panel")
	f.IntVar(&alarms, "alarms", 0, "how many devices may be in alarm at once (left out: all)")
	f.Float64Var(&supply.IsolatorOhms, "isolator-ohms", 0, "resistance of a closed isolator")
	f.Float64Var(&supply.LeastVolts, "least-volts", 0, "least working volts of devices whose type sheet does not say")
	f.Float64Var(&supply.MostOhms, "most-ohms", 0, "what the panel allows of both cores in series, end to end")
	f.Float64Var(&supply.MostNF, "most-nf", 0, "nanofarads of cable that the panel allows")
	f.Float64Var(&supply.NFPerKm, "nf-per-km", 0, "nanofarads of the cable, core to core, a kilometre")
	cmd.MarkFlagRequired("volts") //nolint:errcheck // the flag is there
	return cmd
}
