package ducts

import (
	"bytes"
	"math"
	"slices"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// lines writes the log of a site.
func lines(t *testing.T, s *levels.Site) []byte {
	t.Helper()
	var all []byte
	for i := range s.Entries {
		var err error
		if all, err = sootline.AppendLine(all, &s.Entries[i]); err != nil {
			t.Fatal(err)
		}
		all = append(all, '\n')
	}
	return all
}

// each draws one site of every scenario.
func each(t *testing.T, test func(t *testing.T, s *levels.Site)) {
	for _, name := range (World{}).Scenarios() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := World{}.Make(11, name)
			test(t, &s)
		})
	}
}

func TestSameSeedSameBytes(t *testing.T) {
	each(t, func(t *testing.T, s *levels.Site) {
		again, other := World{}.Make(11, s.Scenario), World{}.Make(12, s.Scenario)
		if !bytes.Equal(lines(t, s), lines(t, &again)) {
			t.Error("the same seed gives another log")
		}
		if bytes.Equal(lines(t, s), lines(t, &other)) {
			t.Error("another seed gives the same log")
		}
		for i, p := range s.Points {
			q := again.Points[i]
			same := p.Point == q.Point && p.Outside == q.Outside && p.Leaves.Equal(q.Leaves) && p.Wants == q.Wants && slices.Equal(p.Events, q.Events)
			for year := range 12 {
				at := s.Now.AddDate(year-2, 0, 0)
				same = same && p.Level(at) == q.Level(at)
			}
			if !same {
				t.Fatalf("the same seed gives another truth of %s", p.Ref)
			}
		}
	})
}

func TestLogIsLegal(t *testing.T) {
	each(t, func(t *testing.T, s *levels.Site) {
		ledger := sootline.Ledger{}
		noted := slices.Clone(s.Entries)
		slices.SortStableFunc(noted, func(a, b sootline.Entry) int { return int(a.Seq - b.Seq) })
		for i := range noted {
			line, err := sootline.AppendLine(nil, &noted[i])
			if err != nil {
				t.Fatal(err)
			}
			e, err := sootline.ParseLine(line)
			if err != nil {
				t.Fatalf("%s: %v", line, err)
			}
			if fault := ledger.Follow(line, &e); fault != nil {
				t.Fatal(fault)
			}
			if e.At.After(s.Now) || e.Noted.After(s.Now) {
				t.Fatalf("%s is later than now", line)
			}
		}
		r := sootline.Fold(s.Entries, s.Now)
		if n := len(r.Points()); n != len(s.Points) || len(r.Strays()) > 0 {
			t.Errorf("%d points in the register, %d in the truth, %d strays", n, len(s.Points), len(r.Strays()))
		}
		for _, p := range s.Points {
			if q := r.Point(p.Point); q == nil || q.Ref().String() != p.Ref || q.Area == "" {
				t.Fatalf("%s is not as in the register", p.Ref)
			}
		}
	})
}

// band reads the band of a point from the log, as a judge does.
func band(t *testing.T, r *sootline.Register, id sootline.ID) (low, high float64) {
	t.Helper()
	p := r.Point(id)
	b := r.Sheet(p.Type).Band(p.Settings())
	if !b.Complete() {
		t.Fatalf("no band for %s", p.Ref())
	}
	return *b.Low, *b.High
}

func TestTruthFollowsFromLevel(t *testing.T) {
	each(t, func(t *testing.T, s *levels.Site) {
		r := sootline.Fold(s.Entries, s.Now)
		for _, p := range s.Points {
			low, high := band(t, r, p.Point)
			outside := func(at time.Time) bool { x := p.Level(at); return x < low || x > high }
			if outside(s.Now) != p.Outside {
				t.Fatalf("%s: level %v, band %v to %v, outside %v", p.Ref, p.Level(s.Now), low, high, p.Outside)
			}
			first := time.Time{}
			for at := s.Now; !at.After(s.Ends()) && first.IsZero(); at = at.Add(24 * time.Hour) { // a level lasts for a week
				if outside(at) {
					first = at
				}
			}
			if first.IsZero() != p.Leaves.IsZero() || first.Sub(p.Leaves) < 0 || first.Sub(p.Leaves) > 24*time.Hour {
				t.Fatalf("%s: leaves %s, its level on %s", p.Ref, p.Leaves, first)
			}
			if byNext := !p.Leaves.IsZero() && !p.Leaves.After(s.NextVisit); byNext != p.OutsideByNext {
				t.Fatalf("%s: leaves %s, next visit %s, outside by next %v", p.Ref, p.Leaves, s.NextVisit, byNext)
			}
			if p.Outside && (p.Healthy || p.Wants == levels.Leave || p.Wants == levels.Clean) {
				t.Fatalf("%s is outside, and wants %q", p.Ref, p.Wants)
			}
		}
	})
}

