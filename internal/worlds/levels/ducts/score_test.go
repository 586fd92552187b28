package ducts

import (
	"math"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// knowing answers with the truth.
func knowing(s *levels.Site) []levels.Answer {
	var all []levels.Answer
	asked := map[levels.Happened]bool{}
	for _, p := range s.Points {
		a := levels.Answer{Point: p.Point, Outside: p.OutsideByNext, Earliest: p.Leaves, Likely: p.Leaves, Latest: p.Leaves, Action: p.Wants}
		if a.Outside {
			a.Chance = 1
		}
		if p.Leaves.IsZero() {
			a.Earliest = s.Ends()
		}
		for _, e := range p.Events {
			shared := e.Kind == levels.Rescaled || e.Kind == levels.Works || e.Kind == levels.InstrumentOffset
			if e.Noted || shared && asked[e] {
				continue
			}
			asked[e] = true
			a.Questions = append(a.Questions, levels.Question{Kind: e.Kind, Day: e.Day})
		}
		all = append(all, a)
	}
	return all
}

// Who knows the truth has a perfect score in every scenario.
func TestTruthScoresPerfectly(t *testing.T) {
	each(t, func(t *testing.T, s *levels.Site) {
		r := levels.Score(s, knowing(s))
		perfect := func(x float64) bool { return x == 1 || math.IsNaN(x) }
		if !perfect(r.All.Recall()) || !perfect(r.All.Precision()) || r.All.Brier() != 0 || !perfect(r.All.Coverage()) || r.All.Width() != 0 {
			t.Errorf("recall %v, precision %v, Brier %v, coverage %v, width %v", r.All.Recall(), r.All.Precision(), r.All.Brier(), r.All.Coverage(), r.All.Width())
		}
		if r.Missing+r.Strange+r.ClearlyLeft > 0 || r.HealthyActions[levels.Leave] != r.Healthy {
			t.Errorf("missing %d, strange %d, clearly outside and left %d, %d of %d healthy left", r.Missing, r.Strange, r.ClearlyLeft, r.HealthyActions[levels.Leave], r.Healthy)
		}
		for kind, q := range r.Questions {
			if kind != levels.HalfCleaned && kind != levels.Cleaned && kind != levels.Slip && kind != levels.Neighbour && q.Right != q.Asked {
				t.Errorf("%s: %d of %d questions are right", kind, q.Right, q.Asked)
			}
		}
		if asked, right := r.AskedRight(); asked != right {
			t.Errorf("%d of %d questions are right", right, asked)
		}
	})
}

// lastValue judges by the printed limits: the last value, and nothing else.
func lastValue(entries []sootline.Entry, now, _ time.Time) []levels.Answer {
	r := sootline.Fold(entries, now)
	var all []levels.Answer
	for _, p := range r.Points() {
		a := levels.Answer{Point: p.ID, Chance: levels.Unstated(), Action: levels.Leave}
		for _, x := range p.Readings {
			if b := r.Sheet(p.Type).Band(p.Settings()); x.Quantity == "" && b.Complete() {
				a.Outside = x.Samples[0] < *b.Low || x.Samples[0] > *b.High
			}
		}
		if a.Outside {
			a.Action = levels.CleanNow
		}
		all = append(all, a)
	}
	return all
}

// The limits alone miss much, and cry wolf: there is something to judge.
func TestLimitsAloneAreNotEnough(t *testing.T) {
	played := levels.Play(World{}, levels.Draw{First: 1, Seeds: 1}, lastValue)
	all := levels.Total(played)
	if recall := all.All.Recall(); recall < 0.2 || recall > 0.8 {
		t.Errorf("the limits alone find %.3f", recall)
	}
	if precision := all.All.Precision(); precision < 0.5 || precision > 0.98 {
		t.Errorf("the limits alone are right in %.3f", precision)
	}
	var text strings.Builder
	if err := levels.Report(&text, "ducts", played); err != nil {
		t.Fatal(err)
	}
	t.Log(text.String())
}

// Who knows the state but not the future states chances that come true, and covers nine in ten; nobody does
// better, and even so the future is not certain.
func TestForeseenIsCalibrated(t *testing.T) {
	var played []levels.Scored
	for _, name := range []string{"lumps", "accelerating", "half-cleaned", "compensated"} {
		s := levels.Scored{Scenario: name, Result: levels.Total(nil)}
		for seed := range uint64(3) {
			site := World{}.Make(seed, name)
			s.Result.Add(levels.Score(&site, World{}.Foreseen(seed, name, 40)))
		}
		played = append(played, s)
	}
	all := levels.Total(played)
	stated, happened := 0.0, 0.0
	for _, bin := range all.Calibration {
		stated, happened = stated+bin.Stated, happened+float64(bin.Happened)
	}
	if math.Abs(stated/happened-1) > 0.12 {
		t.Errorf("%.1f were foreseen, %.0f happened", stated, happened)
	}
	if c := all.All.Coverage(); c < 0.85 || c > 0.97 {
		t.Errorf("the dates cover %.3f", c)
	}
	if b := all.All.Brier(); b < 0.002 || b > 0.04 {
		t.Errorf("the Brier score is %.4f", b)
	}
	var text strings.Builder
	if err := levels.Report(&text, "ducts, foreseen", played); err != nil {
		t.Fatal(err)
	}
	t.Log(text.String())
}
