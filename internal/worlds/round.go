package worlds

import (
	"slices"
	"time"
)

// Attendance is what a visit shows of its points. Whether a point that was only read is seen depends on what was planned
// there, which no entry says: it is between Tested and the rest.
type Attendance struct {
	From, To  time.Time
	Open      bool
	Round     int
	Passed    []string // points, of the round or not, whose last test in it is passed
	NotPassed []string // and those whose last test in it failed
	ReadOnly  []string // points of the round with a reading in it, and no test
	NotYet    []string // points of the round with neither
}

// attendances counts what was done while each visit lasted; the tests are those of all points, also of those removed since.
func (s *site) attendances(tests []pointTest) []Attendance {
	var out []Attendance
	reads := map[string][]time.Time{}
	for _, f := range s.facts {
		if f.kind == "read" {
			reads[f.point] = append(reads[f.point], f.at)
		}
	}
	for _, v := range s.visits {
		a := Attendance{From: v.from, To: v.to, Open: v.open, Round: len(v.round)}
		lasted := func(t time.Time) bool { return !t.Before(v.from) && !t.After(v.to) }
		last := map[string]bool{} // by point: the last test in it failed
		for _, t := range tests {
			if lasted(t.at) {
				last[t.point] = t.failed
			}
		}
		for _, id := range s.order {
			if failed, ok := last[id]; ok && failed {
				a.NotPassed = append(a.NotPassed, id)
			} else if ok {
				a.Passed = append(a.Passed, id)
			}
		}
		for _, id := range v.round {
			_, tested := last[id]
			read := slices.ContainsFunc(reads[id], lasted)
			switch {
			case tested:
			case read:
				a.ReadOnly = append(a.ReadOnly, id)
			default:
				a.NotYet = append(a.NotYet, id)
			}
		}
		out = append(out, a)
	}
	return out
}

// pointTest is a test, with its point.
type pointTest struct {
	test
	point string
}
