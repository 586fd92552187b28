package judge

import "testing"

// What is said of a drift is what its interval and the order of its visits show, each by itself. The band is 20 wide.
func TestDriftInWords(t *testing.T) {
	for _, c := range []struct {
		drift, low, high float64
		real             Real
		want             string
	}{
		{2.1, 1.7, 2.5, Yes, "rises by 2.1 a year (90 %: 1.7 to 2.5), more than chance: 1 visit"},
		{0.3, -0.9, 1.5, Yes, "hardly drifts now (90 %: -0.9 to 1.5 a year): 1 visit"},
		{2.7, 1.4, 4.1, No, "rises by 2.7 a year (90 %: 1.4 to 4.1), which the order of its own visits alone does not show: 1 visit"},
		{-2.7, -4.1, -1.4, TooFew, "taken to go on as its type and it did before: it falls by 2.7 a year (90 %: -4.1 to -1.4); since then 1 visit, which shows none"},
		{5, -18, 41, No, "nothing shows yet how it drifts now (90 %: -18 to 41 a year): 1 visit"},
		{0.9, -0.9, 2.6, Yes, "rose more than by chance, and nothing shows yet how it goes on (90 %: -0.9 to 2.6 a year): 1 visit"},
		{1, -2, 32, TooFew, "nothing shows yet how it drifts now (90 %: -2 to 32 a year): 1 visit"},
		{0.1, -0.5, 0.7, No, "hardly drifts now (90 %: -0.5 to 0.7 a year): 1 visit"},
	} {
		s := &study{Judgement: &Judgement{DriftPerYear: &c.drift, DriftLow: &c.low, DriftHigh: &c.high, DriftReal: c.real}}
		s.past = &past{looks: make([]look, 1), kin: &kin{scale: scale{width: 20}}}
		if got := s.drifting(); got != c.want {
			t.Errorf("%v (%v to %v), %s: %q, want %q", c.drift, c.low, c.high, c.real, got, c.want)
		}
		s.Curved = true
		if said := s.curved() != ""; said != (c.low > 0 || c.high < 0) {
			t.Errorf("%v (%v to %v): that it speeds up is said: %v", c.drift, c.low, c.high, said)
		}
	}
}
