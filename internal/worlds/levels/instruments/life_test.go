package instruments

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// known draws a site with what is known of it.
func known(seed uint64, name string) *premises {
	for _, s := range scenarios() {
		if s.name == name {
			p := usual()
			s.make(&p)
			return draw(seed, name, &p)
		}
	}
	panic(name)
}

// With one good reader, the log's readings are the level with the noise that is claimed: about 0, 1.25 standard
// deviations wide (0.98 of the squares, of which 4 % are sixteen times as large), with tails.
func TestReadingsAreLevelAndNoise(t *testing.T) {
	sum, squares, far, n := 0.0, 0.0, 0, 0
	for seed := uint64(1); seed <= 10; seed++ {
		s := known(seed, "one good reader")
		site := s.told()
		r := sootline.Fold(site.Entries, site.Now)
		for i, d := range s.devices {
			for _, reading := range r.Point(d.id).Readings {
				x := (reading.Samples[0] - site.Points[i].Level(reading.At)) / (d.noise * math.Abs(d.scale.span()))
				sum, squares, n = sum+x, squares+x*x, n+1
				if math.Abs(x) > 3 {
					far++
				}
			}
		}
	}
	mean, sd, tails := sum/float64(n), math.Sqrt(squares/float64(n)), float64(far)/float64(n)
	t.Logf("%d readings: mean %.3f, standard deviation %.3f, %.4f beyond three", n, mean, sd, tails)
	if math.Abs(mean) > 0.08 || sd < 1.1 || sd > 1.5 || tails < 0.008 || tails > 0.04 {
		t.Errorf("mean %.3f, standard deviation %.3f, %.4f beyond three", mean, sd, tails)
	}
}

// Whatever instrument and firmware made of it, a reading is what they make of the level; what was written
// instead is a slip or a neighbour's value, and said to be one.
func TestReadingsAreAsClaimed(t *testing.T) {
	for _, sc := range scenarios() {
		if sc.name == "a large site" {
			continue
		}
		s := known(3, sc.name)
		far, n := 0, 0
		for _, d := range s.devices {
			for i := range d.looks {
				l := &d.looks[i]
				if wrote, said := !slices.Equal(l.written, l.shown), d.happened(l.at, levels.Slip, levels.Neighbour); wrote != said {
					t.Errorf("%s: shown %v, written %v, said to be wrong: %v", sc.name, l.shown, l.written, said)
				}
				if !d.noisyFrom.IsZero() && l.at.After(d.noisyFrom) {
					continue
				}
				n++
				if s.residual(d, l) > 5 {
					far++
				}
			}
		}
		if float64(far) > 0.02*float64(n)+1 {
			t.Errorf("%s: %d of %d readings are not what is claimed", sc.name, far, n)
		}
	}
}

// residual is how far what was shown lies from what it should be, in standard deviations, past the rounding.
func (s *premises) residual(d *device, l *look) float64 {
	to, with := s.firm.shows(d.scale, l.at), s.cal.visits[l.visit].teams[d.loop%2].with
	level := d.course.at(l.at)
	if d.stuckFrom.IsZero() || l.at.Before(d.stuckFrom) {
		level += d.scale.span() * d.swing(l.at)
	}
	way := to.gain * math.Abs(d.scale.span())
	want := math.Max(0, to.of(level)*with.gain+with.offset*way)
	off := math.Abs(l.shown[0]-want) - max(d.scale.step, with.coarse*way)
	return max(0, off) / (way * d.noise)
}

func (d *device) happened(at time.Time, kinds ...string) bool {
	return slices.ContainsFunc(d.events, func(e levels.Happened) bool { return e.Day.Equal(at) && slices.Contains(kinds, e.Kind) })
}

// What happened is seen in the level: a cleaning brings it back to rest, half a one half of the way; one that
// is stuck stays; a compensation that is used up was flat until then.
func TestEventsAreSeenInTheLevel(t *testing.T) {
	seen := map[string]int{}
	for _, name := range []string{"half a cleaning", "stuck and unsteady", "compensated"} {
		for seed := uint64(1); seed <= 3; seed++ {
			s := known(seed, name)
			for _, d := range s.devices {
				for _, e := range d.events {
					seen[e.Kind]++
					if why := d.unseen(e); why != "" {
						t.Errorf("%s: %s on %s: %s", name, e.Kind, e.Day, why)
					}
				}
			}
		}
	}
	for _, kind := range []string{levels.Cleaned, levels.HalfCleaned, levels.Stuck, levels.CompensationUsed} {
		if seen[kind] < 10 {
			t.Errorf("%d times %s", seen[kind], kind)
		}
	}
}

// unseen says in what the level of a device does not show an event.
func (d *device) unseen(e levels.Happened) string {
	rooms := func(at time.Time) float64 { return d.scale.rooms(d.course.at(at)) }
	before, after := rooms(e.Day.Add(-time.Second)), rooms(e.Day)
	stuck := !d.stuckFrom.IsZero() && e.Day.After(d.stuckFrom)
	switch e.Kind {
	case levels.Cleaned:
		if !stuck && after > before+1e-7 {
			return "the level rises"
		}
	case levels.HalfCleaned:
		if !stuck && d.hidden == 0 && before < 1.5 && before-d.rest > 0.3 && d.drift.wear == 0 && math.Abs((after-d.rest)/(before-d.rest)-0.525) > 0.18 {
			return "not half of it stays"
		}
	case levels.Stuck:
		if rooms(e.Day.AddDate(9, 0, 0)) != after {
			return "the level moves"
		}
	case levels.CompensationUsed:
		if d.drift.wear == 0 && math.Abs(rooms(e.Day.Add(-stepLong-time.Minute))-d.rest) > 1e-6 {
			return "it was not flat before"
		}
	}
	return ""
}

// A slip of the pen gives a number that can be typed, and mostly another one.
func TestSlips(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	same := 0
	for range 500 {
		got := slip(r, 47, 0)
		if math.IsNaN(got) || math.IsInf(got, 0) || got < 0 || got > 999 {
			t.Fatalf("47 became %v", got)
		}
		if got == 47 {
			same++
		}
	}
	if same > 50 {
		t.Errorf("%d of 500 slips are none", same)
	}
}

// A course crosses a limit where its line does, and jumps where it has two knots.
func TestCourse(t *testing.T) {
	at := func(day int) time.Time { return time.Date(2026, 1, 1+day, 0, 0, 0, 0, time.UTC) }
	c := course{{at(0), 10}, {at(10), 20}, {at(10), 12}, {at(20), 32}}
	for day, want := range map[int]float64{-5: 10, 5: 15, 10: 12, 15: 22, 99: 32} {
		if got := c.at(at(day)); math.Abs(got-want) > 1e-9 {
			t.Errorf("on day %d it is %v, by hand %v", day, got, want)
		}
	}
	if got := c.leaves(at(11), 0, 22); got.Sub(at(15)).Abs() > 3*time.Second || c.at(got) <= 22 {
		t.Errorf("it leaves at %s, by hand on day 15", got)
	}
	if got := c.leaves(at(5), 0, 14); !got.Equal(at(5)) {
		t.Errorf("it leaves at %s, and is outside", got)
	}
	if got := c.leaves(at(11), 0, 40); !got.IsZero() {
		t.Errorf("it leaves at %s, by hand never", got)
	}
}
