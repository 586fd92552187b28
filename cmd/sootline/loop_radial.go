package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// radialFigure is a figure of a radial circuit that is typed as a flag.
type radialFigure struct {
	flag, usage string
	of          func(*sootline.Radial) *float64
}

func radialFigures() []radialFigure {
	return []radialFigure{
		{"volts", "volts at the panel in alarm, as a rule (needed at first)", func(c *sootline.Radial) *float64 { return &c.Volts }},
		{"low-volts", "volts there with the battery at its lowest", func(c *sootline.Radial) *float64 { return &c.LowVolts }},
		{"high-volts", "volts there at the highest charge", func(c *sootline.Radial) *float64 { return &c.HighVolts }},
		{"rest-volts", "volts at rest, where they differ from those in alarm", func(c *sootline.Radial) *float64 { return &c.RestVolts }},
		{"limit-ma", "what the circuit can give, in mA", func(c *sootline.Radial) *float64 { return &c.LimitMA }},
		{"end-ohms", "the end-of-line resistor", func(c *sootline.Radial) *float64 { return &c.EndOhms }},
		{"end-percent", "by how much the resistor may be off, in per cent", func(c *sootline.Radial) *float64 { return &c.EndPercent }},
		{"band-low-ma", "below so many mA at rest the panel tells of a break", func(c *sootline.Radial) *float64 { return &c.BandLowMA }},
		{"band-high-ma", "above so many mA it tells of a short", func(c *sootline.Radial) *float64 { return &c.BandHighMA }},
		{"mm2", "cross-section of a core in square millimetres, copper", func(c *sootline.Radial) *float64 { return &c.MM2 }},
		{"least-volts", "least working volts of devices that have none of their own", func(c *sootline.Radial) *float64 { return &c.LeastVolts }},
	}
}

// radialTyped is what was typed of a radial circuit.
type radialTyped struct {
	circuit sootline.Radial
	source  float64
	celsius float64
	serves  string
	devices []string
	forget  []string
	flags   *pflag.FlagSet
}

func loopRadial(s *session) *cobra.Command {
	var typed radialTyped
	cmd := &cobra.Command{
		Use: "radial CIRCUIT", Short: "Write down a circuit that does not come back: sounders, a conventional zone",
		Long: "Write down a circuit that leaves the panel and does not come back, named as a loop is, for\n" +
			"example 1.BELLS: what feeds it, its end-of-line resistor, the band of current in which the panel\n" +
			"takes it as whole, and its devices in the order of the cable. A device is typed as\n" +
			"NAME=METRES:REST/ALARM in mA, with :LEAST for least volts of its own, and NAME from OTHER for a\n" +
			"spur. What is typed replaces what was known; devices are replaced all together; --forget takes a\n" +
			"figure away again. `loop` and `loop CIRCUIT` say how it stands, `standby` counts it.",
		Example: "  sootline loop radial 1.BELLS --volts 24 --low-volts 20 --mm2 1.5 --end-ohms 4700 --device \"bell 1=40:0/25\" --device \"bell 2=30:0/25\"\n" +
			"  sootline loop radial 1.BELLS --band-low-ma 3 --band-high-ma 20 --forget celsius",
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
				circuit, err := typed.over(r.Radial(id), id)
				if err != nil {
					return err
				}
				if err := a.SetRadial(cmd.Context(), site.ID, circuit); err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%s\nNext: sootline loop %s\n", s.wrap("Kept: "+sootline.Say(circuit)+".", 0), shellWord(id.String()))
				return err
			})
		},
	}
	f := cmd.Flags()
	for _, figure := range radialFigures() {
		f.Float64Var(figure.of(&typed.circuit), figure.flag, 0, figure.usage)
	}
	f.Float64Var(&typed.source, "source-ohms", 0, "resistance of each core inside the panel")
	f.IntVar(&typed.circuit.AWG, "awg", 0, "or its American wire gauge, instead of --mm2")
	f.Float64Var(&typed.celsius, "celsius", 0, "temperature of the cable")
	f.StringVar(&typed.serves, "serves", "", "what hangs on it: sounders, zone or outputs")
	f.StringArrayVar(&typed.devices, "device", nil, "a device, as NAME=METRES:REST/ALARM; repeat for more, in the order of the cable")
	f.StringSliceVar(&typed.forget, "forget", nil, "take these away again, by the names of their flags")
	return cmd
}

