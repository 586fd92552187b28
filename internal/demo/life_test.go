package demo

import (
	"testing"
	"time"
)

// When handed over, every detector truly rests inside its band, two counts or
// more from either end.
func TestBandsHoldAtHandover(t *testing.T) {
	for seed := range uint64(20) {
		w := newWorld(seed, time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC))
		w.plantNumbers()
		w.plantUnits()
		for _, p := range w.points {
			if !p.judged() || !p.device.banded() {
				continue
			}
			if level := p.level(w.from); level < p.device.low+2 || level > p.device.high-2 {
				t.Errorf("seed %d: %s %s rests at %.1f of %g to %g", seed, p.ref, p.device.name, level, p.device.low, p.device.high)
			}
		}
	}
}

// A compensated type rests flat until its reserve is used up, and then rises.
func TestCompensation(t *testing.T) {
	at := time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	s := spell{from: at, rest: 30, rate: 2, reserve: 5}
	for _, c := range []struct{ years, want float64 }{{0, 30}, {1, 30}, {2.5, 30}, {3, 31}, {5, 35}} {
		if got := s.level(at.Add(time.Duration(c.years * hoursAYear * float64(time.Hour)))); abs(got-c.want) > 1e-9 {
			t.Errorf("after %g years: %g, want %g", c.years, got, c.want)
		}
	}
}

// The planted acceleration rises three times as far in its second half as in its
// first, and ends just inside the band.
func TestAccelerating(t *testing.T) {
	for seed := range uint64(20) {
		w := newWorld(seed, time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC))
		w.plantUnits()
		for _, p := range w.points {
			if p.spells == nil || p.spells[0].bend == 0 {
				continue
			}
			start, middle, end := p.level(w.from), p.level(w.from.Add(w.until.Sub(w.from)/2)), p.level(w.until)
			if ratio := (end - middle) / (middle - start); abs(ratio-3) > 1e-9 || abs(end-(p.device.high-1)) > 0.05 {
				t.Errorf("seed %d: %s goes from %.2f by %.2f to %.2f", seed, p.ref, start, middle, end)
			}
		}
	}
}

// Two devices that change places take their dirt along, and each then catches
// the dust of its new room.
func TestSwap(t *testing.T) {
	from := time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	year := time.Duration(hoursAYear * float64(time.Hour))
	a := &point{life: life{clean: 20, spells: []spell{{from: from, rest: 20, rate: 4}}}}
	b := &point{life: life{clean: 22, spells: []spell{{from: from, rest: 22, rate: 1}}}}
	swap(a, b, from.Add(2*year))
	later := from.Add(3 * year)
	if got := a.level(later); abs(got-(24+4)) > 1e-9 {
		t.Errorf("in the dusty room: %g, want 28", got)
	}
	if got := b.level(later); abs(got-(28+1)) > 1e-9 {
		t.Errorf("in the quiet room: %g, want 29", got)
	}
}

func abs(x float64) float64 { return max(x, -x) }
