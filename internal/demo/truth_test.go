package demo_test

import (
	"math"
	"slices"
	"strconv"
	"testing"
	"time"

	"sootline/internal/demo"
)

// seeds are told in every test of the truths: the planting must not depend on luck.
const seeds = 12

func TestEveryTruthIsPlanted(t *testing.T) {
	least := map[demo.TruthKind]int{
		demo.DustyRoom: 3, demo.Cleaned: 7, demo.CleanedUnrecorded: 3, demo.Swapped: 2, demo.DuplicateNumber: 1,
		demo.UnsetNumber: 1, demo.Noisy: 1, demo.Stuck: 1, demo.Accelerating: 1, demo.AgeingCell: 9, demo.Forgotten: 1,
		demo.NeverRead: 1, demo.Slip: 1, demo.NoBand: 1, demo.Outside: 3, demo.Leaving: 5,
	}
	for seed := range uint64(seeds) {
		s := demo.Make(seed, until())
		for _, kind := range demo.TruthKinds() {
			n := len(s.Of(kind))
			enough := n == least[kind]
			if kind == demo.Outside || kind == demo.Leaving {
				enough = n >= least[kind] && n <= 25
			}
			if !enough {
				t.Errorf("seed %d: %d truths of kind %s, want %d", seed, n, kind, least[kind])
			}
		}
	}
}

// told is a scenario as its files alone tell it.
type told struct {
	demo.Scenario
	types    map[string]map[string]string   // by name
	schedule map[string][]map[string]string // rows by point
	reads    map[string][]read              // by point, in order of time
	events   map[string][]map[string]string // by point, in order of time
}

func tell(t *testing.T, seed uint64) told {
	t.Helper()
	s := told{
		Scenario: demo.Make(seed, until()), types: map[string]map[string]string{}, schedule: map[string][]map[string]string{},
		reads: map[string][]read{}, events: map[string][]map[string]string{},
	}
	for _, sheet := range records(t, file(t, s.Scenario, "types.csv")) {
		s.types[sheet["name"]] = sheet
	}
	for _, row := range records(t, file(t, s.Scenario, "schedule.xlsx")) {
		s.schedule[pointOf(t, row)] = append(s.schedule[pointOf(t, row)], row)
	}
	for _, r := range readingsOf(t, s.Scenario) {
		s.reads[r.point] = append(s.reads[r.point], r)
	}
	for _, row := range records(t, file(t, s.Scenario, "events.csv")) {
		s.events[pointOf(t, row)] = append(s.events[pointOf(t, row)], row)
	}
	return s
}

// happened reports whether the events file says that of the point, on one of
// the days from the first to the last.
func (s told) happened(t *testing.T, point, what string, first, last time.Time) bool {
	t.Helper()
	return slices.ContainsFunc(s.events[point], func(e map[string]string) bool {
		day := dayOf(t, e)
		return e["what"] == what && !day.Before(first) && !day.After(last)
	})
}

// mean is the mean of all samples of a point from a day on and before another.
func (s told) mean(t *testing.T, point string, from, to time.Time) float64 {
	t.Helper()
	sum, n := 0.0, 0.0
	for _, r := range s.reads[point] {
		if !r.day.Before(from) && r.day.Before(to) {
			for _, sample := range r.samples {
				sum, n = sum+sample, n+1
			}
		}
	}
	if n == 0 {
		t.Fatalf("%s has no reading from %v to %v", point, from, to)
	}
	return sum / n
}

// around gives the means of the six months before and behind an instant.
func (s told) around(t *testing.T, point string, at time.Time) (before, behind float64) {
	t.Helper()
	return s.mean(t, point, at.AddDate(0, -7, 0), at), s.mean(t, point, at, at.AddDate(0, 7, 0))
}

func TestTruthsAgreeWithTheFiles(t *testing.T) {
	checks := map[demo.TruthKind]func(*testing.T, told, demo.Truth){
		demo.DustyRoom: dustyRoom, demo.Cleaned: cleaned, demo.CleanedUnrecorded: cleanedUnrecorded, demo.Swapped: swapped,
		demo.DuplicateNumber: duplicateNumber, demo.UnsetNumber: unsetNumber, demo.Noisy: noisy, demo.Stuck: stuck,
		demo.Accelerating: accelerating, demo.AgeingCell: ageingCell, demo.Forgotten: forgotten, demo.NeverRead: neverRead,
		demo.Slip: slip, demo.NoBand: noBand, demo.Outside: outside, demo.Leaving: leaving,
	}
	for seed := range uint64(seeds) {
		s := tell(t, seed)
		for _, truth := range s.Truths {
			if len(truth.Points) == 0 || truth.Text == "" || truth.At.IsZero() {
				t.Errorf("seed %d: truth with a gap: %+v", seed, truth)
			}
			for _, point := range truth.Points {
				if len(s.schedule[point]) == 0 {
					t.Errorf("seed %d: %s: the schedule has no %s", seed, truth.Kind, point)
				}
			}
			t.Run(string(truth.Kind), func(t *testing.T) { checks[truth.Kind](t, s, truth) })
		}
	}
}

