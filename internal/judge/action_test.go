package judge_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// Each case is a history of one point and what a technician would do with it on
// 2026-03-04, worked out by hand from the rules of docs/methods/judging.md; says
// are parts of the sentences. The band is 20 to 35, the usual noise 1.04.
func TestActions(t *testing.T) {
	on, last := date("2026-03-04"), date("2026-03-01")
	for _, c := range []struct {
		name    string
		history func(b *book)
		verdict judge.Verdict
		action  judge.Action
		says    []string
	}{
		{"never read", func(b *book) {}, judge.NoReading, judge.Read, []string{"never read since it was fitted on 2022-01-01"}},
		{"not read since it was cleaned", func(b *book) {
			b.visits(last, 36)
			b.add(date("2026-03-02"), sootline.Cleaned{})
		}, judge.NoReading, judge.Read, []string{"not read since it was cleaned on 2026-03-02", "2026-03-01"}},
		{"another quantity is no reading", func(b *book) {
			b.add(last, sootline.Read{Samples: []float64{21}, Quantity: "temperature"})
		}, judge.NoReading, judge.Read, nil},
		{"well", func(b *book) { b.visits(last, 25) }, judge.Inside, judge.Leave, []string{"read 25 counts on 2026-03-01", "band of 20 to 35 counts"}},
		{"both ends belong to the band, and at one of them it soon leaves it", func(b *book) { b.visits(last, 35) }, judge.Inside, judge.CleanAtVisit, []string{"before the visit after next"}},
		{"just above", func(b *book) { b.visits(last, 36) }, judge.Above, judge.CleanNow, []string{"outside its band by now is"}},
		{"above", func(b *book) { b.visits(last, 37) }, judge.Above, judge.CleanNow, []string{"read 37 counts", "clean it now"}},
		{"just above, and so is the line", func(b *book) {
			b.visits(last, 28, 29, 31, 32, 34, 35, 36)
		}, judge.Above, judge.CleanNow, []string{"outside its band by now is"}},
		{"above again after cleaning", func(b *book) {
			b.add(date("2025-09-01"), sootline.Cleaned{})
			b.visits(last, 38)
		}, judge.Above, judge.CleanNow, []string{"although it was cleaned on 2025-09-01"}},
		{"above long after cleaning", func(b *book) {
			b.add(date("2024-09-01"), sootline.Cleaned{})
			b.visits(last, 38)
		}, judge.Above, judge.CleanNow, nil},
		{"below", func(b *book) { b.visits(last, 18) }, judge.Below, judge.Replace, []string{"no dirt leads there"}},
		{"past its life", func(b *book) {
			sheet := alpha()
			sheet.LifeYears = new(4.0) // ended on 2026-01-01
			b.sheet(sheet)
			b.visits(last, 25)
		}, judge.Inside, judge.Replace, []string{"fitted on 2022-01-01", "service life of 4 years", "read 25 counts"}},
		{"within its life", func(b *book) {
			sheet := alpha()
			sheet.LifeYears = new(4.5) // ends in July 2026
			b.sheet(sheet)
			b.visits(last, 25)
		}, judge.Inside, judge.Leave, nil},
		{"samples far apart", func(b *book) { b.read(last, 25, 31, 22, 33) }, judge.Inside, judge.LookAgain, []string{"unsteady", "2026-03-01", "a judgement of ours"}},
		{"samples beyond the type's limit", func(b *book) {
			sheet := alpha()
			sheet.SpreadLimit = new(0.5)
			b.sheet(sheet)
			b.read(last, 25, 26, 25, 26) // standard deviation sqrt(1/3) = 0.577
		}, judge.Inside, judge.LookAgain, []string{"spread by 0.577 counts, and its type allows 0.5 counts"}},
		{"visits far apart", func(b *book) {
			b.visits(last, 25, 25, 26, 25, 26, 25, 20, 31, 21, 32, 20, 30)
		}, judge.Inside, judge.LookAgain, []string{"much further apart than its drift and the usual 1.041 counts explain"}},
		{"one odd reading at the end", func(b *book) {
			b.visits(last, 25, 25, 26, 25, 26, 48)
		}, judge.Above, judge.LookAgain, []string{"48 counts, lies far off the line", "2026-03-01"}},
		{"never moves", func(b *book) {
			b.visits(last, 25, 25, 25, 25, 25, 25, 25, 25)
		}, judge.Inside, judge.LookAgain, []string{"8 visits since 2024-06-01 all gave exactly 25 counts"}},
		{"six alike are no wonder", func(b *book) { b.visits(last, 25, 25, 25, 25, 25, 25) }, judge.Inside, judge.Leave, nil},
		{"a corrected value may stay flat", func(b *book) {
			sheet := alpha()
			sheet.Compensated = true
			b.sheet(sheet)
			b.visits(last, 25, 25, 25, 25, 25, 25, 25, 25)
		}, judge.Inside, judge.Leave, []string{"may stay flat until the correction is used up"}},
		{"little noise is hidden by rounding", func(b *book) {
			sheet := alpha()
			sheet.PooledSD = new(0.3)
			b.sheet(sheet)
			b.visits(last, 25, 25, 25, 25, 25, 25, 25, 25)
		}, judge.Inside, judge.Leave, nil},
		{"whole numbers are no finer than their rounding", func(b *book) {
			sheet := alpha()
			sheet.PooledSD = new(0.01)
			b.sheet(sheet)
			b.visits(last, 25, 25, 26, 26, 27, 27) // about 0.34 over the square of 0.289: 4.1 of chi-squared with 4 df, whose 99 % point is 13.3
		}, judge.Inside, judge.Leave, nil},
		{"no band", func(b *book) {
			b.sheet(sootline.TypeSheet{})
			b.visits(last, 25)
		}, judge.NoBand, judge.LookAgain, []string{"no band is known for type Alpha: take in its type sheet"}},
		{"a band of another quantity alone", func(b *book) {
			b.sheet(sootline.TypeSheet{Kind: sootline.Smoke, Others: []sootline.Quantity{{
				Name: sootline.CompensationUsed, Unit: "%", Bands: []sootline.Band{{High: new(80.0)}},
			}}})
			b.visits(last, 85)
		}, judge.NoBand, judge.LookAgain, []string{"its compensation used: if that was read, name the quantity"}},
		{"no band for its settings", func(b *book) {
			b.sheet(sootline.TypeSheet{Bands: []sootline.Band{{Setting: "mode=2", High: new(35.0)}}})
			b.visits(last, 25)
		}, judge.NoBand, judge.LookAgain, []string{"settings of this point"}},
		{"only a high limit", func(b *book) {
			b.sheet(sootline.TypeSheet{Bands: []sootline.Band{{High: new(35.0)}}})
			b.visits(last, 3)
		}, judge.Inside, judge.Leave, []string{"not above its high limit of 35", "the other side is not judged"}},
		{"rises to the limit", func(b *book) {
			b.visits(last, 25, 26, 28, 29, 31, 32, 34) // 6 a year: at 34, half a year more is 37
		}, judge.Inside, judge.CleanAtVisit, []string{"before the visit after next, 2027-03-04", "more than chance", "7 visits over 1.5 years"}},
		{"rises within two visits", func(b *book) {
			b.visits(last, 26, 27, 28, 29, 30, 31, 32) // 4 a year: at 32 the limit is 0.75 years off
		}, judge.Inside, judge.CleanAtVisit, []string{"passes its high limit of 35 counts before the visit after next, 2027-03-04"}},
		{"rises slowly", func(b *book) {
			b.visits(last, 23, 23, 23, 24, 23, 24, 24, 24, 25, 24, 25, 25)
		}, judge.Inside, judge.Leave, []string{"hardly drifts now"}},
		{"falls to the limit", func(b *book) {
			b.visits(last, 30, 29, 27, 26, 24, 23, 21) // minus 6 a year
		}, judge.Inside, judge.Replace, []string{"low limit of 20 counts", "ageing, not dirt"}},
		{"lies at the low limit", func(b *book) {
			b.visits(last, 19, 20, 20, 19, 19, 20) // no drift, mean 19.5
		}, judge.Inside, judge.LookAgain, []string{"yet its fall may be chance"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b book
			b.sheet(alpha())
			b.fit(date("2022-01-01"))
			c.history(&b)
			got := b.judge(t, on)
			if got.Verdict != c.verdict || got.Action != c.action {
				t.Errorf("%s, %s; want %s, %s: %q", got.Verdict, got.Action, c.verdict, c.action, got.Reasons)
			}
			text := strings.Join(got.Sentences(), "\n")
			for _, part := range c.says {
				if !strings.Contains(text, part) {
					t.Errorf("%q lacks %q", text, part)
				}
			}
		})
	}
}

