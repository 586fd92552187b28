package live

import (
	"slices"
	"time"
)

// Lines that were printed before and arrive in one piece, after a break or from a file that was copied, are read by the times that
// they show: where these run forward, from what was heard before to the arrival. A single late line cannot be told from one whose
// time is damaged, and two not from a clock that was set.

// Chosen here, no source: how many records say that they are late, how many of them must run forward, and within which time pieces
// are one.
const (
	fewestLate  = 3
	runsForward = 0.8
	onePiece    = 5 * time.Second
)

// dated is a record that shows a time: the first of its lines and how many it has.
type dated struct {
	first, lines int
	one          *reading
	wall         time.Time
}

// late gives lines that wait, which arrived in the piece that was taken last, the times that they show.
func (r *Reader) late() {
	if len(r.wait) == 0 || r.style.Clocks == nil {
		return
	}
	came := r.wait[len(r.wait)-1].came
	flows := !r.flows.IsZero() && came.Sub(r.flows) < onePiece
	if len(r.wait) < fewestLate && !flows {
		return
	}
	due := came.In(r.reg.zone).Add(seconds(r.clock.ahead))
	all := slices.DeleteFunc(r.dated(), func(d dated) bool { return r.wait[d.first].at != r.wait[d.first].came })
	for i := range all {
		all[i].wall = r.style.before(all[i].one, due)
	}
	if !r.wasLate(all, due, flows) {
		return
	}
	r.flows = came
	can := slices.DeleteFunc(all, func(d dated) bool { return !r.follows(d, due) })
	run := forward(can)
	if len(run) < fewestLate && !flows || float64(len(run)) < runsForward*float64(len(can)) {
		run = nil
	}
	r.settle(run, due)
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// slackTime is by how much a line may be off from what the clock should show.
func (s *Style) slackTime() time.Duration { return seconds(s.coarse()/2 + s.Slack) }

// wasLate reports whether records are older than their arrival, and not by the same time: that would be a clock that was set.
func (r *Reader) wasLate(all []dated, due time.Time, flows bool) bool {
	least := fewestLate
	if flows {
		least = 1
	}
	if len(all) < least || all[0].one.Date == "" && (r.wall.IsZero() || due.Sub(r.wall) > 23*time.Hour) {
		return false // without a day nobody knows which it was
	}
	first, last := all[0].wall, all[0].wall
	for _, d := range all {
		if d.wall.Before(first) {
			first = d.wall
		}
		if d.wall.After(last) {
			last = d.wall
		}
	}
	return due.Sub(first) > r.style.slackTime() && (flows || last.Sub(first) > 2*r.style.slackTime())
}

// follows reports whether a record can have been printed between what was read last and its arrival.
func (r *Reader) follows(d dated, due time.Time) bool {
	if d.wall.After(due.Add(r.style.slackTime())) || !r.wall.IsZero() && d.wall.Before(r.wall) {
		return false
	}
	return !d.wall.Equal(r.wall) || !r.same[r.line(d.lines, d.first, nil, "", "").Shown]
}

// before gives the instant that a record shows, which is not behind its arrival where the day or the year is left out.
func (s *Style) before(one *reading, due time.Time) time.Time {
	w := one.wall
	switch {
	case !w.After(due.Add(s.slackTime())):
	case one.Date == "":
		return w.AddDate(0, 0, -1)
	case !s.hasYear():
		return w.AddDate(-1, 0, 0)
	}
	return w
}

func (s *Style) hasYear() bool {
	return slices.ContainsFunc(s.Days, func(p Piece) bool { return p.Is == yearPart || p.Is == shortPart })
}

// dated finds the records that wait and show a time.
func (r *Reader) dated() (all []dated) {
	for i := 0; i < len(r.wait); i++ {
		peek := *r
		peek.wait, peek.glyph = r.wait[i:], r.glyph[i:]
		best := dated{first: i}
		most := r.style.until(peek.glyph[:min(r.style.Lines, len(peek.wait))])
		for n := 1; n <= most; n++ {
			found, refused := peek.read(n)
			if found == nil && refused.why == OtherClock {
				found = refused.one
			}
			if found != nil && !found.wall.IsZero() && (best.one == nil || best.one.Point < 0) {
				best.lines, best.one = n, found
			}
		}
		if best.one != nil {
			all = append(all, best)
			i += best.lines - 1
		}
	}
	return all
}

// forward gives the longest run of records whose times run forward. What is not in it was damaged.
func forward(all []dated) []dated {
	var ends []int // of runs of each length: the record with which the earliest ends
	from := make([]int, len(all))
	for i, d := range all {
		n, _ := slices.BinarySearchFunc(ends, d.wall, func(k int, w time.Time) int {
			if all[k].wall.After(w) {
				return 1
			}
			return -1
		})
		if from[i] = -1; n > 0 {
			from[i] = ends[n-1]
		}
		if n == len(ends) {
			ends = append(ends, i)
		} else {
			ends[n] = i
		}
	}
	var run []dated
	for k := lastOf(ends); k >= 0; k = from[k] {
		run = append(run, all[k])
	}
	slices.Reverse(run)
	return run
}

func lastOf(all []int) int {
	if len(all) == 0 {
		return -1
	}
	return all[len(all)-1]
}

// settle gives the lines of a late piece the instants at which they were printed; those that show no time have that of the line
// before. Their clock is not followed.
func (r *Reader) settle(run []dated, due time.Time) {
	var at time.Time
	for i := range r.wait {
		l := &r.wait[i]
		l.late = true
		if len(run) > 0 && run[0].first == i {
			at = run[0].wall.Add(seconds(r.style.coarse()/2 - r.clock.ahead))
			if due.Sub(run[0].wall) <= r.style.slackTime() {
				at = l.came
			}
			run = run[1:]
		}
		if !at.IsZero() {
			l.at = at
		}
	}
}

// heard remembers the time that was read last, and the lines that showed it.
func (r *Reader) heard(wall time.Time, shown string) {
	if wall.IsZero() {
		return
	}
	if !wall.Equal(r.wall) {
		r.wall, r.same = wall, map[string]bool{}
	}
	if len(r.same) < mostOnce {
		r.same[shown] = true
	}
}
