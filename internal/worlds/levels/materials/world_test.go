package materials_test

import (
	"bytes"
	"math"
	"slices"
	"sync"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/materials"
)

// drawn holds three sites of each scenario, one of the large one.
var drawn = sync.OnceValue(func() []levels.Site {
	var sites []levels.Site
	w := materials.World{}
	for _, scenario := range w.Scenarios() {
		for seed := range uint64(3) {
			if scenario != "hospital" || seed == 0 {
				sites = append(sites, w.Make(seed+1, scenario))
			}
		}
	}
	return sites
})

func text(t *testing.T, site *levels.Site) []byte {
	t.Helper()
	var all []byte
	for i := range site.Entries {
		var err error
		if all, err = sootline.AppendLine(all, &site.Entries[i]); err != nil {
			t.Fatal(err)
		}
	}
	return all
}

// TestSameSeedSameBytes: a seed and a scenario give one log, and one truth; another seed or scenario others.
func TestSameSeedSameBytes(t *testing.T) {
	w := materials.World{}
	for _, scenario := range []string{"chapel", "swapped heads", "everything"} {
		one, same, other := w.Make(5, scenario), w.Make(5, scenario), w.Make(6, scenario)
		if !bytes.Equal(text(t, &one), text(t, &same)) {
			t.Errorf("%s: two logs of one seed differ", scenario)
		}
		if bytes.Equal(text(t, &one), text(t, &other)) {
			t.Errorf("%s: logs of two seeds are alike", scenario)
		}
		for i := range one.Points {
			a, b := &one.Points[i], &same.Points[i]
			if !a.Leaves.Equal(b.Leaves) || a.Wants != b.Wants || !slices.Equal(a.Events, b.Events) {
				t.Fatalf("%s: two truths of one seed differ at %s", scenario, a.Ref)
			}
		}
	}
}

// TestLegalLog: each line reads back as it was written, each chain is whole, nothing is written of the future.
func TestLegalLog(t *testing.T) {
	for _, site := range drawn() {
		ledger := sootline.Ledger{}
		for i := range site.Entries {
			e := &site.Entries[i]
			if e.At.After(site.Now) || e.Noted.After(site.Now) || e.Noted.Before(e.At) {
				t.Fatalf("%s: %s of %s, noted %s, at %s", site.Name, e.Body.Kind(), e.At, e.Noted, site.Now)
			}
		}
		inTurn := slices.Clone(site.Entries)
		slices.SortFunc(inTurn, func(a, b sootline.Entry) int { return int(a.Seq - b.Seq) })
		for i := range inTurn {
			line, err := sootline.AppendLine(nil, &inTurn[i])
			if err != nil {
				t.Fatal(err)
			}
			line = bytes.TrimSuffix(line, []byte("\n"))
			read, err := sootline.ParseLine(line)
			if err != nil {
				t.Fatalf("%s: %v in %s", site.Name, err, line)
			}
			if broken := ledger.Follow(line, &read); broken != nil {
				t.Fatalf("%s: %v", site.Name, broken)
			}
		}
	}
}

// TestTruthIsOfTheLog: the truth speaks of the points that the log has, and its levels are outside the bands
// of the log's sheets exactly when it says so.
func TestTruthIsOfTheLog(t *testing.T) {
	for _, site := range drawn() {
		register := sootline.Fold(site.Entries, site.Now)
		if got := len(register.Points()); got != len(site.Points) {
			t.Errorf("%s: the log has %d points, the truth %d", site.Name, got, len(site.Points))
		}
		for i := range site.Points {
			truth := &site.Points[i]
			point := register.Point(truth.Point)
			if point == nil || point.Ref().String() != truth.Ref {
				t.Fatalf("%s: no point %s in the log", site.Name, truth.Ref)
			}
			band := register.Sheet(point.Type).Band(nil)
			checkLevel(t, &site, truth, func(at time.Time) bool {
				level := truth.Level(at)
				return level < *band.Low || level > *band.High
			})
			checkEvents(t, &site, truth, point)
		}
	}
}