// A band too narrow for a share of it to be a number gives none.
func TestMarginOfANarrowBand(t *testing.T) {
	var b book
	b.sheet(sootline.TypeSheet{Kind: sootline.Smoke, Bands: []sootline.Band{{Low: new(0.0), High: new(5e-324)}}})
	b.fit(date("2022-01-01"))
	b.read(date("2026-03-01"), 25)
	if got := b.judge(t, date("2026-03-04")); got.Margin != nil || got.Verdict != judge.Above {
		t.Errorf("margin %v, %s", text(got.Margin), got.Verdict)
	}
}

func TestPointsThatAreJudged(t *testing.T) {
	on := date("2026-03-04")
	for _, c := range []struct {
		name   string
		kind   sootline.DeviceKind
		read   bool
		judged bool
	}{
		{"a detector", sootline.Smoke, false, true},
		{"a kind nobody named", "", false, true},
		{"a sounder", sootline.Sounder, false, false},
		{"a module with readings", sootline.Module, true, true},
	} {
		var b book
		b.sheet(sootline.TypeSheet{Kind: c.kind})
		b.fit(date("2022-01-01"))
		if c.read {
			b.read(date("2026-03-01"), 5)
		}
		if got := len(judge.Site(sootline.Fold(b.entries, on), on)) == 1; got != c.judged {
			t.Errorf("%s: judged %t", c.name, got)
		}
	}
}

