package main

import (
	"cmp"
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

type loopFlags struct {
	on     string
	what   app.WhatIf
	strict bool
}

func loopCommand(s *session) *cobra.Command {
	var flags loopFlags
	cmd := &cobra.Command{
		Use:   "loop [LOOP]",
		Short: "Solve a loop as the circuit that it is, healthy and under every single fault",
		Long: "Solve a loop as the direct-current circuit that it is: healthy, and under every single open\n" +
			"and short, with the devices in alarm where they hurt most. Cable lengths come from the\n" +
			"schedule, currents and least volts from the type sheets, what feeds it from `loop supply`;\n" +
			"what nobody wrote down is assumed, said and counted. Devices of kind isolator, and those with\n" +
			"the setting isolator=yes, open towards a short.\n\n" +
			"With --volts, --mm2, or --add and --type it answers what would be; nothing is written down.",
		Example: "  sootline loop\n  sootline loop 1.2\n  sootline loop 1.2 --add 6 --type Sounder",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.loops(cmd, a, site, args, flags)
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&flags.on, "on", "", "as of the end of this day (default now)")
	f.Float64Var(&flags.what.Volts, "volts", 0, "what if the panel gave these volts")
	f.Float64Var(&flags.what.MM2, "mm2", 0, "what if the cable had this cross-section, in square millimetres")
	f.IntVar(&flags.what.Add, "add", 0, "what if so many devices more stood before the panel's IN end")
	f.StringVar(&flags.what.Type, "type", "", "the type of the devices that are added")
	f.BoolVar(&flags.strict, "strict", false, "exit 1 when a device may not work under some single fault")
	cmd.AddCommand(loopAdvise(s), loopShort(s), loopSupply(s))
	return cmd
}

func (s *session) loops(cmd *cobra.Command, a *app.App, site store.SiteLine, args []string, flags loopFlags) error {
	on, err := (&viewFlags{on: flags.on}).when(cmd, a, site)
	if err != nil {
		return err
	}
	r, err := a.Register(cmd.Context(), site.ID, on)
	if err != nil {
		return err
	}
	asked := r.Loops()
	if len(args) == 1 {
		one, err := parseLoop(args[0])
		if err != nil {
			return err
		}
		asked = []sootline.Loop{r.Loop(sootline.LoopID{Panel: one.Panel, Name: one.Loop})}
	}
	if len(asked) == 0 {
		_, err := fmt.Fprintf(s.out, "Site %s has no loop yet. Take in its schedule:\n\n  sootline take schedule.csv --site %s\n", r.Site.Name, shellWord(r.Site.Name))
		return err
	}
	troubled := false
	for _, loop := range asked {
		power, err := app.LoopPower(r, loop.LoopID, flags.what)
		if err != nil {
			return err
		}
		troubled = troubled || !power.Works
		s.printPower(power, len(args) == 1)
	}
	fmt.Fprintf(s.out, "\n%s\n", wrap(app.CircuitCaution, 0))
	if flags.strict && troubled {
		return errFindings
	}
	return nil
}

// printPower tells what a loop comes to: in short, or with its drawing and
// everything that was assumed.
func (s *session) printPower(p *app.Power, whole bool) {
	verdict := "every device keeps its least volts under every single open and short"
	if !p.Works {
		verdict = "a device may not work under some single fault"
	}
	s.heading(fmt.Sprintf("Loop %s: %s", p.Loop, verdict))
	fmt.Fprintf(s.out, "  healthy: %s\n", wrap(p.Healthy, 11))
	fmt.Fprintf(s.out, "  worst:   %s\n", wrap(p.Worst, 11))
	if !whole {
		if len(p.Assumed) > 0 {
			fmt.Fprintf(s.out, "  %s; `sootline loop %s` says which\n", count(len(p.Assumed), "thing was assumed", "things were assumed"), p.Loop.LoopID)
		}
		return
	}
	fmt.Fprintf(s.out, "  starts again: %s\n", wrap(p.Restart.Reason, 16))
	for _, b := range p.Breaches {
		fmt.Fprintf(s.out, "  %s: %s\n", cmp.Or(b.Rule.Clause, b.Rule.Name), wrap(b.Why, 4))
	}
	fmt.Fprintf(s.out, "\n%s\n", p.Picture().Text(width-4))
	if len(p.Assumed) > 0 {
		fmt.Fprintln(s.out, "Assumed, because nobody wrote it down:")
	}
	for _, what := range p.Assumed {
		fmt.Fprintf(s.out, "  - %s\n", wrap(what, 4))
	}
}

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
			loop, err := parseLoop(args[0])
			if err != nil {
				return err
			}
			supply.Panel, supply.Loop = loop.Panel, loop.Loop
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
				_, err := fmt.Fprintf(s.out, "Loop %s.%s is fed with %v V. Next: sootline loop %s\n", loop.Panel, loop.Loop, supply.Volts, args[0])
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
	cmd.MarkFlagRequired("volts") //nolint:errcheck // the flag is there
	return cmd
}