func checkLevel(t *testing.T, site *levels.Site, truth *levels.Truth, outside func(time.Time) bool) {
	t.Helper()
	if outside(site.Now) != truth.Outside {
		t.Errorf("%s %s: the level is %v, and Outside %v", site.Name, truth.Ref, truth.Level(site.Now), truth.Outside)
	}
	byNext := false
	for at := site.Now; !at.After(site.NextVisit); at = at.AddDate(0, 0, 1) {
		byNext = byNext || outside(at)
	}
	if last := outside(site.NextVisit); (byNext || last) != truth.OutsideByNext {
		t.Errorf("%s %s: OutsideByNext is %v, day by day it is %v", site.Name, truth.Ref, truth.OutsideByNext, byNext || last)
	}
	until := site.Ends()
	if !truth.Leaves.IsZero() {
		if until = truth.Leaves; !outside(until) {
			t.Errorf("%s %s: inside when it leaves", site.Name, truth.Ref)
		}
	}
	for at := site.Now; at.Before(until.Add(-time.Minute)); at = at.AddDate(0, 0, 20) {
		if outside(at) {
			t.Errorf("%s %s: outside at %s, before it leaves", site.Name, truth.Ref, at)
			break
		}
	}
	if truth.Healthy && (truth.OutsideByNext || truth.Wants != levels.Leave) || !slices.Contains(levels.Actions(), truth.Wants) {
		t.Errorf("%s %s: healthy, and wants %q", site.Name, truth.Ref, truth.Wants)
	}
}

// checkEvents: events are in order and past; each cleaning and new head that is said to be noted is in the log
// at its instant, and none is in the log that is not among the events.
func checkEvents(t *testing.T, site *levels.Site, truth *levels.Truth, point *sootline.Point) {
	t.Helper()
	noted, unnoted := map[time.Time]bool{}, 0
	for i, e := range truth.Events {
		if !slices.Contains(levels.Kinds(), e.Kind) || e.Day.After(site.Now) || i > 0 && e.Day.Before(truth.Events[i-1].Day) {
			t.Errorf("%s %s: %q on %s", site.Name, truth.Ref, e.Kind, e.Day)
		}
		reset := e.Kind == levels.Cleaned || e.Kind == levels.HalfCleaned || e.Kind == levels.Swapped
		if reset && e.Noted {
			noted[e.Day] = true
		} else if reset {
			unnoted++
		}
	}
	for _, reset := range point.Resets[1:] {
		if noted[reset.At] {
			delete(noted, reset.At)
			continue
		}
		unnoted--
		if slices.ContainsFunc(truth.Events, func(e levels.Happened) bool { return e.Kind != levels.HalfCleaned && e.Day.Equal(reset.At) }) {
			t.Errorf("%s %s: what the log says of %s is said not to be noted", site.Name, truth.Ref, reset.At)
		}
	}
	if len(noted) > 0 || unnoted < 0 {
		t.Errorf("%s %s: %d noted events are not in the log; %d in the log did not happen", site.Name, truth.Ref, len(noted), max(0, -unnoted))
	}
}