// By hand: the median of 24, 25, 27, 30 is 26, their mean 26.5 and their squares
// about it add to 21; 26 lies 6 above 20, of a band 15 wide.
func TestLatestReading(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2022-01-01"))
	b.read(date("2026-02-01"), 33)
	b.read(date("2026-03-01"), 24, 30, 25, 27)
	got := b.judge(t, date("2026-03-04"))
	near(t, "value", &got.Value, new(26.0), 0)
	near(t, "spread", got.Spread, new(math.Sqrt(21.0/3)), 1e-14)
	near(t, "margin", got.Margin, new(6.0/15), 1e-15)
	if !got.ReadAt.Equal(date("2026-03-01")) {
		t.Errorf("read at %s", got.ReadAt)
	}
	b.read(date("2026-03-02"), 38)
	got = b.judge(t, date("2026-03-04"))
	near(t, "margin outside", got.Margin, new(-3.0/15), 1e-15)
	if got.Spread != nil {
		t.Errorf("spread %v of a single sample", *got.Spread)
	}
}

// The deciding reason and the notes after it overlap: what was read is in both.
func TestReasonsAreNotSaidTwice(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2022-01-01"))
	b.visits(date("2026-03-01"), 26, 27, 28, 29, 30, 31, 32)
	reasons := b.judge(t, date("2026-03-04")).Reasons
	if len(reasons) != 6 { // to clean, what was read, the drift and that it speeds up, the days, and why no trip pays
		t.Errorf("%d reasons: %q", len(reasons), reasons)
	}
	for i, reason := range reasons {
		if slices.ContainsFunc(reasons[:i], func(earlier string) bool { return strings.HasPrefix(earlier, reason) }) {
			t.Errorf("%q is said twice", reason)
		}
	}
}

// TestFailedTestIsNotLeft: a device that rests well and did not act is not left
// alone, until it passes; a faulty one that is dirty too is cleaned, and it is said.
func TestFailedTestIsNotLeft(t *testing.T) {
	on := date("2026-02-01")
	b := &book{}
	b.sheet(alpha())
	b.fit(date("2022-01-01"))
	b.visits(date("2026-01-01"), 25, 25, 25, 25, 25)
	if j := b.judge(t, on); j.Action != judge.Leave {
		t.Fatalf("it rests well, and is to %s", j.Action)
	}
	b.add(date("2026-01-10"), sootline.Tested{Failed: true})
	if j := b.judge(t, on); j.Action != judge.LookAgain || !strings.Contains(strings.Join(j.Reasons, "; "), "failed its test on 2026-01-10, and has not passed one since") {
		t.Errorf("got %s: %q", j.Action, j.Reasons)
	}
	b.read(date("2026-01-11"), 50)
	b.read(date("2026-01-12"), 50)
	if j := b.judge(t, on); j.Action == judge.Leave || !strings.Contains(strings.Join(j.Reasons, "; "), "failed its test on 2026-01-10") {
		t.Errorf("dirty too: got %s: %q", j.Action, j.Reasons)
	}
	b = &book{entries: b.entries[:len(b.entries)-2]}
	b.add(date("2026-01-20"), sootline.Tested{})
	if j := b.judge(t, on); j.Action != judge.Leave {
		t.Errorf("it passed since, and is to %s: %q", j.Action, j.Reasons)
	}
}

// The limit that the days speak of is the one that the level is likelier beyond by then, however far off both are.
func TestLimitThatIsNamed(t *testing.T) {
	on := date("2026-11-30")
	for _, c := range []struct {
		name   string
		worse  sootline.Direction
		low    float64
		high   float64
		values []float64
		want   judge.Limit
	}{
		{"rises near the low limit", sootline.Upwards, 0, 80, []float64{0, 3, 4, 6, 7, 9, 10, 12, 12, 14, 15, 18}, judge.HighLimit},
		{"rises slowly", sootline.Upwards, 20, 40, []float64{24, 24, 25, 25, 25, 26, 26, 26, 27, 27, 27, 28}, judge.HighLimit},
		{"falls near the high limit, where dirt leads down", sootline.Downwards, 60, 120, []float64{119, 116, 113, 109, 106, 103, 100}, judge.LowLimit},
		{"falls", sootline.Upwards, 20, 40, []float64{39, 38, 36, 35, 34, 32, 31}, judge.LowLimit},
	} {
		var b book
		b.sheet(sootline.TypeSheet{Kind: sootline.Smoke, Worse: c.worse, Bands: []sootline.Band{{Low: &c.low, High: &c.high}}})
		b.fit(date("2021-01-10"))
		for i, v := range c.values {
			b.read(date("2026-10-06").AddDate(0, -6*(len(c.values)-1-i), 0), v)
		}
		if got := b.judge(t, on); got.Leaves != c.want {
			t.Errorf("%s: leaves by its %s limit, want %s: %q", c.name, got.Leaves, c.want, got.Reasons)
		}
	}
}
