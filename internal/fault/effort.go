package fault

import "math"

// Minutes of what a technician does. Common practice, no source.
const (
	metresPerMinute = 40 // along the cable, doors and stairs apart
	floorMinutes    = 1
	ladderMinutes   = 2
	plugMinutes     = 2 // to unplug a cable, or to plug it in
	feedMinutes     = 1 // to plug the panel's ends another way
	panelMinutes    = 1 // to read the list
	meterMinutes    = 2
	lookMinutes     = 5 // at a device, and to put another in
	traceMinutes    = 3 // along a stretch
)

// atPanel is where the technician stands who is at no device.
const atPanel = None

// standing is how the loop stands, and where the technician does.
type standing struct {
	spot   int // a device, or atPanel
	openAt int
	feed   Feed
}

// begins is how a search begins.
func begins() standing { return standing{atPanel, None, Both} }

// walk is the minutes from one spot to another, the nearer way round.
func (r *Ring) walk(from, to int) float64 {
	if from == to {
		return 0
	}
	a, floorA := r.spot(from)
	b, floorB := r.spot(to)
	whole := r.to[len(r.to)-1]
	way := math.Abs(a - b)
	return min(way, whole-way)/metresPerMinute + floorMinutes*math.Abs(float64(floorA-floorB))
}

func (r *Ring) spot(k int) (metres float64, floor int) {
	if k == atPanel {
		return 0, 0
	}
	return r.to[k], r.Devices[k].Floor
}

// reachSpot walks, and climbs where the spot takes a ladder.
func (r *Ring) reachSpot(from, to int) float64 {
	minutes := r.walk(from, to)
	if to != atPanel && from != to && r.Devices[to].Ladder {
		minutes += ladderMinutes
	}
	return minutes
}

// minutes is what a step takes from how things stand, and how they stand afterwards.
func (r *Ring) minutes(s *Step, now standing) (minutes float64, then standing) {
	visit := func(spot int, work float64) {
		minutes += r.reachSpot(now.spot, spot) + work
		now.spot = spot
	}
	if s.OpenAt != now.openAt {
		if now.openAt != None {
			visit(now.openAt, plugMinutes)
		}
		if s.OpenAt != None {
			visit(s.OpenAt, plugMinutes)
		}
		now.openAt = s.OpenAt
	}
	if s.Feed != now.feed {
		visit(atPanel, feedMinutes)
		now.feed = s.Feed
	}
	switch s.Look {
	case AtPanel:
		visit(atPanel, panelMinutes)
	case AtVolts:
		visit(s.At, meterMinutes)
	case AtOhms:
		visit(s.OpenAt, meterMinutes) // None is the panel
	case AtDevice:
		visit(s.At, lookMinutes)
	case AtStretch:
		visit(min(s.At, len(r.Devices)-1), traceMinutes)
	}
	return minutes, now
}
