package instruments

import (
	"math"
	"slices"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// told gives the site as others see it.
func (s *premises) told() levels.Site {
	site := levels.Site{Name: s.name, Scenario: s.scenario, Entries: s.write(), Now: s.cal.now, NextVisit: s.cal.next}
	for _, d := range s.devices {
		if !d.fitted.After(s.cal.now) {
			site.Points = append(site.Points, s.truth(d))
		}
	}
	return site
}

// truth is on the scale of the sheet that holds now.
func (s *premises) truth(d *device) levels.Truth {
	course, to := d.course, unscaled
	if s.firm != nil && s.firm.scale.name == d.scale.name && !s.firm.sheet.IsZero() {
		to = s.firm.to
		course = course.on(to)
	}
	low, high := to.of(min(d.scale.limit, d.scale.other)), to.of(max(d.scale.limit, d.scale.other))
	leaves := course.leaves(s.cal.now, low, high)
	if leaves.After(s.cal.now.AddDate(levels.Horizon, 0, 0)) {
		leaves = time.Time{}
	}
	t := levels.Truth{
		Point: d.id, Ref: sootline.Ref{Panel: "1", Loop: strconv.Itoa(d.loop), Number: d.number}.String(),
		Outside: leaves.Equal(s.cal.now), Leaves: leaves, Level: course.at,
		OutsideByNext: !leaves.IsZero() && !leaves.After(s.cal.next),
	}
	t.Events = slices.Clone(d.events)
	t.Wants = s.wants(d, &t)
	t.Healthy = t.Wants == levels.Leave && !t.OutsideByNext
	return t
}

// stubborn is which level no cleaning takes away, in rooms, so that another unit is wanted: ours.
const stubborn = 0.85

// wants is what somebody who knew would do. What is outside is cleaned now, what is about to be is cleaned at the next visit;
// a unit that does not work, or that no cleaning helps, is replaced.
func (s *premises) wants(d *device, t *levels.Truth) string {
	after := s.cal.next.Add(s.cal.every) // the visit after the next
	soon := !t.Leaves.IsZero() && !t.Leaves.After(after)
	hopeless := d.scale.kind == sootline.Gas || d.drift.nature == still || s.lasting(d) > stubborn
	switch {
	case !d.stuckFrom.IsZero() || !d.noisyFrom.IsZero():
		return levels.Replace
	case soon && hopeless:
		return levels.Replace
	case t.Outside:
		return levels.CleanNow
	case soon:
		return levels.Clean
	case s.misread(d):
		return levels.LookAgain
	}
	return levels.Leave
}

// lasting is what a cleaning would leave of the level, in rooms, now.
func (s *premises) lasting(d *device) float64 { return d.rest + d.ageNow }

// Of what is written: how far off it is wrong, in rooms, and how old it is old. Both ours.
const (
	wrongBeyond = 0.25
	oldBeyond   = 15 * yearLong / 12
)

// misread reports whether what is written of a point is old or wrong, or should be there and is not.
func (s *premises) misread(d *device) bool {
	if len(d.looks) == 0 {
		return s.cal.now.Sub(d.fitted) > s.cal.every*5/4
	}
	last := &d.looks[len(d.looks)-1]
	if s.cal.now.Sub(last.at) > max(oldBeyond, s.cal.every*3/2) {
		return true
	}
	was := s.firm.shows(d.scale, last.at).of(d.course.at(last.at))
	way := math.Abs(d.scale.span()) * s.firm.shows(d.scale, last.at).gain
	return math.Abs(last.written[0]-was) > wrongBeyond*way
}
