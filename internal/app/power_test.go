package app

import (
	"context"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"sootline"
)

// A ring of two equal lamps, by hand: 24 V at both ends, 100 m of 1.5 mm2 in three
// equal parts, 12.1 ohm/km a core at 20 C (IEC 60228:2004 table 1), 100 mA each.
// By symmetry each end feeds one lamp through one part, both cores:
// 24 - 2 x 12.1/1000 x 100/3 x 0.1 = 23.919333 V.
func TestLoopPowerByHand(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv":    "name,kind,low,high,standby mA,alarm mA,least volts\nLarch,optical smoke,20,40,100,100,17\n",
		"schedule.csv": "loop,address,type,metres,area\n1,1,Larch,33.3333333333,Hall\n1,2,Larch,33.3333333333,Hall\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	ctx := context.Background()
	if err := a.SetArea(ctx, site, sootline.AreaFacts{Area: "hall", Floor: "G", M2: 90}); err != nil {
		t.Fatal(err)
	}
	celsius, back := 20.0, 100.0/3
	supply := sootline.Supply{Panel: "1", Loop: "1", Volts: 24, MM2: 1.5, Celsius: &celsius, ReturnMetres: &back}
	if err := a.SetSupply(ctx, site, supply); err != nil {
		t.Fatal(err)
	}
	loop := sootline.LoopID{Panel: "1", Name: "1"}
	p, err := LoopPower(register(t, a, site), loop, WhatIf{}, Ask{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := float64(p.Survey.Healthy.Volts), 24-2*12.1/1000*100.0/3*0.1; math.Abs(got-want) > 1e-6 {
		t.Errorf("the lamps have %.6f V, want %.6f", got, want)
	}
	if len(p.Assumed) != 0 {
		t.Errorf("everything was written down, and assumed: %v", p.Assumed)
	}
	// With the cable to IN broken, the far lamp is fed through two parts:
	// 24 - 2 x 12.1/1000 x 100/3 x (0.2 + 0.1).
	if got, want := float64(p.Survey.Worst.Volts), 24-2*12.1/1000*100.0/3*0.3; math.Abs(got-want) > 1e-6 {
		t.Errorf("under the worst fault the far lamp has %.6f V, want %.6f", got, want)
	}
	more, err := LoopPower(register(t, a, site), loop, WhatIf{Add: 5, Type: "Larch"}, Ask{})
	if err != nil {
		t.Fatal(err)
	}
	if more.Survey.Worst.Margin >= p.Survey.Worst.Margin {
		t.Error("five devices more do not lower the margin")
	}
}

// What nobody wrote down is said, with how many points it concerns.
func TestLoopPowerSaysWhatItAssumes(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"schedule.csv": schedule})
	take(t, a, site, filepath.Join(folder, "schedule.csv"))
	p, err := LoopPower(register(t, a, site), sootline.LoopID{Panel: "1", Name: "1"}, WhatIf{}, Ask{})
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(p.Assumed, "\n")
	for _, want := range []string{"what feeds the loop", "1.5 mm2", "40 C", "10 m (at 4 points", "0.5 mA (at 3 points", "5 mA (at 3 points", "least working volts are not known"} {
		if !strings.Contains(said, want) {
			t.Errorf("nothing is said of %q in:\n%s", want, said)
		}
	}
	if _, err := LoopPower(register(t, a, site), sootline.LoopID{Panel: "1", Name: "9"}, WhatIf{}, Ask{}); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("a loop without points: %v", err)
	}
}