// over lays what was typed over what is known. A conductor takes the place of the one before.
func (t *radialTyped) over(known *sootline.KeptRadial, id sootline.LoopID) (sootline.Radial, error) {
	var c sootline.Radial
	if known != nil {
		c = known.Radial
	}
	c.Panel, c.Circuit = id.Panel, id.Name
	if t.flags.Changed("mm2") != t.flags.Changed("awg") {
		c.MM2, c.AWG = 0, 0
	}
	for _, name := range t.forget {
		if err := t.put(&c, sootline.Radial{}, strings.TrimPrefix(name, "--"), true); err != nil {
			return c, err
		}
	}
	var err error
	t.flags.Visit(func(f *pflag.Flag) {
		if err == nil && f.Name != "forget" {
			err = t.put(&c, t.circuit, f.Name, false)
		}
	})
	return c, err
}

// put puts one figure, by the name of its flag, into a circuit, or nothing in its place.
func (t *radialTyped) put(into *sootline.Radial, from sootline.Radial, name string, forget bool) error {
	switch name {
	case "awg":
		into.AWG = from.AWG
	case "celsius":
		into.Celsius = said(t.celsius, forget)
	case "source-ohms":
		into.SourceOhms = said(t.source, forget)
	case "serves":
		into.Serves = sootline.RadialUse(t.serves)
	case "device":
		into.Devices = nil
		for _, text := range t.devices {
			device, err := parseRadialDevice(text)
			if err != nil {
				return err
			}
			into.Devices = append(into.Devices, device)
		}
	default:
		all := radialFigures()
		i := slices.IndexFunc(all, func(f radialFigure) bool { return f.flag == name })
		switch {
		case i >= 0:
			*all[i].of(into) = *all[i].of(&from)
			if !forget {
				return refuseZero(t.flags, name, *all[i].of(&from))
			}
		case forget:
			return sootline.Errorf(sootline.Invalid, "for example --forget celsius", "%q is not a figure of a radial circuit", name)
		}
	}
	return nil
}

// parseRadialDevice reads NAME[ from OTHER]=METRES[:REST/ALARM[:LEAST]].
func parseRadialDevice(text string) (sootline.RadialDevice, error) {
	var d sootline.RadialDevice
	wrong := sootline.Errorf(sootline.Invalid, "for example \"bell 1=40:0/25\", or \"bell 4 from bell 2=15:0/25:16\"", "%q is not a device with its metres of cable", text)
	name, figures, ok := strings.Cut(text, "=")
	if !ok {
		return d, wrong
	}
	d.Name, d.From, _ = strings.Cut(strings.TrimSpace(name), " from ")
	d.Name, d.From = strings.TrimSpace(d.Name), strings.TrimSpace(d.From)
	parts := strings.Split(figures, ":")
	var err error
	if d.Metres, err = strconv.ParseFloat(strings.TrimSpace(parts[0]), 64); err != nil || len(parts) > 3 {
		return d, wrong
	}
	if len(parts) > 1 {
		rest, alarm, ok := strings.Cut(parts[1], "/")
		restMA, err1 := strconv.ParseFloat(strings.TrimSpace(rest), 64)
		alarmMA, err2 := strconv.ParseFloat(strings.TrimSpace(alarm), 64)
		if !ok || err1 != nil || err2 != nil {
			return d, wrong
		}
		d.RestMA, d.AlarmMA = &restMA, &alarmMA
	}
	if len(parts) > 2 {
		if d.LeastVolts, err = strconv.ParseFloat(strings.TrimSpace(parts[2]), 64); err != nil {
			return d, wrong
		}
	}
	return d, nil
}

// printRadial tells how a radial circuit stands: in short, or with what was found and assumed.
func (s *session) printRadial(p *app.RadialPower, whole bool) {
	s.headings(wrap(fmt.Sprintf("Radial circuit %s: %s", p.Name(), p.Stands.Sentence()), 0))
	say := func(label, text string) {
		label = fmt.Sprintf("  %-14s", label+":")
		fmt.Fprintf(s.out, "%s%s\n", label, wrap(text, len(label)))
	}
	if settles := p.Settles(); settles != "" {
		say("would settle", settles)
	}
	for _, line := range p.Stands.Lines {
		if whole {
			say("found", line)
		}
	}
	if whole {
		s.printAssumed(p.Assumed)
	}
}