// The detectors of the room rise together: nine of ten from handover to the
// second year, before any cleaning shows, and all of them by 1.5 counts on the mean.
func dustyRoom(t *testing.T, s told, truth demo.Truth) {
	risen, sum := 0, 0.0
	for _, point := range truth.Points {
		rise := s.mean(t, point, s.From.AddDate(1, 0, 0), s.From.AddDate(2, 0, 0)) - s.mean(t, point, s.From, s.From.AddDate(0, 2, 0))
		sum += rise
		if rise > 0 {
			risen++
		}
	}
	if n := len(truth.Points); 10*risen < 9*n || sum/float64(n) < 1.5 {
		t.Errorf("%s %d of %d rose, by %.1f counts on the mean", truth.Text, risen, n, sum/float64(n))
	}
}

func cleaned(t *testing.T, s told, truth demo.Truth) {
	for _, point := range truth.Points {
		if !s.happened(t, point, "cleaned", truth.At, truth.At) {
			t.Errorf("no cleaning of %s on %v", point, truth.At)
		}
	}
}

// silent fails when the files hold anything that explains a step at that time.
func silent(t *testing.T, s told, truth demo.Truth) {
	t.Helper()
	for _, point := range truth.Points {
		for _, what := range []string{"cleaned", "replaced"} {
			if s.happened(t, point, what, truth.At.AddDate(0, -1, 0), truth.At.AddDate(0, 1, 0)) {
				t.Errorf("%s is recorded as %s about %v", point, what, truth.At)
			}
		}
	}
}

// shown is what must be left of a step of seven counts between the means of the
// readings around it: they lie up to seven months off, on lines that rise by
// three counts a year, and their difference has a standard deviation near one.
const shown = 2

func cleanedUnrecorded(t *testing.T, s told, truth demo.Truth) {
	silent(t, s, truth)
	if before, behind := s.around(t, truth.Points[0], truth.At); before-behind < shown {
		t.Errorf("%s: from %.1f to %.1f about %v; %s", truth.Points[0], before, behind, truth.At, truth.Text)
	}
}

func swapped(t *testing.T, s told, truth demo.Truth) {
	silent(t, s, truth)
	before, behind := s.around(t, truth.Points[0], truth.At)
	before2, behind2 := s.around(t, truth.Points[1], truth.At)
	if before-behind < shown || behind2-before2 < shown {
		t.Errorf("%v: from %.1f to %.1f and from %.1f to %.1f; %s", truth.Points, before, behind, before2, behind2, truth.Text)
	}
	if a, b := s.schedule[truth.Points[0]][0], s.schedule[truth.Points[1]][0]; a["type"] != b["type"] || a["area"] == b["area"] {
		t.Errorf("%v: swapped %s of %s for %s of %s", truth.Points, a["type"], a["area"], b["type"], b["area"])
	}
}

func duplicateNumber(t *testing.T, s told, truth demo.Truth) {
	point := truth.Points[0]
	if rows, reads, events := len(s.schedule[point]), len(s.reads[point]), len(s.events[point]); rows != 2 || reads+events > 0 {
		t.Errorf("%s: %d rows, %d readings, %d events", point, rows, reads, events)
	}
}

func unsetNumber(t *testing.T, s told, truth demo.Truth) {
	row := s.schedule[truth.Points[0]][0]
	if row["address"] != strconv.Itoa(s.Site.Loops[0].Unset) || len(s.reads[truth.Points[0]]) == 0 {
		t.Errorf("%s stands at %s and has %d readings", truth.Points[0], row["address"], len(s.reads[truth.Points[0]]))
	}
}

func noisy(t *testing.T, s told, truth demo.Truth) {
	level := s.mean(t, truth.Points[0], s.From, s.Until)
	sum, n := 0.0, 0.0
	for _, r := range s.reads[truth.Points[0]] {
		for _, sample := range r.samples {
			sum, n = sum+(sample-level)*(sample-level), n+1
		}
	}
	if sd := math.Sqrt(sum / (n - 1)); sd < 3 {
		t.Errorf("%s scatters by %.1f", truth.Points[0], sd)
	}
}

func stuck(t *testing.T, s told, truth demo.Truth) {
	for _, r := range s.reads[truth.Points[0]] {
		for _, sample := range r.samples {
			if sample != s.reads[truth.Points[0]][0].samples[0] {
				t.Errorf("%s moved to %g on %v", truth.Points[0], sample, r.day)
			}
		}
	}
}

