package circuit

import (
	"cmp"
	"fmt"
	"slices"
)

// Loss is what faults take out of service.
type Loss struct {
	Points  []int // devices that are no longer fed, by index; junctions are not counted
	Counted int   // of these, detectors and call points
	Zones   []string
	Floors  []FloorLoss // the one that loses most first
	Area    float64     // square metres, where known
	Share   float64     // of all devices of the loop
}

// FloorLoss is what one floor loses.
type FloorLoss struct {
	Floor  string
	Points int
}

// Lost works out what a set of faults takes.
func (c *Circuit) Lost(faults ...Fault) (Loss, error) {
	left, err := c.cut(faults)
	if err != nil {
		return Loss{}, err
	}
	return c.lost(&left), nil
}

func (c *Circuit) lost(left *cut) Loss {
	var loss Loss
	floors := map[string]int{}
	devices := 0
	for i := range c.loop.Points {
		p := &c.loop.Points[i]
		if p.Junction {
			continue
		}
		devices++
		if left.holds(c, i) {
			continue
		}
		loss.Points = append(loss.Points, i)
		if p.Counted {
			loss.Counted++
			loss.Area += p.Area
		}
		if p.Zone != "" && !slices.Contains(loss.Zones, p.Zone) {
			loss.Zones = append(loss.Zones, p.Zone)
		}
		if p.Floor != "" {
			floors[p.Floor]++
		}
	}
	loss.Share = float64(len(loss.Points)) / float64(max(devices, 1))
	for floor, n := range floors {
		loss.Floors = append(loss.Floors, FloorLoss{floor, n})
	}
	slices.SortFunc(loss.Floors, func(a, b FloorLoss) int {
		return cmp.Or(cmp.Compare(b.Points, a.Points), cmp.Compare(a.Floor, b.Floor))
	})
	return loss
}

// Rule is what one clause allows one fault, or two, to take. A limit of 0 is no limit.
type Rule struct {
	Name, Clause string
	Source       Source
	Faults       int // 1: a single open or short; 2: any two
	Counted      int // detectors and call points
	Zones        int
	Area         float64 // square metres
	Floors       int     // whole floors
	Beyond       int     // devices allowed on each of at most two floors more
	Share        float64 // of the devices of the loop
}

// Rules is the set to start from; it is data, to be edited. What was remembered needs a licensed copy of its standard.
func Rules() []Rule {
	return []Rule{
		{Name: "EN 54-2", Clause: "EN 54-2:1997 12.5.2", Source: Remembered, Faults: 1, Counted: 32},
		{Name: "BS 5839-1", Clause: "BS 5839-1:2025, one fault: area and floors", Source: Read, Faults: 1, Area: 2000, Floors: 1, Beyond: 5},
		{Name: "BS 5839-1", Clause: "BS 5839-1:2025, two faults: area", Source: Read, Faults: 2, Area: 10000},
		{Name: "NFPA 72", Clause: "NFPA 72 23.6.1 (2016 and later): one zone", Source: Remembered, Faults: 1, Zones: 1, Area: 2090, Floors: 1},
		{Name: "European Commission buildings manual", Clause: "one third of the elements of a network", Source: Read, Faults: 1, Share: 1.0 / 3},
	}
}

// Breach is a rule that a fault breaks, in words.
type Breach struct {
	Rule   Rule
	Faults []Fault
	Loss   Loss
	Why    string
}

// Breaks lists in what a loss exceeds the rule; empty when it does not.
func (r *Rule) Breaks(loss *Loss) []string {
	var why []string
	exceeds := func(limit, found float64, format string) {
		if limit > 0 && found > limit*(1+1e-9) {
			why = append(why, fmt.Sprintf(format, found, limit))
		}
	}
	exceeds(float64(r.Counted), float64(loss.Counted), "%.0f detectors and call points are lost, %.0f are allowed")
	exceeds(float64(r.Zones), float64(len(loss.Zones)), "%.0f zones are touched, %.0f allowed")
	exceeds(r.Area, loss.Area, "%.0f m2 are lost, %.0f are allowed")
	exceeds(100*r.Share, 100*loss.Share, "%.0f %% of the devices are lost, %.0f %% are allowed")
	if r.Floors > 0 {
		if text := r.floors(loss); text != "" {
			why = append(why, text)
		}
	}
	return why
}

// floors checks the floors beyond those that may be lost whole. It does not know which floors lie next to each other.
func (r *Rule) floors(loss *Loss) string {
	if len(loss.Floors) <= r.Floors {
		return ""
	}
	beyond := loss.Floors[r.Floors:]
	if r.Beyond == 0 || len(beyond) > 2 {
		return fmt.Sprintf("%s are touched, %d allowed", count(len(loss.Floors), "floor"), r.Floors)
	}
	if most := beyond[0]; most.Points > r.Beyond {
		return fmt.Sprintf("%s are lost on floor %s besides another floor, %d are allowed", count(most.Points, "device"), most.Floor, r.Beyond)
	}
	return ""
}

// Breaches holds every single fault against the rules for one fault, and the two worst together against those for two.
// Two faults on a ring take everything between them, so the worst two are one at each end: the whole loop.
func (c *Circuit) Breaches(rules []Rule) []Breach {
	var list []Breach
	against := func(faults []Fault, loss Loss) {
		for _, rule := range rules {
			if rule.Faults != len(faults) {
				continue
			}
			for _, why := range rule.Breaks(&loss) {
				list = append(list, Breach{rule, faults, loss, why})
			}
		}
	}
	for kind := Open; kind <= Short; kind++ {
		for k := range c.loop.ReturnSegment() + 1 {
			f := Fault{Kind: kind, Segment: k}
			left := c.cutBy(f)
			against([]Fault{f}, c.lost(&left))
		}
	}
	ends := []Fault{{Segment: c.segment(0)}, {Segment: c.segment(len(c.ring))}}
	left := c.cutBy(ends[0]).and(c.cutBy(ends[1]))
	against(ends, c.lost(&left))
	return list
}