// TestEverythingIsReached: between them the scenarios hold everything that can happen and be wanted, few and many
// readings, small and large sites, rising and falling scales.
func TestEverythingIsReached(t *testing.T) {
	kinds, wants, rising, wide := map[string]int{}, map[string]int{}, map[sootline.Direction]int{}, map[bool]int{}
	fewest, most, small, large, gaps := math.MaxInt, 0, math.MaxInt, 0, 0
	for _, site := range drawn() {
		register := sootline.Fold(site.Entries, site.Now)
		small, large = min(small, len(site.Points)), max(large, len(site.Points))
		for i := range site.Points {
			truth := &site.Points[i]
			wants[truth.Wants]++
			for _, e := range truth.Events {
				kinds[e.Kind]++
			}
			point := register.Point(truth.Point)
			sheet := register.Sheet(point.Type)
			rising[sheet.Worse]++
			wide[*sheet.Bands[0].High > 255]++
			days := readDays(point)
			fewest, most = min(fewest, len(days)), max(most, len(days))
			for k := range max(0, len(days)-1) {
				if days[k+1].Sub(days[k]) > 500*24*time.Hour {
					gaps++
				}
			}
		}
	}
	for _, kind := range levels.Kinds() {
		if kinds[kind] < 20 {
			t.Errorf("%q happens %d times", kind, kinds[kind])
		}
	}
	for _, action := range levels.Actions() {
		if wants[action] < 20 {
			t.Errorf("%q is wanted %d times", action, wants[action])
		}
	}
	if fewest > 2 || most < 30 || small > 8 || large < 1600 || gaps < 100 || len(rising) != 2 || len(wide) != 2 {
		t.Errorf("readings %d to %d, points %d to %d, %d long gaps, directions %v, widths %v", fewest, most, small, large, gaps, rising, wide)
	}
}

func readDays(point *sootline.Point) []time.Time {
	var days []time.Time
	for i := range point.Readings {
		if at := point.Readings[i].At; len(days) == 0 || at.Sub(days[len(days)-1]) > 24*time.Hour {
			days = append(days, at)
		}
	}
	return days
}

// TestNotTrivial: in no scenario does everything leave or nothing, and over all of them no limit on the last
// reading parts what leaves from what stays.
func TestNotTrivial(t *testing.T) {
	type last struct {
		far  float64 // outside its band, in widths of it
		gone bool
	}
	var all []last
	points, gone := map[string]float64{}, map[string]float64{}
	for _, site := range drawn() {
		register := sootline.Fold(site.Entries, site.Now)
		for i := range site.Points {
			truth := &site.Points[i]
			points[site.Scenario]++
			if truth.OutsideByNext {
				gone[site.Scenario]++
			}
			point := register.Point(truth.Point)
			far := -0.5
			if n := len(point.Readings); n > 0 {
				band, value := register.Sheet(point.Type).Band(nil), point.Readings[n-1].Samples[0]
				far = max(value-*band.High, *band.Low-value) / (*band.High - *band.Low)
			}
			all = append(all, last{far, truth.OutsideByNext})
		}
	}
	for scenario, n := range points {
		if share := gone[scenario] / n; share < 0.01 || share > 0.4 {
			t.Errorf("%s: %.3f of its points leave by the next visit", scenario, share)
		}
	}
	best := 0.0
	for limit := -0.5; limit < 0.3; limit += 0.01 {
		hits, called, there := 0.0, 0.0, 0.0
		for _, l := range all {
			if l.gone {
				there++
			}
			if l.far > limit {
				called++
				if l.gone {
					hits++
				}
			}
		}
		best = max(best, 2*hits/(called+there))
	}
	if best < 0.4 || best > 0.85 {
		t.Errorf("the best limit on the last reading reaches an F1 of %.3f", best)
	}
}

// TestTruthScoresFull: who answers the truth is scored so.
func TestTruthScoresFull(t *testing.T) {
	for _, site := range drawn() {
		var answers []levels.Answer
		for i := range site.Points {
			truth := &site.Points[i]
			a := levels.Answer{Point: truth.Point, Outside: truth.OutsideByNext, Earliest: truth.Leaves, Likely: truth.Leaves, Latest: truth.Leaves, Action: truth.Wants}
			if a.Outside {
				a.Chance = 1
			}
			answers = append(answers, a)
		}
		r := levels.Score(&site, answers)
		if r.All.Misses+r.All.FalseAlarms+r.Missing+r.Strange > 0 || r.All.Brier() != 0 || r.All.Covered != r.All.Dated || r.ClearlyLeft > 0 {
			t.Errorf("%s: %+v", site.Name, r.All)
		}
	}
}
