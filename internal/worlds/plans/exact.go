package plans

import (
	"errors"
	"fmt"
	"slices"
)

// ErrImpossible says that no plan meets the constraints.
var ErrImpossible = errors.New("no plan meets the constraints")

// solver looks at every plan that can still be better than the best so far.
type solver struct {
	c       Case
	order   func(Case, []int) int
	numbers []int
	best    []int
	score   Score
}

// Exact gives a best plan of a small case, by trying all. What is out of order among the first devices is so too when the
// others have come, and so are moves: a beginning that is no better than the best plan is not gone on with. Spares come
// and go, so that a case with them is tried to the end; keep it to five devices.
func Exact(c Case, order func(Case, []int) int) ([]int, Score, error) {
	s := &solver{c: c, order: order}
	s.try()
	if s.best == nil {
		return nil, Score{}, ErrImpossible
	}
	return s.best, s.score, nil
}

func (s *solver) try() {
	if s.best != nil && !s.begun().less(s.score) {
		return
	}
	i := len(s.numbers)
	if i == len(s.c.Devices) {
		s.best, s.score = slices.Clone(s.numbers), Of(s.c, s.numbers, s.order)
		return
	}
	for _, n := range s.choices(i) {
		if s.c.may(i, n) != nil || s.clash(i, n) {
			continue
		}
		s.numbers = append(s.numbers, n)
		s.try()
		s.numbers = s.numbers[:i]
	}
}

// begun is the least that a beginning can still come to; of a whole plan it is its score.
func (s *solver) begun() Score {
	if s.c.Keep || len(s.numbers) == len(s.c.Devices) {
		return Of(s.c, s.numbers, s.order)
	}
	return Score{0, s.order(s.c, s.numbers)}
}

// choices gives the numbers of the span, that of today first.
func (s *solver) choices(i int) []int {
	out := []int{s.c.Devices[i].Now}
	for n := s.c.First; n <= s.c.Last; n++ {
		if n != s.c.Devices[i].Now {
			out = append(out, n)
		}
	}
	return out
}

func (s *solver) clash(i, n int) bool {
	for k, at := range s.numbers {
		if s.c.overlap(i, n, k, at) {
			return true
		}
	}
	return false
}

// Against holds a plan of a small case against the exact solver; p is nil where the planner says that there is none. A plan
// that seems better than the best is an error too: then the two do not count alike.
func Against(c Case, p *Plan, order func(Case, []int) int) error {
	best, least, err := Exact(c, order)
	switch {
	case err != nil && p == nil:
		return nil
	case err != nil:
		return fmt.Errorf("%w, found %v", err, p.Numbers)
	case p == nil:
		return fmt.Errorf("said to be impossible, but %v is a plan", best)
	}
	if err := Check(c, *p); err != nil {
		return err
	}
	if got := Of(c, p.Numbers, order); got != least {
		return fmt.Errorf("plan %v scores %v, the best is %v with %v", p.Numbers, got, least, best)
	}
	return nil
}
