package judge

import (
	"context"
	"math"

	"sootline"
)

// survey is what was seen in the whole of a register before anything is judged:
// the looks at each point, cut at its recorded resets, and the steps in them.
type survey struct {
	register *sootline.Register
	points   []surveyed // in the order of the register
	swaps    []Question
}

// surveyed is what was seen at one point.
type surveyed struct {
	stretches []stretch
	steps     []*stepped
	offs      []off
	asked     []Question // about values that never move and histories that cannot be read
}

// surveyOf looks at all points of a register on all cores, as [shared] does.
func surveyOf(ctx context.Context, r *sootline.Register) *survey {
	points := r.Points()
	s := &survey{register: r, points: make([]surveyed, len(points))}
	sheets := map[string]*sootline.TypeSheet{}
	for _, p := range points {
		if _, known := sheets[p.Type]; !known {
			sheets[p.Type] = r.Sheet(p.Type)
		}
	}
	shared(ctx, len(points), func(i int) {
		s.points[i].stretches = stretches(r, points[i], sheets[points[i].Type])
	})
	sure, maybe := s.chances(points)
	shared(ctx, len(points), func(i int) {
		for k := range s.points[i].stretches {
			if one := &s.points[i].stretches[k]; one.judged() {
				s.points[i].look(one, sure, maybe)
			}
		}
	})
	var steps []*stepped
	for i := range s.points {
		steps = append(steps, s.points[i].steps...)
	}
	s.swaps = exchanges(steps)
	return s
}

// judged reports whether the type of a stretch has a resting value worth judging.
func (s *stretch) judged() bool { return s.sheet == nil || s.sheet.Kind.Judged() }

// chances gives the chance of a step out of noise alone at which one stretch is
// asked about by itself, and that at which it counts as half of an exchange.
func (s *survey) chances(points []*sootline.Point) (sure, maybe float64) {
	tested, perGroup := 0, map[alike]int{}
	for i, p := range points {
		for k := range s.points[i].stretches {
			if one := &s.points[i].stretches[k]; one.judged() && len(one.looks) >= leastForStep {
				tested++
			}
		}
		if all := s.points[i].stretches; len(all) > 0 && all[0].judged() {
			perGroup[alike{p.LoopID(), sootline.TypeKey(p.Type)}]++
		}
	}
	pairs := 0
	for _, n := range perGroup {
		pairs += n * (n - 1) / 2
	}
	sure = errorRate / float64(max(1, tested))
	if pairs == 0 {
		return sure, sure
	}
	return sure, max(sure, math.Sqrt(errorRate/float64(pairs)))
}

// alike is the points of one type on one loop.
type alike struct {
	loop sootline.LoopID
	typ  string
}

// look searches one stretch.
func (s *surveyed) look(one *stretch, sure, maybe float64) {
	if q, ok := one.neverMoves(sure); ok {
		s.asked = append(s.asked, q)
		return
	}
	offs := one.offs()
	s.offs = append(s.offs, offs...)
	found, many := one.stepsIn(one.without(offs), sure, maybe)
	if many {
		s.asked = append(s.asked, one.askUnstable())
		return
	}
	s.steps = append(s.steps, found...)
}

// stepAfter gives the latest step in a stretch that is sure, by itself or as part
// of an exchange; nil when there is none.
func (s *surveyed) latestStep(in *stretch) *stepped {
	var latest *stepped
	for _, step := range s.steps {
		if step.stretch == in && (step.sure || step.used) && (latest == nil || step.to.After(latest.to)) {
			latest = step
		}
	}
	return latest
}
