package materials

import (
	"math"
	"slices"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// TestArrhenius: 0.7 eV from 25 to 35 °C is exp(0.7/8.617333e-5 * (1/298.15 - 1/308.15)) = exp(0.8842) = 2.421,
// reckoned by hand.
func TestArrhenius(t *testing.T) {
	if got := hurry(25); math.Abs(got-1) > 1e-9 {
		t.Errorf("at 25 °C electronics age %v times as fast", got)
	}
	if got := hurry(35); math.Abs(got-2.421) > 0.002 {
		t.Errorf("at 35 °C electronics age %v times as fast", got)
	}
}

// TestGrowth: dirt waits, never goes back, and runs away or ends as its law says.
func TestGrowth(t *testing.T) {
	for _, law := range laws() {
		g := growth{law: law, wait: 1, pace: 4, most: 0.9}
		if g.after(0.99) != 0 {
			t.Errorf("%s: dirt of %v before it begins", law, g.after(0.99))
		}
		for y := 0.0; y < 20; y += 0.1 {
			if g.after(y+0.1) < g.after(y) {
				t.Errorf("%s: dirt goes back after %v years", law, y)
			}
		}
		runs := law == squared || law == doubling
		if end := g.after(60); runs && end < 10 || !runs && math.Abs(end-0.9) > 0.01 {
			t.Errorf("%s: ends at %v", law, end)
		}
		if runs && math.Abs(g.after(5)-1) > 1e-12 {
			t.Errorf("%s: after its pace it has gone %v of the way", law, g.after(5))
		}
	}
}

// TestResiduals: what is written is the level, with the season of the room and the offset of the visit, on the
// scale of that day, within the noise of the type; a frozen output shows one value; a slip is none of these.
func TestResiduals(t *testing.T) {
	for _, scenario := range []string{"usual", "damp", "frozen", "seasons", "silent firmware", "new firmware", "everything"} {
		s := draw(3, scenario)
		entries, err := s.book.Entries()
		if err != nil {
			t.Fatal(err)
		}
		register := sootline.Fold(entries, s.now)
		var r residuals
		for _, p := range s.courses {
			for i := range register.Point(p.id).Readings {
				r.take(t, s, p, &register.Point(p.id).Readings[i])
			}
		}
		slices.Sort(r.calm)
		if n := len(r.calm); n < 300 || r.calm[n/2] < 0.3 || r.calm[n/2] > 1 || r.calm[n*9/10] > 2.2 || r.calm[n-1] > 20 {
			t.Errorf("%s: %d residuals, in noises: median %.2f, tenth %.2f, largest %.1f", scenario, n, r.calm[n/2], r.calm[n*9/10], r.calm[n-1])
		}
		if scenario == "damp" {
			slices.Sort(r.unsteady)
			if n := len(r.unsteady); n < 20 || r.unsteady[n*9/10] < 5 || r.unsteady[n/4] > 2 {
				t.Errorf("%s: %d unsteady residuals: quarter %.2f, tenth %.2f", scenario, n, r.unsteady[n/4], r.unsteady[n*9/10])
			}
		}
		if scenario == "frozen" && r.frozen < 20 {
			t.Errorf("%s: %d frozen readings", scenario, r.frozen)
		}
	}
}

type residuals struct {
	calm, unsteady []float64 // in standard deviations of the noise
	frozen         int
}

func (r *residuals) take(t *testing.T, s *site, p *course, reading *sootline.Reading) {
	t.Helper()
	at, worse := reading.At, p.device.worse
	on := p.device.shown(at)
	for _, e := range p.events {
		if (e.Kind == levels.Slip || e.Kind == levels.Neighbour) && e.Day.Equal(at) {
			return
		}
	}
	if p.frozen != nil && !at.Before(p.frozen.from) {
		r.frozen++
		if on == p.device.told && reading.Samples[0] != p.level(at) {
			t.Errorf("%s shows %v, frozen at %v", p.ref, reading.Samples, p.level(at))
		}
		return
	}
	v := s.visitAt(at)
	told := p.device.told
	steady := on.value(worse, told.share(worse, p.level(at))+p.room.season(at)+v.offset)
	if level := p.level(at); level == told.floor || level == told.full || steady == on.floor || steady == on.full {
		return // the scale has ended
	}
	for _, sample := range reading.Samples {
		noises := math.Abs(sample-steady) / (on.noise * s.plan.rough * (1 + 0.5*v.wet[s.roomOf(p)]))
		if !p.unrest.IsZero() && !at.Before(p.unrest) {
			r.unsteady = append(r.unsteady, noises)
		} else {
			r.calm = append(r.calm, noises)
		}
	}
}

func (s *site) visitAt(at time.Time) *visit {
	for i := len(s.visits) - 1; i > 0; i-- {
		if !at.Before(s.visits[i].day) {
			return &s.visits[i]
		}
	}
	return &s.visits[0]
}

// TestSwapCarriesDirt: two heads that are exchanged take their dirt and their age along, and go on in the
// other's room.
func TestSwapCarriesDirt(t *testing.T) {
	swaps := 0
	s := draw(1, "swapped heads")
	for _, p := range s.courses {
		for i, e := range p.events {
			if e.Kind != levels.Swapped || e.Noted {
				continue
			}
			before := e.Day.Add(-time.Minute)
			other := slices.IndexFunc(s.courses, func(q *course) bool {
				return q != p && slices.Contains(q.events, p.events[i])
			})
			if other < 0 {
				t.Fatalf("%s was swapped with nothing", p.ref)
			}
			swaps++
			if gap := math.Abs(p.share(e.Day) - s.courses[other].share(before)); gap > 0.001 {
				t.Errorf("%s: after the swap %v is missing", p.ref, gap)
			}
		}
	}
	if swaps < 4 {
		t.Errorf("%d heads were swapped", swaps)
	}
}
