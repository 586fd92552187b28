package judge_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// taken is a history that a reason decides, and the same without the quantity of which the reason speaks.
type taken struct {
	says   string // part of the reason that comes first
	action judge.Action
	with   func(b *book, on bool) // on: with the quantity
}

// high gives the sheet whose high limit is 35, or so far off that no level reaches it.
func high(b *book, near bool) {
	sheet := alpha()
	if !near {
		sheet.Bands[0].High = new(500.0)
	}
	b.sheet(sheet)
}

// low is the same for the low limit of 20.
func low(b *book, near bool) {
	sheet := alpha()
	if !near {
		sheet.Bands[0].Low = new(-500.0)
	}
	b.sheet(sheet)
}

// either reads one value or the other at the end.
func either(b *book, on bool, with, without float64) {
	if !on {
		with = without
	}
	b.read(date("2026-03-01"), with)
}

func reasonsThatDecide() map[string]taken {
	last, before := date("2026-03-01"), date("2025-12-01")
	return map[string]taken{
		"past its life": {"past its service life", judge.Replace, func(b *book, on bool) {
			sheet := alpha()
			if on {
				sheet.LifeYears = new(4.0)
			}
			b.sheet(sheet)
			b.visits(last, 25)
		}},
		"a number that no device gives": {"a number that no device gives", judge.LookAgain, func(b *book, on bool) {
			b.visits(before, 25, 26, 25)
			either(b, on, 1e300, 25)
		}},
		"unsteady": {"the value is unsteady", judge.LookAgain, func(b *book, on bool) {
			b.read(last, 25, 25, 26, 25)
			if on {
				b.entries = b.entries[:len(b.entries)-1]
				b.read(last, 25, 31, 22, 33)
			}
		}},
		"stuck": {"all gave exactly 25", judge.LookAgain, func(b *book, on bool) {
			b.visits(before, 25, 25, 25, 25, 25, 25, 25)
			either(b, on, 25, 26)
		}},
		"no band": {"no band is known", judge.LookAgain, func(b *book, on bool) {
			if on {
				b.sheet(sootline.TypeSheet{})
			}
			b.visits(last, 25)
		}},
		"contradicted": {"contradict each other", judge.LookAgain, func(b *book, on bool) {
			b.visits(before, 25, 24, 25)
			b.read(last.Add(9*time.Hour), 24)
			if on {
				b.read(last.Add(10*time.Hour), 48)
			}
		}},
		"not what was shown": {"lies far off the line", judge.LookAgain, func(b *book, on bool) {
			b.visits(before, 25, 25, 26, 25, 26)
			either(b, on, 48, 26)
		}},
		"not read since it was cleaned": {"not read since it was cleaned", judge.Read, func(b *book, on bool) {
			b.visits(last, 25)
			if on {
				b.add(date("2026-03-02"), sootline.Cleaned{})
			}
		}},
		"worn now": {"no dirt leads there: replace it", judge.Replace, func(b *book, on bool) {
			low(b, on)
			b.visits(last, 18)
		}},
		"worn perhaps": {"may be chance: read it again", judge.LookAgain, func(b *book, on bool) {
			low(b, on)
			b.visits(last, 19, 20, 20, 19, 19, 20)
		}},
		"worn at once": {"which no dirt does: say what happened, before it is replaced", judge.LookAgain, func(b *book, on bool) {
			low(b, on)
			b.visits(last, 25, 25, 24, 25, 25, 12, 12, 11)
		}},
		"dirty long ago": {"longer ago than two visits: read it before it is cleaned", judge.Read, func(b *book, on bool) {
			high(b, true)
			b.visits(before.AddDate(-3, 0, 0), 27, 30, 33, 37)
			if !on {
				b.visits(last, 37)
			}
		}},
		"dirty now": {"clean it now", judge.CleanNow, func(b *book, on bool) {
			high(b, on)
			b.visits(last, 37)
		}},
		"read outside": {"its level is outside with a chance of", judge.LookAgain, func(b *book, on bool) {
			b.visits(before, 33, 32, 33, 33, 32, 33, 32, 33, 33, 32, 33)
			either(b, on, 36, 33)
		}},
		"dirty soon": {"clean it at this visit", judge.CleanAtVisit, func(b *book, on bool) {
			high(b, on)
			b.visits(last, 26, 27, 28, 29, 30, 31, 32)
		}},
		"worn soon": {"is ageing, not dirt: replace it", judge.Replace, func(b *book, on bool) {
			low(b, on)
			b.visits(last, 30, 29, 27, 26, 24, 23, 21)
		}},
		"failed": {"it failed its test on", judge.LookAgain, func(b *book, on bool) {
			b.visits(last, 25)
			if on {
				b.add(date("2026-03-02"), sootline.Tested{Failed: true})
			}
		}},
		"stale": {"longer ago than two visits", judge.Read, func(b *book, on bool) {
			b.read(date("2022-06-01"), 25)
			if !on {
				b.read(last, 25)
			}
		}},
		"well": {"leave it", judge.Leave, func(b *book, on bool) {
			if on {
				b.visits(last, 25)
			}
		}},
		"another quantity": {"compensation used: read 90 %", judge.CleanAtVisit, func(b *book, on bool) {
			b.sheet(threefold())
			b.visits(last, 25)
			if on {
				b.readOther("compensation used", last, 90)
			}
		}},
	}
}

