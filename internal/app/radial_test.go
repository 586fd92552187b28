package app

import (
	"strings"
	"testing"
	"time"

	"sootline"
)

// A radial circuit is refused where it contradicts itself, counted in the battery of its panel, also beside a load list, by
// that list's line where it has its name, and taken back by an entry.
func TestRadialInBattery(t *testing.T) {
	a := newApp(t, "laptop")
	now := today
	a.Now = func() time.Time { now = now.Add(time.Minute); return now }
	site, ctx := addSite(t, a), t.Context()
	quiet, loud := 1.0, 200.0
	c := sootline.Radial{
		Panel: "1", Circuit: "BELLS", Volts: 24, MM2: 1.5, EndOhms: 4800, RestVolts: 12,
		Devices: []sootline.RadialDevice{{Name: "bell 1", Metres: 40, RestMA: &quiet, AlarmMA: &loud}, {Name: "bell 2", Metres: 60, RestMA: &quiet, AlarmMA: &loud}},
	}
	for name, alter := range map[string]func(*sootline.Radial){
		"not both":      func(c *sootline.Radial) { c.AWG = 14 },
		"contradict":    func(c *sootline.Radial) { c.BandLowMA, c.BandHighMA = 20, 3 },
		"0 m":           func(c *sootline.Radial) { c.Devices[1].Metres = 0 },
		"comes from":    func(c *sootline.Radial) { c.Devices[0].From = "bell 2" },
		"a name of its": func(c *sootline.Radial) { c.Devices[1].Name = "bell 1" },
		"half known":    func(c *sootline.Radial) { c.Devices[1].RestMA = nil },
		"only 0.5 mA":   func(c *sootline.Radial) { few := 0.5; c.Devices[0].AlarmMA = &few },
		"5000 mA":       func(c *sootline.Radial) { many := 5000.0; c.Devices[0].AlarmMA = &many },
		"\"bananas\"":   func(c *sootline.Radial) { c.Serves = "bananas" },
		"is needed":     func(c *sootline.Radial) { c.MM2 = 0 },
		"that need 40":  func(c *sootline.Radial) { c.LeastVolts = 40 },
	} {
		wrong := c
		wrong.Devices = append([]sootline.RadialDevice{}, c.Devices...)
		alter(&wrong)
		if err := a.SetRadial(ctx, site, wrong); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := a.SetRadial(ctx, site, c); err != nil {
		t.Fatal(err)
	}
	sums := func() (rest, alarm float64, assumed string) {
		t.Helper()
		b, notes, err := a.PanelBattery(ctx, site, a.Now(), "1", Battery{})
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range b.Drains {
			rest, alarm = rest+float64(d.Count)*float64(d.Rest)*1000, alarm+float64(d.Count)*float64(d.Alarm)*1000
		}
		return rest, alarm, strings.Join(notes, "\n")
	}
	if rest, alarm, _ := sums(); !near(rest, 2+2.5) || !near(alarm, 400+5) {
		t.Errorf("%v at rest, %v in alarm", rest, alarm)
	}
	list := sootline.LoadList{Panel: "1", Loads: []sootline.PanelLoad{{Part: sootline.SounderLoads, Name: "Bells", Count: 1, AlarmMA: 700}}}
	if err := a.SetLoads(ctx, site, list); err != nil {
		t.Fatal(err)
	}
	if rest, alarm, notes := sums(); !near(rest, 0) || !near(alarm, 700) || !strings.Contains(notes, "counted by the line of its name") {
		t.Errorf("%v at rest, %v in alarm, %s", rest, alarm, notes)
	}
	r, err := a.Register(ctx, site, Always)
	if err != nil {
		t.Fatal(err)
	}
	power, err := RadialNamed(r, "1.bells")
	if err != nil || power == nil || power.Shown() || !strings.Contains(power.Settles(), "the volts of the low battery") {
		t.Fatal(power, err)
	}
	if _, err := a.Withdraw(ctx, site, Amendment{Entry: power.Kept.Entry}); err != nil {
		t.Fatal(err)
	}
	if r, err = a.Register(ctx, site, Always); err != nil || len(r.Radials("1")) != 0 {
		t.Error(err, r.Radials("1"))
	}
}

// A loop and a radial circuit of one name would hide each other, so the second of the two is refused, whichever it is, and so
// is what contradicts itself in a supply or names a panel that there is not.
func TestCircuitFactsThatContradictAreRefused(t *testing.T) {
	a, site, _ := shownLoop(t)
	ctx := t.Context()
	c := sootline.Radial{Panel: "1", Circuit: "BELLS", Volts: 24, MM2: 1.5, Serves: sootline.SounderCircuit, Devices: []sootline.RadialDevice{{Name: "bell", Metres: 40}}}
	if err := a.SetRadial(ctx, site, c); err != nil {
		t.Fatal(err)
	}
	named := func(panel, name string) error {
		c := c
		c.Panel, c.Circuit = panel, name
		return a.SetRadial(ctx, site, c)
	}
	supply := func(alter func(*sootline.Supply)) error {
		s := fullSupply(50)
		alter(&s)
		return a.SetSupply(ctx, site, s)
	}
	list := sootline.LoadList{Panel: "7", Loads: []sootline.PanelLoad{{Part: sootline.OutputLoads, Name: "relays", Count: 1, RestMA: 5}}}
	for reason, err := range map[string]error{
		"1.1 is a loop":        named("1", "1"),
		"no panel 9":           named("9", "BELLS"),
		"no loop has its name": supply(func(s *sootline.Supply) { s.Loop = "BELLS" }),
		"closes again from 18": supply(func(s *sootline.Supply) { s.Opens, s.Closes = 19, 18 }),
		"that need 40 V":       supply(func(s *sootline.Supply) { s.LeastVolts = 40 }),
		"500 devices":          supply(func(s *sootline.Supply) { many := 500; s.AlarmsAtOnce = &many }),
		"no panel 7":           a.SetLoads(ctx, site, list),
		"is a radial circuit":  a.SetLoop(ctx, site, sootline.LoopFacts{Panel: "1", Loop: "BELLS", First: 1, Last: 126, Unset: 127}),
	} {
		if err == nil || !strings.Contains(err.Error(), reason) {
			t.Errorf("%s: %v", reason, err)
		}
	}
	list.Panel = "1"
	if err := a.SetLoads(ctx, site, list); err != nil {
		t.Fatal(err)
	}
	_, notes, err := a.PanelBattery(ctx, site, a.Now(), "1", Battery{})
	if text := strings.Join(notes, "\n"); err != nil || strings.Contains(text, "no line of sounders") || !strings.Contains(text, "no line of auxiliary") {
		t.Error(text, err)
	}
}
