package judge_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/judge"
)

// threefold is the sheet of a type with a share of compensation and a sensitivity
// beside its counts.
func threefold() sootline.TypeSheet {
	sheet := alpha()
	sheet.Others = []sootline.Quantity{
		{Name: "compensation used", Unit: "%", Bands: []sootline.Band{{High: new(80.0)}}, PooledSD: new(2.0), Rest: new(0.0)},
		{Name: "sensitivity", Unit: "%/ft", Worse: sootline.Downwards, Bands: []sootline.Band{{Low: new(1.0), High: new(3.5), Alarm: new(0.5)}}, PooledSD: new(0.1), Rest: new(2.5)},
	}
	return sheet
}

func (b *book) readOther(quantity string, at time.Time, samples ...float64) {
	b.add(at, sootline.Read{Samples: samples, Quantity: quantity})
}

// Each case is worked out by hand from the rules; 11.0314 %/m is 3.5 %/ft, and
// 2.2763 %/m and 0.10 dB/m are 0.6994 %/ft (facts on obscuration, computed
// apart by the relations of UL 268 and the SFPE Handbook, from memory).
func TestQuantities(t *testing.T) {
	on, last := date("2026-03-04"), date("2026-03-01")
	used, sense := "compensation used", "sensitivity"
	for _, c := range []struct {
		name    string
		history func(b *book)
		judged  string // the quantity of the judgement
		action  judge.Action
		reason  string // how the first one begins
		others  int
	}{
		{"all well", func(b *book) { b.visits(last, 25); b.readOther(used, last, 40) }, "", judge.Leave, "read 25 counts", 1},
		{"used up", func(b *book) { b.visits(last, 25); b.readOther(used, last, 90) }, "", judge.CleanAtVisit, "compensation used: read 90 % on 2026-03-01, above its high limit of 80 %", 1},
		{"above by less than its noise", func(b *book) { b.visits(last, 25); b.readOther(used, last, 81) }, "", judge.CleanAtVisit, "compensation used: ", 1},
		{"the own is more pressing", func(b *book) { b.visits(last, 40); b.readOther(used, last, 81) }, "", judge.CleanNow, "read 40 counts", 1},
		{"too sensitive by dirt", func(b *book) { b.visits(last, 25); b.readOther(sense, last, 0.7) }, "", judge.CleanNow, "sensitivity: read 0.7 %/ft on 2026-03-01, below its band", 1},
		{"the same in %/m", func(b *book) { b.visits(last, 25); b.readOther("%/m", last, 2.2763) }, "", judge.CleanNow, "sensitivity: read 0.699 %/ft", 1},
		{"the same in dB/m", func(b *book) { b.visits(last, 25); b.readOther("sensitivity (dB/m)", last, 0.10) }, "", judge.CleanNow, "sensitivity: read 0.699 %/ft", 1},
		{"at the limit in %/m", func(b *book) { b.visits(last, 25); b.readOther("%/m", last, 11.0313) }, "", judge.LookAgain, "sensitivity: ", 1},
		{"not sensitive enough is no dirt", func(b *book) { b.visits(last, 25); b.readOther(sense, last, 4) }, "", judge.Replace, "sensitivity: read 4 %/ft on 2026-03-01, above its band of 1 to 3.5 %/ft, and no dirt leads there", 1},
		{"only the share was read", func(b *book) { b.readOther(used, last, 40) }, used, judge.Leave, "compensation used: read 40 %", 0},
		{"only others were read", func(b *book) { b.readOther(used, last, 40); b.readOther(sense, last, 0.7) }, sense, judge.CleanNow, "sensitivity: read 0.7 %/ft", 1},
		{"an unknown one decides nothing", func(b *book) { b.visits(last, 25); b.readOther("temperature", last, 80) }, "", judge.Leave, "read 25 counts", 1},
		{"to be read anew after cleaning", func(b *book) {
			b.readOther(used, date("2025-09-01"), 90)
			b.add(date("2026-02-01"), sootline.Cleaned{})
			b.visits(last, 25)
		}, "", judge.Read, "compensation used: not read since it was cleaned on 2026-02-01", 1},
		{"the same at all visits is no fault there", func(b *book) {
			b.visits(last, 25)
			for i := range 9 {
				b.readOther(used, last.AddDate(0, -3*i, 0), 0)
			}
		}, "", judge.Leave, "read 25 counts", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b book
			b.sheet(threefold())
			b.fit(date("2022-01-01"))
			c.history(&b)
			j := b.judge(t, on)
			if j.Quantity != c.judged || j.Action != c.action || !strings.HasPrefix(j.Reasons[0], c.reason) || len(j.Others) != c.others {
				t.Errorf("%q, %s, %d others: %q; want %q, %s, %d, %q", j.Quantity, j.Action, len(j.Others), j.Reasons, c.judged, c.action, c.others, c.reason)
			}
			r := sootline.Fold(b.entries, on)
			if one := judge.Point(r, r.Points()[0], on); one.Action != j.Action || one.Reasons[0] != j.Reasons[0] {
				t.Errorf("alone: %s, %q", one.Action, one.Reasons)
			}
			if j.Point.ID != hall {
				t.Error("the judgement is of a copy of the point")
			}
			for _, other := range j.Others {
				if other.Point != j.Point || other.Quantity == "" {
					t.Errorf("%q is of another point", other.Quantity)
				}
			}
		})
	}
}

