package app

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
)

// planted is what a loop of two cores really is at a measuring.
type planted struct {
	ohms    float64 // of each core at 20 C
	celsius float64
	contact float64 // in the plus core beside the copper
}

// read is what meters show of it, each off by a share of what it may be.
func (p planted) read(rng *rand.Rand, celsius, other bool) sootline.Measured {
	off := func(x float64) *float64 {
		x += (2*rng.Float64() - 1) * 0.99 * (0.01*x/1.02 + 0.1)
		x = max(x, 0)
		return &x
	}
	copper := p.ohms * (1 + 0.00393*(p.celsius-20))
	m := sootline.Measured{Panel: "1", Loop: "1", PlusOhms: off(copper + p.contact)}
	if other {
		m.MinusOhms = off(copper)
	}
	if celsius {
		warm := p.celsius + 18*rng.Float64() - 9 // the cable lies in many rooms
		m.Celsius = &warm
	}
	return m
}

// Of 20,000 planted pairs, a contact is never said where there is none, whatever the warmth, the meter and what else was
// measured; and one of 3 ohm beside at most 10 ohm of copper, with temperatures that hardly moved or the other core, always is.
func TestChangesSayNoMoreThanWasShown(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 26))
	said, clear := 0, 0
	for range 20000 {
		a := planted{ohms: 0.5 + 30*rng.Float64(), celsius: -30 + 90*rng.Float64()}
		b := planted{ohms: a.ohms, celsius: -30 + 90*rng.Float64()}
		if rng.IntN(2) == 0 {
			b.contact = 8 * rng.Float64()
		}
		celsius, other := rng.IntN(2) == 0, rng.IntN(2) == 0
		m := LoopMeasured{All: []sootline.Measuring{{Measured: a.read(rng, celsius, other)}, {Measured: b.read(rng, celsius, other)}}, Days: []string{"2024-03-05", "2026-01-19"}}
		m.changes()
		text := strings.Join(m.Changes, "\n")
		contact := strings.Contains(text, contactSays)
		if contact && b.contact == 0 {
			t.Fatalf("%+v, then %+v, without a contact: %s", a, b, text)
		}
		if contact {
			said++
		}
		near := celsius && math.Abs(a.celsius-b.celsius) < 5
		if b.contact >= 3 && a.ohms <= 10 && b.celsius >= a.celsius && (near || other && !celsius && a.ohms > 4) {
			clear++
			if !contact {
				t.Errorf("%+v, then %+v: the contact is not said: %s", a, b, text)
			}
		}
	}
	if said < 1000 || clear < 100 {
		t.Errorf("%d contacts said, %d of them clear ones", said, clear)
	}
}

// Of two measurings between which the written cable changed nothing is concluded, and what rests on facts that nobody wrote
// down is not held against the calculated.
func TestMeasuredOfAnotherCable(t *testing.T) {
	few, many := 3.0, 9.0
	m := LoopMeasured{Days: []string{"2024-03-05", "2026-01-19"}, All: []sootline.Measuring{
		{Measured: sootline.Measured{PlusOhms: &few}, On: sootline.WrittenCable{Points: 5, Metres: 250}},
		{Measured: sootline.Measured{PlusOhms: &many}, On: sootline.WrittenCable{Points: 9, Metres: 700}},
	}}
	m.changes()
	if len(m.Changes) != 1 || !strings.Contains(m.Changes[0], "not of the same cable") {
		t.Error(m.Changes)
	}
}

