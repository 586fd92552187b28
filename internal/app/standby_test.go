package app

import (
	"context"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/circuit"
)

// Two detectors, three sounders and an isolator of which four may be in alarm: the
// three sounders (16 - 0.5 mA more than at rest each) and one detector (3 - 0.3),
// by hand. At rest 2 x 0.3 + 3 x 0.5 + 0.1 = 2.2 mA; in alarm 3 x 16 + 3 + 0.3 + 0.1.
func TestLoopDrains(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv": "name,kind,low,high,standby mA,alarm mA,least volts\nLarch,optical smoke,20,40,0.3,3,17\n" +
			"Fenn,sounder,,,0.5,16,18\nGate,isolator,,,0.1,0.1,\n",
		"schedule.csv": "loop,address,type,area\n1,1,Larch,Hall\n1,2,Fenn,Hall\n1,3,Fenn,Hall\n1,4,Larch,Loft\n1,5,Fenn,Loft\n1,6,Gate,Loft\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	ctx := context.Background()
	battery, assumed, err := a.PanelBattery(ctx, site, Always, "1", Battery{})
	drains := battery.Drains
	if err != nil {
		t.Fatal(err)
	}
	if len(drains) != 3 || !strings.Contains(strings.Join(assumed, ""), "how many devices of loop 1.1 may be in alarm at once is not known: all of them") {
		t.Errorf("%+v %v", drains, assumed)
	}
	four := 4
	if err := a.SetSupply(ctx, site, sootline.Supply{Panel: "1", Loop: "1", Volts: 24, AlarmsAtOnce: &four}); err != nil {
		t.Fatal(err)
	}
	if battery, assumed, err = a.PanelBattery(ctx, site, Always, "1", Battery{}); err != nil || len(assumed) != 0 {
		t.Fatal(err, assumed)
	}
	drains = battery.Drains
	want := []circuit.Drain{
		{Name: "Fenn, loop 1.1", Count: 3, Rest: 0.0005, Alarm: 0.016},
		{Name: "Larch, loop 1.1", Count: 1, Rest: 0.0003, Alarm: 0.003},
		{Name: "Larch, loop 1.1, not in alarm", Count: 1, Rest: 0.0003, Alarm: 0.0003},
		{Name: "Gate, loop 1.1, not in alarm", Count: 1, Rest: 0.0001, Alarm: 0.0001},
	}
	if diff := cmp.Diff(want, drains); diff != "" {
		t.Error(diff)
	}
	size, err := Battery{Drains: drains}.Size(1)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(size.Rest)-0.0022) > 1e-12 || math.Abs(float64(size.Alarm)-0.0514) > 1e-12 {
		t.Errorf("%v at rest and %v in alarm", size.Rest, size.Alarm)
	}
}

// What a fault takes of floors and square metres: 90 m2 of three detectors, of
// which a short beside the panel takes two, are 60 m2; the call point beside them
// protects none.
func TestLossOfAreas(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv": "name,kind,low,high,standby mA,alarm mA,least volts\nLarch,optical smoke,20,40,0.3,3,17\n" +
			"Push,call point,,,0.3,3,17\nGate,isolator,,,0.1,0.1,9\n",
		"schedule.csv": "loop,address,type,area,metres\n1,1,Larch,Hall,9\n1,2,Larch,Hall,9\n1,3,Push,Hall,9\n1,4,Gate,Loft,9\n1,5,Larch,Hall,9\n1,6,Gate,Loft,9\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	if err := a.SetArea(context.Background(), site, sootline.AreaFacts{Area: "Hall", Floor: "G", M2: 90}); err != nil {
		t.Fatal(err)
	}
	p, err := LoopPower(register(t, a, site), sootline.LoopID{Panel: "1", Name: "1"}, WhatIf{}, Ask{Pairs: true, Faults: []string{"short@1.1.002"}})
	if err != nil {
		t.Fatal(err)
	}
	want := "3 devices are lost, detectors and call points: 3; on floor G (3); 60 m2"
	for name, loss := range map[string]circuit.Loss{"as asked": p.Given.Loss, "the worst": p.Most.Loss} {
		if got := loss.Sentence(); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	if said := strings.Join(p.Assumed, "\n"); !strings.Contains(said, "floors are not known: what a fault takes of them is not counted (at 2 points, the first is 1.1.004)") || strings.Contains(said, "square metres") {
		t.Error(said)
	}
	if p.Pair == nil || len(p.Pair.Faults) != 2 {
		t.Errorf("the worst pair: %+v", p.Pair)
	}
}