// A type whose drift is compensated is judged on what is left of that: 80 - 45 %
// of it is left. Its line rises by 30 % in a year exactly, so that it meets the
// limit (80-45)/30 = 1.17 years after the last visit, beyond the visit after next
// (one year after the day).
func TestCompensationLeads(t *testing.T) {
	sheet := threefold()
	sheet.Compensated = true
	var b book
	b.sheet(sheet)
	b.fit(date("2022-01-01"))
	last := date("2026-03-01")
	b.visits(last, 25, 25, 25, 25, 25, 25, 25)
	for i := range 7 {
		at := last.AddDate(0, -3*i, 0)
		b.readOther("compensation used", at, 45-30*last.Sub(at).Hours()/24/365.25)
	}
	j := b.judge(t, date("2026-03-04"))
	used := j.Others[0]
	if used.DriftPerYear == nil || math.Abs(*used.DriftPerYear-30) > 12 || used.DriftReal != judge.Yes {
		t.Errorf("drift %v, %s; want 30 a year, yes", used.DriftPerYear, used.DriftReal)
	}
	if want := last.AddDate(0, 0, 426); used.LeavesLikely == nil || used.LeavesLikely.Sub(want).Abs() > 180*24*time.Hour {
		t.Errorf("likely on %v, want about %v", used.LeavesLikely, want)
	}
	if !strings.HasPrefix(j.Reasons[0], "compensation used: ") {
		t.Errorf("the first reason is %q", j.Reasons[0])
	}
	if !strings.Contains(strings.Join(used.Reasons, "\n"), "left of the compensation before its limit: 35 %") {
		t.Errorf("%q", used.Reasons)
	}
}

// The sensitivity of a clean unit is 2.5 %/ft and its alarm level 0.5: at 1.5 it
// has gone (1.5-2.5)/(0.5-2.5) = half of the way.
func TestAlarmShareDownwards(t *testing.T) {
	var b book
	b.sheet(threefold())
	b.fit(date("2022-01-01"))
	b.readOther("sensitivity", date("2026-03-01"), 1.5)
	j := b.judge(t, date("2026-03-04"))
	if j.AlarmShare == nil || math.Abs(*j.AlarmShare-0.5) > 1e-12 {
		t.Errorf("alarm share %v, want 0.5", j.AlarmShare)
	}
}

// Where the sheet of a type says that dirt lowers its value, it is cleaned below
// its band and replaced above; a gas cell is never cleaned, whatever it reads.
func TestDirectionOfDirt(t *testing.T) {
	for _, c := range []struct {
		kind   sootline.DeviceKind
		worse  sootline.Direction
		reads  float64
		action judge.Action
	}{
		{sootline.Smoke, sootline.AsKind, 40, judge.CleanNow},
		{sootline.Smoke, sootline.AsKind, 15, judge.Replace},
		{sootline.Smoke, sootline.Downwards, 15, judge.CleanNow},
		{sootline.Smoke, sootline.Downwards, 40, judge.Replace},
		{sootline.Gas, sootline.AsKind, 15, judge.Replace},
		{sootline.Gas, sootline.AsKind, 40, judge.Replace},
		{sootline.Gas, sootline.Downwards, 15, judge.Replace},
		{sootline.Gas, sootline.Upwards, 40, judge.CleanNow},
	} {
		sheet := alpha()
		sheet.Kind, sheet.Worse = c.kind, c.worse
		var b book
		b.sheet(sheet)
		b.fit(date("2022-01-01"))
		b.visits(date("2026-03-01"), c.reads)
		if j := b.judge(t, date("2026-03-04")); j.Action != c.action {
			t.Errorf("%s, worse %q, reads %v: %s, want %s: %q", c.kind, c.worse, c.reads, j.Action, c.action, j.Reasons)
		}
	}
}