// What was read lies about the level as the noise of its type says, where nothing befell it: the median of the
// absolute deviations is about 0.6 of the noise (for a normal 0.674; a t of 4 degrees of freedom of the same
// standard deviation has 0.741 / 1.414 = 0.524, widened by rounding and by the noise of the sample).
func TestResidualsAreAsClaimed(t *testing.T) {
	for _, name := range []string{"offices", "saturating", "seasons", "many-readings", "compensated", "rescaled"} {
		var sizes, signed []float64
		for seed := range uint64(4) {
			p := planOf(name)
			p.offset, p.instrument = 0, 0 // what all values of a visit share would shift them together
			s := newSite(seed, p)
			s.live()
			made := s.told()
			r := sootline.Fold(made.Entries, made.Now)
			for _, p := range s.points {
				for _, x := range residuals(s, p, r.Point(p.id)) {
					sizes, signed = append(sizes, math.Abs(x)), append(signed, x)
				}
			}
		}
		slices.Sort(sizes)
		slices.Sort(signed)
		n := len(sizes)
		if middle := sizes[n/2]; n < 1000 || middle < 0.4 || middle > 0.9 {
			t.Errorf("%s: the median size of %d residuals is %.2f of the noise", name, n, middle)
		}
		if middle := signed[n/2]; math.Abs(middle) > 0.05 {
			t.Errorf("%s: residuals lie about %.2f of the noise", name, middle)
		}
		if far := sizes[n*99/100]; far > 8 {
			t.Errorf("%s: one residual in a hundred is beyond %.1f of the noise", name, far)
		}
	}
}

// residuals gives what was read less the level, in units of the noise, of points and days on which nothing
// was amiss.
func residuals(s *site, p *point, q *sootline.Point) []float64 {
	if q == nil || p.stuck || p.noisy {
		return nil
	}
	level := s.follow(p)
	var all []float64
	for _, reading := range q.Readings {
		amiss := func(e levels.Happened) bool {
			return e.Kind == levels.Stuck || e.Kind == levels.Noisy || reading.At.Sub(e.Day).Abs() < time.Hour && e.Kind != levels.Cleaned ||
				e.Kind == levels.InstrumentOffset && reading.At.Sub(e.Day).Abs() < week
		}
		if reading.Quantity != "" || slices.ContainsFunc(p.events, amiss) {
			continue
		}
		expected := level(reading.At)
		if c := p.kind.rescale; c != nil && c.noted {
			expected = (expected - c.plus) / c.times // on the scale with which the log begins
		}
		all = append(all, (s.unscaled(p.kind, reading.At, reading.Samples[0])-expected)/p.kind.noise)
	}
	return all
}

// Of a change of scale that nobody wrote down, truth stays on the scale of the sheet, as what lies in the chamber
// does; of one that was, it is on the new one.
func TestLevelsAreOnTheScaleOfTheSheet(t *testing.T) {
	noted, silent := 0, 0
	for seed := range uint64(8) {
		s := newSite(seed, planOf("rescaled"))
		week := s.weekOf(s.liveFrom(0, s.now) - 1)
		for _, p := range s.points {
			c := p.kind.rescale
			if c == nil || len(p.track) == 0 {
				continue
			}
			want := p.level(week)
			if c.noted {
				noted++
				want = want*c.times + c.plus
			} else {
				silent++
			}
			if got := s.follow(p)(s.now); math.Abs(got-want) > 1e-4*math.Max(1, math.Abs(want)) {
				t.Errorf("seed %d: %v is told, %v lies there", seed, got, want)
			}
		}
	}
	if noted < 50 || silent < 50 {
		t.Errorf("%d points on a scale that was noted, %d on one that was not", noted, silent)
	}
}
