package judge_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// A cleaning that nobody wrote down, a few visits before one that somebody did, among others of its type; what
// happened after the last look shows in none.
func TestUnrecordedBeforeRecorded(t *testing.T) {
	for _, recorded := range []bool{true, false} {
		town := newTown()
		id := town.history(1, "Kiln room", 23, 24, 26, 27, 28, 30, 31, 32, 24, 24, 25)
		for n := 2; n < 8; n++ {
			town.history(n, "Office", flat(11, 23)...)
		}
		if recorded {
			town.add(id, visit(10, 0).AddDate(0, 0, 1), sootline.Cleaned{})
			town.add(id, visit(11, 1), sootline.Read{Samples: []float64{24}})
		}
		q := ask(t, town.register(), judge.AskCleaned)
		if !q.From.Equal(visit(7, 1)) || !q.To.Equal(visit(8, 1)) {
			t.Errorf("between %s and %s", q.From, q.To)
		}
		town.yes(t, q)
	}
}

// Three devices changed places in a round: no round is told, only the falls are asked about, each as a cleaning.
func TestRoundOfThreeIsNotTold(t *testing.T) {
	town := newTown()
	town.history(1, "A", append(flat(12, 42), flat(8, 33)...)...)
	town.history(2, "B", append(flat(12, 24), flat(8, 42)...)...)
	town.history(3, "C", append(flat(12, 33), flat(8, 24)...)...)
	var fell []int
	for _, q := range judge.Unwritten(town.register()) {
		if q.Kind != judge.AskCleaned {
			t.Errorf("asked %s about %v", q.Kind, numbersOf(q))
		}
		fell = append(fell, numbersOf(q)...)
	}
	if !slices.Equal(fell, []int{1, 3}) {
		t.Errorf("asked about %v", fell)
	}
}

// A level that went far up and down again three times, years each: it is judged by the visits since the last step.
func TestLevelThatGoesToAndFro(t *testing.T) {
	town := newTown()
	var values []float64
	for i, level := range []float64{23, 60, 23, 60, 23} {
		values = append(values, flat(6+i, level)...)
	}
	town.history(1, "A", values...)
	j := judge.Site(town.register(), town.on)[0]
	if j.Action != judge.Leave || *j.ChanceNow > 0.05 {
		t.Errorf("%s, %v: %q", j.Action, *j.ChanceNow, j.Reasons)
	}
}

// Sets of twelve samples, with ratios computed in Python: 2.06, 3.58 and 0.177.
func TestCourseOfSamples(t *testing.T) {
	for _, c := range []struct {
		samples []float64
		want    judge.Course
	}{
		{[]float64{25, 25, 26, 25, 25, 25, 24, 25, 25, 26, 25, 25}, judge.NoCourse},
		{[]float64{25, 28, 22, 27, 23, 29, 21, 26, 24, 28, 22, 27}, judge.Flipping},
		{[]float64{23, 23, 24, 24, 25, 25, 25, 26, 26, 27, 27, 28}, judge.Settling},
		{[]float64{23, 24, 25, 26}, judge.NoCourse},
	} {
		var b book
		b.sheet(alpha())
		b.fit(date("2020-01-01"))
		b.read(date("2026-03-01"), c.samples...)
		if got := b.judge(t, date("2026-03-04")); got.Course != c.want {
			t.Errorf("%v: %q, want %q", c.samples, got.Course, c.want)
		}
	}
}

// By hand: from a rest of 25 to 45 it is 20; 31 is 6 of them.
func TestAlarmShare(t *testing.T) {
	sheet := alpha()
	sheet.FactoryRest, sheet.Bands[0].Alarm = new(25.0), new(45.0)
	var b book
	b.sheet(sheet)
	b.fit(date("2020-01-01"))
	b.read(date("2026-03-01"), 31)
	got := b.judge(t, date("2026-03-04"))
	near(t, "share", got.AlarmShare, new(0.3), 1e-15)
	if said := strings.Join(got.Reasons, "\n"); !strings.Contains(said, "30 % of the way to its alarm level of 45 counts") {
		t.Error(said)
	}
}

// Readings of one day are one visit: four looks on each of three days are three visits, too few to speak of a drift.
func TestReadingsOfOneDayAreOneVisit(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2024-01-01"))
	for i, day := range []string{"2025-03-01", "2025-09-01", "2026-03-01"} {
		for hour := range 4 {
			b.read(date(day).Add(time.Duration(hour)*time.Hour), 22+2*float64(i))
		}
	}
	if got := b.judge(t, date("2026-03-04")); got.DriftReal != judge.TooFew {
		t.Errorf("drift real: %s", got.DriftReal)
	}
}

// A cleaning begins a new drift. The rise from before, of 8 a year, teaches of the place; what its own visits do not
// show, that it speeds up, is not said.
func TestDriftBeginsAtTheReset(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2020-01-01"))
	b.visits(date("2024-03-01"), 20, 22, 24, 26, 28, 30, 32, 34)
	b.add(date("2024-03-02"), sootline.Cleaned{})
	b.visits(date("2026-03-01"), 25, 25, 25, 26, 25, 25, 25, 25)
	got := b.judge(t, date("2026-03-04"))
	if got.DriftReal == judge.Yes || got.ReadingsSinceReset != 8 || *got.DriftPerYear > 4 || got.Curved || got.Action != judge.Leave {
		t.Errorf("%s, drift %v, %s, %s", got.DriftReal, *got.DriftPerYear, got.Action, got.Reasons)
	}
}

// A drift that speeds up for all to see is said so: it rose by 18 over 2.75 years, and by 12 over the last one.
func TestCurved(t *testing.T) {
	var b book
	b.sheet(sootline.TypeSheet{Kind: sootline.Smoke, Bands: []sootline.Band{{Low: new(20.0), High: new(60.0)}}})
	b.fit(date("2020-01-01"))
	b.visits(date("2026-03-01"), 24, 24, 25, 24, 25, 26, 28, 30, 33, 36, 39, 42)
	got := b.judge(t, date("2026-03-04"))
	if got.DriftPerYear == nil || *got.DriftPerYear < (18/2.75+12)/2 {
		t.Errorf("drift %s", text(got.DriftPerYear))
	}
	if !got.Curved || !slices.ContainsFunc(got.Reasons, func(s string) bool { return strings.Contains(s, "speeds up") }) {
		t.Errorf("curved %t: %q", got.Curved, got.Reasons)
	}
}