// An unrecorded cleaning of a device that dirt lowers is a step upwards.
func TestCleanedUpwards(t *testing.T) {
	sheet := alpha()
	sheet.Worse = sootline.Downwards
	var b book
	b.sheet(sheet)
	b.fit(date("2020-01-01"))
	b.visits(date("2026-03-01"), 33, 32, 31, 30, 28, 27, 26, 25, 33, 32, 31, 30, 29, 28)
	on := date("2026-03-04")
	questions := judge.Unwritten(sootline.Fold(b.entries, on))
	if len(questions) != 1 || questions[0].Kind != judge.AskCleaned {
		t.Errorf("asked %+v, want whether it was cleaned", questions)
	}
}

// Two looks at 08:00 and 20:00 of one day in Auckland, UTC+13, are one visit, and
// the reasons name that day, although they lie on two days in UTC.
func TestDaysOfTheSite(t *testing.T) {
	zone, err := time.LoadLocation("Pacific/Auckland")
	if err != nil {
		t.Fatal(err)
	}
	var b book
	b.sheet(alpha())
	b.fit(date("2022-01-01"))
	morning := time.Date(2026, 3, 2, 8, 0, 0, 0, zone)
	b.read(morning.UTC(), 25)
	b.read(morning.Add(12*time.Hour).UTC(), 25)
	on := morning.AddDate(0, 0, 2)
	r := sootline.Fold(b.entries, on)
	r.In(zone)
	reasons := strings.Join(judge.Point(r, r.Points()[0], on).Reasons, "\n")
	if !strings.Contains(reasons, "read 25 counts on 2026-03-02") || !strings.Contains(reasons, "1 visit") {
		t.Errorf("in Auckland: %s", reasons)
	}
	r = sootline.Fold(b.entries[:len(b.entries)-1], on) // as ever: the day before in UTC
	if reasons := judge.Point(r, r.Points()[0], on).Reasons[0]; !strings.Contains(reasons, "on 2026-03-01") {
		t.Errorf("in UTC: %s", reasons)
	}
}

// The same readings judged as another quantity come to the same figures and the
// same action as they do as resting values. Up to 7 visits: 8 equal ones are a
// fault of a resting value alone.
func TestOtherIsJudgedAlike(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0, 60), 1, 7).Draw(rt, "values")
		worse := rapid.SampledFrom([]sootline.Direction{sootline.AsKind, sootline.Upwards, sootline.Downwards}).Draw(rt, "worse")
		bands := []sootline.Band{{Low: new(20.0), High: new(35.0), Alarm: new(60.0)}}
		judged := func(quantity string) judge.Judgement {
			sheet := sootline.TypeSheet{Kind: sootline.Smoke, Unit: "u", Bands: bands, PooledSD: new(1.5), FactoryRest: new(25.0), Worse: worse}
			if quantity != "" {
				sheet = sootline.TypeSheet{Kind: sootline.Smoke, Others: []sootline.Quantity{
					{Name: quantity, Unit: "u", Bands: bands, PooledSD: new(1.5), Rest: new(25.0), Worse: worse},
				}}
			}
			var b book
			b.sheet(sheet)
			b.fit(date("2022-01-01"))
			for i, v := range values {
				b.readOther(quantity, date("2026-03-01").AddDate(0, -3*(len(values)-1-i), 0), v)
			}
			return b.judge(t, date("2026-03-04"))
		}
		own, other := judged(""), judged("share")
		own.Reasons[0] = "share: " + own.Reasons[0]
		ignore := cmpopts.IgnoreFields(judge.Judgement{}, "Point", "Sheet", "Quantity")
		if diff := cmp.Diff(own, other, unseen, ignore, cmpopts.EquateEmpty()); diff != "" {
			rt.Error(diff)
		}
	})
}
