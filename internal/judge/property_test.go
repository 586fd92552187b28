package judge_test

import (
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/judge"
)

// logGen draws the log of one point: any samples that an entry may hold, on any
// days, with resets, and a type sheet that may say anything or nothing.
func logGen() *rapid.Generator[*book] {
	number := rapid.OneOf(
		rapid.Float64Range(15, 40), rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(20, 35).Draw(t, "count")) }),
		rapid.Float64(),
	).Filter(func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) })
	limit := rapid.Custom(func(t *rapid.T) *float64 {
		if rapid.Bool().Draw(t, "known") {
			return new(number.Draw(t, "limit"))
		}
		return nil
	})
	size := rapid.Custom(func(t *rapid.T) *float64 {
		if x := limit.Draw(t, "size"); x != nil {
			return new(math.Abs(*x))
		}
		return nil
	})
	return rapid.Custom(func(t *rapid.T) *book {
		b := &book{}
		if rapid.Bool().Draw(t, "described") {
			band := sootline.Band{Low: limit.Draw(t, "low"), High: limit.Draw(t, "high")}
			if band.Complete() && *band.Low >= *band.High {
				band.Low = nil
			}
			b.sheet(sootline.TypeSheet{
				Kind: sootline.Smoke, Bands: []sootline.Band{band}, Compensated: rapid.Bool().Draw(t, "compensated"),
				SpreadLimit: size.Draw(t, "spread"), PooledSD: size.Draw(t, "noise"), LifeYears: size.Draw(t, "life"),
			})
		}
		b.fit(date("2015-01-01").AddDate(0, 0, rapid.IntRange(-40000, 0).Draw(t, "fitted")))
		at := date("2015-01-01")
		for range rapid.IntRange(0, 25).Draw(t, "events") {
			at = at.Add(time.Duration(rapid.SampledFrom([]int{0, 1, 24, 24 * 90, 24 * 180, 24 * 2000}).Draw(t, "hours")) * time.Hour)
			switch rapid.IntRange(0, 12).Draw(t, "event") {
			case 0:
				b.add(at, sootline.Cleaned{})
			case 1:
				b.add(at, sootline.Replaced{})
			default:
				b.read(at, rapid.SliceOfN(number, 1, 4).Draw(t, "samples")...)
			}
		}
		return b
	})
}

func (b *book) end() time.Time {
	end := date("2015-01-02")
	for _, e := range b.entries {
		if e.At.After(end) {
			end = e.At
		}
	}
	return end
}

// Whatever a log holds: figures are numbers, intervals have a width, no day lies
// before the last reading, and nothing is concluded from nothing.
func TestAnyHistory(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := logGen().Draw(rt, "log")
		on := b.end().AddDate(0, 0, rapid.IntRange(0, 700).Draw(rt, "days later"))
		r := sootline.Fold(b.entries, on)
		p := r.Point(hall)
		got := judge.Point(r, p, on)
		for name, x := range map[string]*float64{
			"value": &got.Value, "spread": got.Spread, "margin": got.Margin, "drift": got.DriftPerYear,
			"drift low": got.DriftLow, "drift high": got.DriftHigh, "chance": got.ChanceOutside,
		} {
			if x != nil && (math.IsNaN(*x) || math.IsInf(*x, 0)) {
				rt.Errorf("%s is %v", name, *x)
			}
		}
		checkDays(rt, &got)
		checkEmpty(rt, &got, p)
		if got.Action == "" || len(got.Reasons) == 0 || got.Unsteady != (got.UnsteadyWhy != "") {
			rt.Errorf("action %q, reasons %q, unsteady %t %q", got.Action, got.Reasons, got.Unsteady, got.UnsteadyWhy)
		}
		if got.ChanceOutside != nil && (*got.ChanceOutside < 0 || *got.ChanceOutside > 1) {
			rt.Errorf("chance %v", *got.ChanceOutside)
		}
	})
}

func checkDays(t interface{ Errorf(string, ...any) }, got *judge.Judgement) {
	for name, day := range map[string]*time.Time{"earliest": got.LeavesEarliest, "likely": got.LeavesLikely, "latest": got.LeavesLatest} {
		if day != nil && day.Before(got.ReadAt) {
			t.Errorf("%s %s lies before the last reading, %s", name, day, got.ReadAt)
		}
	}
	if got.LeavesLatest != nil && (got.LeavesEarliest == nil || !got.LeavesLatest.After(*got.LeavesEarliest)) {
		t.Errorf("days from %v to %v", got.LeavesEarliest, got.LeavesLatest)
	}
	if c := got.ChanceOutside; c != nil && *c > 0.051 && got.LeavesEarliest != nil && got.LeavesEarliest.After(*got.ChanceBy) {
		t.Errorf("with a chance of %.3f by %s it does not leave before %s", *c, got.ChanceBy, got.LeavesEarliest)
	}
	if (got.DriftLow == nil) != (got.DriftHigh == nil) || got.DriftLow != nil && *got.DriftLow >= *got.DriftHigh {
		t.Errorf("drift from %v to %v", got.DriftLow, got.DriftHigh)
	}
}

// What is said of days never denies the chance beside them.
func TestDaysDoNotDenyTheChance(t *testing.T) {
	for _, values := range [][]float64{{33, 34, 35, 35, 35, 35}, {34, 35, 34, 34}, {30, 32, 33}, {25, 26, 25}, {21, 20, 21, 20}} {
		var b book
		b.sheet(alpha())
		b.fit(date("2022-01-01"))
		b.visits(date("2026-03-01"), values...)
		got := b.judge(t, date("2026-03-04"))
		checkDays(t, &got)
	}
}

func checkEmpty(t *rapid.T, got *judge.Judgement, p *sootline.Point) {
	last := len(p.Readings) - 1
	if len(p.SinceReset()) > 0 || last >= 0 && p.Readings[last].At.Format(time.DateOnly) == p.LastReset().At.Format(time.DateOnly) {
		return // of one day the log may hold a cleaning and a reading in either order
	}
	if got.Verdict != judge.NoReading || got.DriftReal != judge.TooFew || got.DriftPerYear != nil || got.LeavesEarliest != nil || got.Unsteady {
		t.Errorf("from no reading: %+v", *got)
	}
	if got.Action != judge.Read && got.Action != judge.Replace {
		t.Errorf("from no reading: %s", got.Action)
	}
}

// A site is judged point by point: the working space that is kept from one to
// the next changes nothing.
func TestSiteIsItsPoints(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var entries []sootline.Entry
		end := date("2015-01-02")
		for i := range 4 {
			b := logGen().Draw(rt, "log")
			for _, e := range b.entries {
				if !e.Point.Zero() {
					e.Point[15] = byte(i)
					e.ID[15] = byte(i)
				}
				entries = append(entries, e)
			}
			if b.end().After(end) {
				end = b.end()
			}
		}
		r := sootline.Fold(entries, end)
		got := judge.Site(r, end)
		if len(got) != len(r.Points()) {
			rt.Fatalf("%d judgements of %d points", len(got), len(r.Points()))
		}
		for i, p := range r.Points() {
			alone := judge.Point(r, p, end)
			alone.Point, got[i].Point = nil, nil
			if diff := cmp.Diff(alone, got[i], unseen); diff != "" {
				rt.Fatalf("point %d: %s", i, diff)
			}
		}
	})
}

// unseen leaves out what a Judgement keeps to itself: where its entries lie.
var unseen = cmpopts.IgnoreUnexported(judge.Judgement{})