// Every reason that can come first decides: without the quantity of which it speaks another action comes of the same
// history, or the action is for another reason.
func TestReasonsDecide(t *testing.T) {
	for name, c := range reasonsThatDecide() {
		t.Run(name, func(t *testing.T) {
			var got [2]judge.Judgement
			for i, on := range []bool{true, false} {
				var b book
				b.sheet(alpha())
				b.fit(date("2022-01-01"))
				c.with(&b, on)
				got[i] = b.judge(t, date("2026-03-04"))
			}
			with, without := &got[0], &got[1]
			if with.Action != c.action || !strings.Contains(with.Sentences()[0], c.says) {
				t.Errorf("%s: %q", with.Action, with.Reasons)
			}
			if without.Action == with.Action || strings.Contains(without.Sentences()[0], c.says) {
				t.Errorf("without it %s all the same: %q", without.Action, without.Reasons)
			}
		})
	}
}

// Two readings of one day, 24 and 48 in either order, are said to contradict each other and are looked at again.
func TestContradictionOfOneDay(t *testing.T) {
	for name, history := range map[string][]float64{"alone": nil, "clean": {24, 25, 24, 25}, "dirty": {30, 36, 42, 47}, "rising": {24, 26, 28, 30, 32}} {
		for _, order := range [][2]float64{{24, 48}, {48, 24}} {
			var b book
			b.sheet(alpha())
			b.fit(date("2022-01-01"))
			b.visits(date("2025-12-01"), history...)
			b.read(date("2026-03-01").Add(9*time.Hour), order[0])
			b.read(date("2026-03-01").Add(10*time.Hour), order[1])
			got := b.judge(t, date("2026-03-04"))
			if got.Action != judge.LookAgain || !strings.Contains(got.Sentences()[0], "contradict each other") {
				t.Errorf("%s, %v: %s, %q", name, order, got.Action, got.Reasons)
			}
		}
	}
}

// What was last read longer ago than its term is never left, whatever it was.
func TestNothingStaleIsLeft(t *testing.T) {
	for _, values := range [][]float64{{25}, {25, 25, 25}, {22, 23, 24, 25}, {30, 25, 28}, {25, 25, 25, 25, 25, 25, 25, 25, 25}, {24, 48}} {
		for _, sheet := range []sootline.TypeSheet{alpha(), threefold()} {
			for years := 1; years <= 7; years++ {
				var b book
				b.sheet(sheet)
				b.fit(date("2010-01-01"))
				last := date("2026-02-01").AddDate(-years, 0, -45)
				b.visits(last, values...)
				b.readOther("compensation used", date("2026-03-01"), 20)
				if got := b.judge(t, date("2026-03-04")); got.Action == judge.Leave {
					t.Errorf("%v, last read %s: %q", values, last, got.Reasons)
				}
			}
		}
	}
}