// Only what the facts carry is held against them: with the metres unknown the cores are not, and the current at rest is. By
// hand: two devices of 0.3 mA; and of 20 + 30 + 50 m at 12.1 ohm a kilometre 1.21 ohm a core. A withdrawn one counts no more,
// and a loop without a device is asked about.
func TestMeasuredAgainstCalculated(t *testing.T) {
	a := newApp(t, "laptop")
	now := today
	a.Now = func() time.Time { now = now.Add(time.Minute); return now }
	site, ctx := addSite(t, a), t.Context()
	folder := files(t, map[string]string{
		"types.csv": "name,kind,low,high,standby mA,alarm mA\nLarch,optical smoke,20,40,0.3,3\n", "schedule.csv": "loop,address,type,metres\n1,1,Larch,20\n1,2,Larch,30\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	core, rest := 1.3, 0.9
	said := sootline.Measured{Panel: "1", Loop: "1", MinusOhms: &core, RestMA: &rest}
	e, err := a.AddEntry(ctx, site, Note{Body: said})
	if err != nil {
		t.Fatal(err)
	}
	read := func() *LoopMeasured {
		r, err := a.Register(ctx, site, Always)
		if err != nil {
			t.Fatal(err)
		}
		m, err := MeasuredOf(r, sootline.LoopID{Panel: "1", Name: "1"})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	m := read()
	if m.Last[0].Calculated != nil || !strings.Contains(m.Last[0].Why, "the cross-section of the cable of 3 cables and metres of cable of 1 cable not written down") {
		t.Errorf("%+v", m.Last[0])
	}
	if at := m.Last[1].Calculated; at == nil || math.Abs(*at-0.6) > 1e-9 || math.Abs(m.Last[1].Off()-(0.9-0.6*1.1*1.01-0.1)) > 1e-9 {
		t.Errorf("%+v", m.Last[1])
	}
	back, celsius := 50.0, 20.0
	if err := a.SetSupply(ctx, site, sootline.Supply{Panel: "1", Loop: "1", Volts: 24, MM2: 1.5, ReturnMetres: &back, Celsius: &celsius}); err != nil {
		t.Fatal(err)
	}
	high := 1.21*1.05*(1+0.00393*10)*1.01 + 0.1
	if one := read().Last[0]; one.Calculated == nil || math.Abs(*one.Calculated-1.21) > 1e-9 || math.Abs(one.High-high) > 1e-9 || one.Off() != 0 {
		t.Errorf("%+v", one)
	}
	if _, err := a.AddEntry(ctx, site, Note{Body: sootline.Measured{Panel: "1", Loop: "2", RestMA: &rest}}); sootline.ErrorCode(err) != sootline.Doubtful {
		t.Errorf("a loop without a device: %v", err)
	}
	if _, err := a.Withdraw(ctx, site, Amendment{Entry: e.ID}); err != nil {
		t.Fatal(err)
	}
	if m := read(); m != nil {
		t.Errorf("after it was withdrawn: %+v", m)
	}
}

// What cannot be held against each other is not: insulation by other volts, and what was over the range of the meter both
// times. A core that lets next to nothing through is a break, or nearly one. Figures are written as meters show them.
func TestWhatMetersShow(t *testing.T) {
	figure := func(x float64) *float64 { return &x }
	day := func(m ...sootline.Measured) string {
		l := LoopMeasured{Days: []string{"2024-03-05", "2026-01-19", "2026-01-19"}[:len(m)]}
		for _, one := range m {
			l.All = append(l.All, sootline.Measuring{Measured: one})
		}
		l.changes()
		return strings.Join(l.Changes, "\n")
	}
	earth := func(x, volts float64, over bool) sootline.Measured {
		return sootline.Measured{PlusEarth: &x, TestVolts: &volts, PlusEarthOver: over}
	}
	core := func(x float64, over bool) sootline.Measured { return sootline.Measured{PlusOhms: &x, PlusOver: over} }
	for _, c := range []struct {
		says string
		not  string
		all  []sootline.Measured
	}{
		{"on 2024-03-05 by 250 V, and on 2026-01-19 by 500 V", "fell", []sootline.Measured{earth(900, 250, false), earth(2, 500, false)}},
		{"fell by at least 498 Mohm since 2024-03-05, from more than 500 to 2", "+", []sootline.Measured{earth(500, 500, true), earth(2, 500, false)}},
		{"2 Mohm on 2024-03-05 and more than 1 Mohm on 2026-01-19, which is not held", "fell", []sootline.Measured{earth(2, 500, false), earth(1, 500, true)}},
		{"more than 500 Mohm on 2024-03-05 and more than 1000 Mohm", "rose", []sootline.Measured{earth(500, 500, true), earth(1000, 500, true)}},
		{"rose by 3997 ohm since 2024-03-05 (4000 - 3 = +3997 ohm", "e+", []sootline.Measured{core(3, false), core(4000, false)}},
		{"a break of the core, or nearly one", "a contact", []sootline.Measured{core(3, false), core(4000, false)}},
		{"rose by at least 1997 ohm since 2024-03-05, from 3 to more than 2000: the meter was over its range; a break", "+", []sootline.Measured{core(3, false), core(2000, true)}},
		{"the largest step +6 ohm on 2026-01-19", "between", []sootline.Measured{core(3, false), core(3, false), core(9, false)}},
		{"fell by 1197 mA", "e+", []sootline.Measured{{RestMA: figure(1200)}, {RestMA: figure(3)}}},
	} {
		if said := day(c.all...); !strings.Contains(said, c.says) || strings.Contains(said, c.not) {
			t.Errorf("wanted %q: %s", c.says, said)
		}
	}
	held := HeldFigure{Day: "2026-01-19", What: "plus core, end to end", Unit: "ohm", Core: true, Measured: 2000, Over: true, Calculated: figure(3), High: 4}
	if said := held.Sentence(); !strings.Contains(said, "more than 2000 ohm measured") || !strings.Contains(said, "at least +1997 ohm apart") || !strings.Contains(said, "at least 1996 ohm MORE than the facts allow: a break") || held.Against() == "" {
		t.Error(said, held.Against())
	}
	held.Measured = 2
	if said := held.Sentence(); !strings.Contains(said, "is not known") || held.Against() != "" {
		t.Error(said, held.Against())
	}
	held.Over, held.Measured = false, 3
	if said := held.Sentence(); !strings.Contains(said, "no difference") {
		t.Error(said)
	}
}
