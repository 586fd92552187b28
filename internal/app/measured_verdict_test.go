package app

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/circuit"
)

// shownLoop makes a site with a loop of two devices whose facts are all given, and shown.
func shownLoop(t *testing.T) (a *App, site sootline.ID, power func() *Power) {
	t.Helper()
	a = newApp(t, "laptop")
	now := today
	a.Now = func() time.Time { now = now.Add(time.Minute); return now }
	site = addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv":    "name,kind,low,high,standby mA,alarm mA,least V\nLarch,optical smoke,20,40,0.3,3,17\n",
		"schedule.csv": "loop,address,type,metres\n1,1,Larch,20\n1,2,Larch,30\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	if err := a.SetFacts(t.Context(), site, sootline.Opened{SiteFacts: sootline.SiteFacts{Follows: circuit.RuleNames()[0]}}); err != nil {
		t.Fatal(err)
	}
	if err := a.SetSupply(t.Context(), site, fullSupply(50)); err != nil {
		t.Fatal(err)
	}
	return a, site, func() *Power {
		t.Helper()
		r, err := a.Register(t.Context(), site, Always)
		if err != nil {
			t.Fatal(err)
		}
		p, err := LoopPower(r, sootline.LoopID{Panel: "1", Name: "1"}, WhatIf{}, Ask{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
}

func fullSupply(back float64) sootline.Supply {
	celsius, source := 20.0, 0.5
	return sootline.Supply{
		Panel: "1", Loop: "1", Volts: 24, LowVolts: 21, HighVolts: 28, LimitMA: 300, MM2: 1.5, Celsius: &celsius, ReturnMetres: &back,
		SourceOhms: &source, LeastVolts: 17,
	}
}

// What is shown by the facts is not shown where a measurement contradicts them, and that is named first and found by check;
// not where it lies within, nor where a later one does.
func TestVerdictHearsWhatWasMeasured(t *testing.T) {
	a, site, power := shownLoop(t)
	if p := power(); !p.Shown() {
		t.Fatal(p.Verdict())
	}
	for _, c := range []struct {
		name    string
		body    sootline.Measured
		against string
	}{
		{"a contact", sootline.Measured{PlusOhms: new(90.0), MinusOhms: new(1.2)}, "plus core, end to end: 90 ohm"},
		{"mended", sootline.Measured{PlusOhms: new(1.25)}, ""},
		{"volts under those of a low battery", sootline.Measured{OutVolts: new(19.5)}, "volts at OUT: 19.5 V"},
		{"volts within", sootline.Measured{OutVolts: new(24.1)}, ""},
		{"a current of other devices", sootline.Measured{RestMA: new(300.0)}, "current at rest: 300 mA"},
	} {
		c.body.Panel, c.body.Loop = "1", "1"
		if _, err := a.AddEntry(t.Context(), site, Note{Body: c.body}); err != nil {
			t.Fatal(c.name, err)
		}
		p := power()
		_, found, err := a.Check(t.Context(), site, Always)
		if err != nil {
			t.Fatal(err)
		}
		text := ""
		for _, f := range found {
			if f.Code == MeasuredAgainst {
				text = f.Reason
			}
		}
		if c.against == "" {
			if !p.Shown() || text != "" {
				t.Errorf("%s: %s; %s", c.name, p.Verdict(), text)
			}
			continue
		}
		if p.Stands.Says != circuit.NotShown || !strings.HasPrefix(p.Verdict(), "not shown: what was measured contradicts the facts: "+c.against) || p.Settles() != MendMeasured {
			t.Errorf("%s: %s; %s", c.name, p.Verdict(), p.Settles())
		}
		if !strings.Contains(text, c.against) {
			t.Errorf("%s: check says %q", c.name, text)
		}
	}
}

// A measurement is held against the cable of its day: what contradicted it then does so still when the cable grew, and what
// was within is not said to fall short of a cable that it was not measured on.
func TestMeasuredBeforeTheCableChanged(t *testing.T) {
	for name, c := range map[string]struct {
		ohms  float64
		shown bool
	}{"a contact": {5.6, false}, "within": {1.25, true}} {
		a, site, power := shownLoop(t)
		if _, err := a.AddEntry(t.Context(), site, Note{Body: sootline.Measured{Panel: "1", Loop: "1", PlusOhms: &c.ohms}}); err != nil {
			t.Fatal(err)
		}
		if err := a.SetSupply(t.Context(), site, fullSupply(410)); err != nil {
			t.Fatal(err)
		}
		p := power()
		one := &p.Meters.Last[0]
		if p.Shown() != c.shown || one.Calculated == nil || !near(*one.Calculated, 1.21) || !strings.Contains(one.Sentence(), "not held against today's") {
			t.Errorf("%s: %s; %s", name, p.Verdict(), one.Sentence())
		}
	}
}