// What it costs to be wrong changes what is done: a trip that costs nothing beside a miss is made from a lower chance,
// and a unit is kept where a new one costs a hundred misses.
func TestLossesDecide(t *testing.T) {
	for name, c := range map[string]struct {
		losses sootline.Losses
		values []float64
		usual  judge.Action
		want   judge.Action
	}{
		"a cheap trip":           {sootline.Losses{Trip: 0.1}, []float64{26, 27, 28, 29, 30, 31, 33}, judge.CleanAtVisit, judge.CleanNow},
		"a dear miss":            {sootline.Losses{Missed: 20}, []float64{26, 27, 28, 29, 30, 31, 33}, judge.CleanAtVisit, judge.CleanNow},
		"a dear trip":            {sootline.Losses{Trip: 1000}, []float64{37}, judge.CleanNow, judge.CleanAtVisit},
		"a dear cleaning":        {sootline.Losses{Clean: 1000, Trip: 1000}, []float64{26, 27, 28, 29, 30, 31, 33}, judge.CleanAtVisit, judge.Leave},
		"a dear unit":            {sootline.Losses{Replace: 1000}, []float64{30, 29, 27, 26, 24, 23, 21}, judge.Replace, judge.Leave},
		"a dear look":            {sootline.Losses{Look: 1000}, []float64{25, 25, 26, 25, 26, 48}, judge.LookAgain, judge.LookAgain},
		"a dear look, stuck":     {sootline.Losses{Look: 1000}, slices.Repeat([]float64{25}, 8), judge.LookAgain, judge.Leave},
		"a cheap look, stuck":    {sootline.Losses{Look: 0.02}, slices.Repeat([]float64{25}, 6), judge.Leave, judge.LookAgain},
		"a dear look, unsteady":  {sootline.Losses{Look: 1000}, []float64{25, 25, 25, 31, 31, 22, 22, 30, 29}, judge.LookAgain, judge.Leave},
		"outside is never left":  {sootline.Losses{Look: 1000, Clean: 1000, Trip: 1000}, []float64{37}, judge.CleanNow, judge.LookAgain},
		"below it is never left": {sootline.Losses{Look: 1000, Replace: 1000}, []float64{18}, judge.Replace, judge.LookAgain},
	} {
		for _, losses := range []sootline.Losses{{}, c.losses} {
			var b book
			b.sheet(alpha())
			b.fit(date("2022-01-01"))
			b.add(date("2022-01-02"), sootline.Opened{Rules: sootline.Rules{Losses: losses}})
			b.visits(date("2026-03-01"), c.values...)
			want := c.usual
			if losses != (sootline.Losses{}) {
				want = c.want
			}
			if got := b.judge(t, date("2026-03-04")); got.Action != want {
				t.Errorf("%s, %+v: %s, want %s: %q (%v)", name, losses, got.Action, want, got.Reasons, math.Round(100**got.ChanceOutside))
			}
		}
	}
}

// A unit that two cleanings left far above clean ones is replaced, and that reason comes first, where a new unit does
// not cost too much; after one, or where cleaning brought it down, it is cleaned again.
func TestCleaningThatPaysNoLongerDecides(t *testing.T) {
	for _, c := range []struct {
		after  []float64
		losses sootline.Losses
		want   judge.Action
		says   string
	}{
		{[]float64{35, 36, 38, 36, 37, 38}, sootline.Losses{}, judge.Replace, "clean units of its type rest at"},
		{[]float64{35, 36, 38, 36, 37, 38}, sootline.Losses{Replace: 1000}, judge.CleanNow, "clean it now"},
		{[]float64{24, 31, 38, 36, 37, 38}, sootline.Losses{Replace: 0.05}, judge.CleanNow, "clean it now"},
		{[]float64{35, 36, 38, 24, 29, 38}, sootline.Losses{}, judge.CleanNow, "clean it now"},
	} {
		town := newTown()
		before := []float64{23, 26, 29, 33, 35, 36}
		id := town.history(1, "Kiln room", append(before, c.after...)...)
		town.add(sootline.ID{}, visit(0, 0), sootline.Opened{Rules: sootline.Rules{Losses: c.losses}})
		for _, at := range [2]int{5, 8} {
			town.add(id, visit(at, 0).AddDate(0, 0, 1), sootline.Cleaned{})
		}
		for n := 2; n < 8; n++ {
			town.history(n, "Office", flat(12, 23)...)
		}
		got := judge.Assess(town.register(), town.on).Judgements[0]
		if got.Action != c.want || !strings.Contains(got.Sentences()[0], c.says) {
			t.Errorf("%v %v: %s, %q", c.after, c.losses, got.Action, got.Reasons)
		}
	}
}

// What was just read far beyond its limit, on the line of all before, is outside, whatever the habit of the site: nobody
// has cleaned it yet. Half a year later somebody may have, as happens there, and that is said.
func TestJustReadFarOutside(t *testing.T) {
	for months, least := range map[int]float64{0: 0.9, 6: 0.6} {
		town := newTown()
		for n := 1; n <= 6; n++ { // cleaned, and nobody wrote it down
			town.history(n, "Hall", 25, 27, 29, 31, 33, 35, 37, 25, 27, 29, 31, 33)
		}
		town.history(21, "Hall", 25, 27, 30, 32, 35, 37, 40, 42, 45, 47, 50, 52)
		town.on = visit(11, 21).AddDate(0, months, 1)
		got, text := said(town, 21)
		if *got.ChanceNow < least || (*got.ChanceNow < 0.9) != (months == 6) {
			t.Errorf("after %d months: %.2f, %q", months, *got.ChanceNow, text)
		}
		if told := strings.Contains(text, "else it was cleaned since"); told != (months == 6) {
			t.Errorf("after %d months: %q", months, text)
		}
	}
}