// The means of the first year, of the third and fourth, and of the last lie about
// 2.5 years apart; their second difference is 4 for the planted rise and 0 for a
// straight one, with a standard deviation of 1. TestAccelerating looks without noise.
func accelerating(t *testing.T, s told, truth demo.Truth) {
	point := truth.Points[0]
	middle := s.mean(t, point, s.From.AddDate(2, 0, 0), s.From.AddDate(4, 0, 0))
	first, last := s.mean(t, point, s.From, s.From.AddDate(1, 0, 0)), s.mean(t, point, s.From.AddDate(5, 0, 0), s.Until)
	if last-middle <= middle-first-1 {
		t.Errorf("%s goes from %.1f by %.1f to %.1f", point, first, middle, last)
	}
}

func ageingCell(t *testing.T, s told, truth demo.Truth) {
	point := truth.Points[0]
	first, last := s.mean(t, point, s.From, s.From.AddDate(1, 0, 0)), s.mean(t, point, s.From.AddDate(5, 0, 0), s.Until)
	if first-last < 4 || !truth.At.Before(s.Until) || s.happened(t, point, "replaced", s.From, s.Until) {
		t.Errorf("%s goes from %.1f to %.1f; it is over age since %v", point, first, last, truth.At)
	}
}

func forgotten(t *testing.T, s told, truth demo.Truth) {
	point := truth.Points[0]
	if !s.happened(t, point, "disabled", truth.At, truth.At) || s.happened(t, point, "restored", truth.At, s.Until) {
		t.Errorf("%s is not disabled for good on %v", point, truth.At)
	}
	if last := s.reads[point][len(s.reads[point])-1]; last.day.After(truth.At) {
		t.Errorf("%s is read on %v", point, last.day)
	}
}

func neverRead(t *testing.T, s told, truth demo.Truth) {
	if reads, events := len(s.reads[truth.Points[0]]), len(s.events[truth.Points[0]]); reads+events > 0 {
		t.Errorf("%s: %d readings, %d events", truth.Points[0], reads, events)
	}
}

// The slip is the only value of its size in all files.
func slip(t *testing.T, s told, truth demo.Truth) {
	found := 0
	for point, reads := range s.reads {
		for _, r := range reads {
			if slices.Max(r.samples) >= 100 {
				found++
				if point != truth.Points[0] || !r.day.Equal(truth.At.Truncate(24*time.Hour)) || len(r.samples) != 1 {
					t.Errorf("%s reads %v on %v", point, r.samples, r.day)
				}
			}
		}
	}
	if found != 1 {
		t.Errorf("%d slips, want 1", found)
	}
}

func noBand(t *testing.T, s told, truth demo.Truth) {
	name := s.schedule[truth.Points[0]][0]["type"]
	if sheet := s.types[name]; sheet == nil || sheet["low"]+sheet["high"]+sheet["alarm"] != "" || sheet["quantity"] == "" {
		t.Errorf("the sheet of %s: %v", name, sheet)
	}
	for point, rows := range s.schedule {
		if rows[0]["type"] == name != slices.Contains(truth.Points, point) {
			t.Errorf("%s is a %s", point, rows[0]["type"])
		}
	}
}

// margin is how far the last reading lies inside the band, in counts; negative
// outside.
func (s told) margin(t *testing.T, point string) float64 {
	t.Helper()
	sheet := s.types[s.schedule[point][0]["type"]]
	low, errLow := strconv.ParseFloat(sheet["low"], 64)
	high, errHigh := strconv.ParseFloat(sheet["high"], 64)
	if errLow != nil || errHigh != nil {
		t.Fatalf("%s has no band: %v", point, sheet)
	}
	last := s.reads[point][len(s.reads[point])-1]
	mean := s.mean(t, point, last.day, s.Until)
	return min(mean-low, high-mean)
}

// The last reading of a level that is outside its band at the end was near the
// limit or beyond: it is at most half a year old (a visit may have missed the
// point), which is two counts of the dirtiest room, and noise adds two.
func outside(t *testing.T, s told, truth demo.Truth) {
	if margin := s.margin(t, truth.Points[0]); margin > 4 || truth.At.After(s.Until) {
		t.Errorf("%s is %.1f inside; since %v; %s", truth.Points[0], margin, truth.At, truth.Text)
	}
}

// A level that leaves within half a year may be twice as far away.
func leaving(t *testing.T, s told, truth demo.Truth) {
	due := s.Until.AddDate(0, demo.VisitMonths, 0)
	if margin := s.margin(t, truth.Points[0]); margin > 7 || !truth.At.After(s.Until) || truth.At.After(due) {
		t.Errorf("%s is %.1f inside; leaves %v; %s", truth.Points[0], margin, truth.At, truth.Text)
	}
}
