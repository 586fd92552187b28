package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// supplyFigure is a figure of a supply that is typed as a flag.
type supplyFigure struct {
	flag, usage string
	of          func(*sootline.Supply) *float64
}

func supplyFigures() []supplyFigure {
	return []supplyFigure{
		{"volts", "volts at the panel's terminals, as a rule (needed at first)", func(s *sootline.Supply) *float64 { return &s.Volts }},
		{"low-volts", "volts there with the battery at its lowest", func(s *sootline.Supply) *float64 { return &s.LowVolts }},
		{"high-volts", "volts there at the highest charge", func(s *sootline.Supply) *float64 { return &s.HighVolts }},
		{"limit-ma", "what an end can give, in mA", func(s *sootline.Supply) *float64 { return &s.LimitMA }},
		{"mm2", "cross-section of a core in square millimetres, copper", func(s *sootline.Supply) *float64 { return &s.MM2 }},
		{"usual-metres", "cable between two points where the schedule does not say", func(s *sootline.Supply) *float64 { return &s.UsualMetres }},
		{"isolator-ohms", "resistance of a closed isolator", func(s *sootline.Supply) *float64 { return &s.IsolatorOhms }},
		{"isolator-holds", "volts from which an isolator is sure to stay closed", func(s *sootline.Supply) *float64 { return &s.Holds }},
		{"isolator-opens", "volts below which it is sure to open", func(s *sootline.Supply) *float64 { return &s.Opens }},
		{"isolator-closes", "volts from which it is sure to close again", func(s *sootline.Supply) *float64 { return &s.Closes }},
		{"isolator-carries-ma", "what it carries while closed, in mA", func(s *sootline.Supply) *float64 { return &s.CarriesMA }},
		{"least-volts", "least working volts of devices whose type sheet does not say", func(s *sootline.Supply) *float64 { return &s.LeastVolts }},
		{"most-ohms", "what the panel allows of both cores in series, end to end", func(s *sootline.Supply) *float64 { return &s.MostOhms }},
		{"most-nf", "nanofarads of cable that the panel allows", func(s *sootline.Supply) *float64 { return &s.MostNF }},
		{"least-mohm", "least insulation of each core to earth that the site wants, in megohm", func(s *sootline.Supply) *float64 { return &s.LeastMOhms }},
		{"nf-per-km", "nanofarads of the cable, core to core, a kilometre", func(s *sootline.Supply) *float64 { return &s.NFPerKm }},
	}
}

// supplyTyped is what was typed of a supply.
type supplyTyped struct {
	supply  sootline.Supply
	celsius float64
	back    float64
	source  float64
	alarms  int
	forget  []string
	flags   *pflag.FlagSet
}

func loopSupply(s *session) *cobra.Command {
	var typed supplyTyped
	cmd := &cobra.Command{
		Use: "supply LOOP", Short: "Write down what feeds a loop and what its cable is",
		Long: "Write down what feeds a loop and what its cable is. What is typed replaces what was known; what\n" +
			"is left out stays as it was; --forget takes a figure away again. What nobody said is not known:\n" +
			"`loop` then takes its unsafe side, and says so.",
		Example: "  sootline loop supply 1.2 --volts 24 --low-volts 21 --limit-ma 400 --mm2 1.5 --alarms 10\n" +
			"  sootline loop supply 1.2 --celsius 30 --forget alarms",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := parseLoopID(args[0])
			if err != nil {
				return err
			}
			typed.flags = cmd.Flags()
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				supply, err := typed.over(r.Supply(id), id)
				if err != nil {
					return err
				}
				if err := a.SetSupply(cmd.Context(), site.ID, supply); err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%s\nNext: sootline loop %s\n", s.wrap("Kept: "+sootline.Say(supply)+".", 0), args[0])
				return err
			})
		},
	}
	f := cmd.Flags()
	for _, figure := range supplyFigures() {
		f.Float64Var(figure.of(&typed.supply), figure.flag, 0, figure.usage)
	}
	f.IntVar(&typed.supply.AWG, "awg", 0, "or its American wire gauge, instead of --mm2")
	f.Float64Var(&typed.celsius, "celsius", 0, "temperature of the cable")
	f.Float64Var(&typed.source, "source-ohms", 0, "resistance of each core inside the panel, at each end")
	f.Float64Var(&typed.back, "return-metres", 0, "cable from the last point back to the panel")
	f.IntVar(&typed.alarms, "alarms", 0, "how many devices may be in alarm at once (not said: all); at the start all draw the most")
	f.StringSliceVar(&typed.forget, "forget", nil, "take these away again, by the names of their flags")
	return cmd
}

// over lays what was typed over what is known. A conductor takes the place of the one before.
func (t *supplyTyped) over(known *sootline.Supply, id sootline.LoopID) (sootline.Supply, error) {
	var supply sootline.Supply
	if known != nil {
		supply = *known
	} else if !t.flags.Changed("volts") {
		return supply, sootline.Errorf(sootline.Invalid, "for example --volts 24", "the volts at the panel are not known yet, and are needed")
	}
	supply.Panel, supply.Loop = id.Panel, id.Name
	if t.flags.Changed("mm2") != t.flags.Changed("awg") {
		supply.MM2, supply.AWG = 0, 0
	}
	for _, name := range t.forget {
		if err := t.put(&supply, sootline.Supply{}, name, true); err != nil {
			return supply, err
		}
	}
	var err error
	t.flags.Visit(func(f *pflag.Flag) {
		if err == nil && f.Name != "forget" {
			err = t.put(&supply, t.supply, f.Name, false)
		}
	})
	return supply, err
}

// put puts one figure, by the name of its flag, into a supply, or nothing in its place.
func (t *supplyTyped) put(into *sootline.Supply, from sootline.Supply, name string, forget bool) error {
	name = strings.TrimPrefix(name, "--")
	switch name {
	case "awg":
		into.AWG = from.AWG
	case "celsius":
		into.Celsius = said(t.celsius, forget)
	case "source-ohms":
		into.SourceOhms = said(t.source, forget)
	case "return-metres":
		into.ReturnMetres = said(t.back, forget)
	case "alarms":
		into.AlarmsAtOnce = said(t.alarms, forget)
	case "volts":
		if forget {
			return sootline.Errorf(sootline.Invalid, "give others with --volts", "the volts at the panel are needed")
		}
		into.Volts = from.Volts
	default:
		all := supplyFigures()
		i := slices.IndexFunc(all, func(f supplyFigure) bool { return f.flag == name })
		switch {
		case i >= 0:
			*all[i].of(into) = *all[i].of(&from)
			if !forget {
				return refuseZero(t.flags, name, *all[i].of(&from))
			}
		case forget:
			return sootline.Errorf(sootline.Invalid, "for example --forget alarms", "%q is not a figure of a supply", name)
		}
	}
	return nil
}

// said is nil for what is to be forgotten.
func said[T any](x T, forget bool) *T {
	if forget {
		return nil
	}
	return &x
}
