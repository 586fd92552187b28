package circuit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"sootline"
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
	Level  *int // nil: not known
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
	floors := map[string]FloorLoss{}
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
		}
		loss.Area += p.Area
		if p.Zone != "" && !slices.Contains(loss.Zones, p.Zone) {
			loss.Zones = append(loss.Zones, p.Zone)
		}
		if p.Floor != "" {
			floors[p.Floor] = FloorLoss{p.Floor, floors[p.Floor].Points + 1, p.Level}
		}
	}
	loss.Share = float64(len(loss.Points)) / float64(max(devices, 1))
	for _, floor := range floors {
		loss.Floors = append(loss.Floors, floor)
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

// Needs lists the facts that a rule is held against, of every device that a fault may take.
func (r *Rule) Needs() []FactKind {
	var kinds []FactKind
	if r.Zones > 0 {
		kinds = append(kinds, ZoneFact)
	}
	if r.Floors > 0 {
		kinds = append(kinds, FloorFact)
	}
	if r.Area > 0 {
		kinds = append(kinds, AreaFact)
	}
	return kinds
}

// Breach is a rule that a fault breaks, in words.
type Breach struct {
	Rule   Rule
	Faults []Fault
	Loss   Loss
	Excess
}

// Excess is what of a loss is more than a rule allows.
type Excess struct {
	By, Is, Limit float64 // devices, zones, square metres, floors, or a share of the devices
	Why           string
	Unsure        bool // it rests on floors of which nobody said which lie beside each other
}

// Breaks lists in what a loss exceeds the rule; empty when it does not.
func (r *Rule) Breaks(loss *Loss) []Excess {
	var list []Excess
	exceeds := func(limit, found, unit float64, places int, format string) {
		if limit > 0 && found > limit*(1+1e-9) {
			list = append(list, Excess{By: found - limit, Is: found, Limit: limit, Why: fmt.Sprintf(format, sootline.Significant(unit*found, places), sootline.Significant(unit*limit, places))})
		}
	}
	exceeds(float64(r.Counted), float64(loss.Counted), 1, 3, "%s detectors and call points are lost, %s are allowed")
	exceeds(float64(r.Zones), float64(len(loss.Zones)), 1, 3, "%s zones are touched, %s allowed")
	exceeds(r.Area, loss.Area, 1, 5, "%s m2 are lost, %s are allowed")
	exceeds(r.Share, loss.Share, 100, 3, "%s %% of the devices are lost, %s %% are allowed")
	if r.Floors > 0 {
		if over, breaks := r.floors(loss); breaks {
			list = append(list, over)
		}
	}
	return list
}

// floors checks the floors beyond those that may be lost whole. Where the rule allows some devices on the floors beside
// one, that one is taken to be the floor that leaves the fewest too many; floors further off may lose none.
func (r *Rule) floors(loss *Loss) (Excess, bool) {
	if len(loss.Floors) <= r.Floors {
		return Excess{}, false
	}
	if r.Beyond == 0 {
		n := len(loss.Floors)
		return Excess{By: float64(n - r.Floors), Is: float64(n), Limit: float64(r.Floors), Why: fmt.Sprintf("%s are touched, %d allowed", count(n, "floor"), r.Floors)}, true
	}
	for _, unknown := range []int{2, 0} { // a floor has at most two beside it
		best := Excess{By: math.Inf(1)}
		for i := range loss.Floors {
			if over := r.beside(loss.Floors, i, unknown); over.By < best.By {
				best = over
			}
		}
		if best.By > 0 {
			best.Unsure = unknown == 0
			return best, true
		}
	}
	return Excess{}, false
}

// beside counts the devices too many if floor i is the one lost whole and of the floors of which it is not known so many,
// those that lose most, lie beside it.
func (r *Rule) beside(floors []FloorLoss, i, unknown int) Excess {
	over := Excess{Limit: float64(r.Beyond)}
	for k := range floors {
		if k == i {
			continue
		}
		is, known := floors[k].besides(&floors[i])
		if !known && unknown > 0 {
			is = true
			unknown--
		}
		allowed := 0
		if is {
			allowed = r.Beyond
		}
		more := max(floors[k].Points-allowed, 0)
		if over.By += float64(more); more > 0 && over.Why == "" {
			over.Is, over.Limit = float64(floors[k].Points), float64(allowed)
			over.Why = fmt.Sprintf("%s lost on floor %s besides floor %s, %d are allowed", lostAre(floors[k].Points), floors[k].Floor, floors[i].Floor, allowed)
		}
	}
	return over
}

func lostAre(n int) string {
	if n == 1 {
		return "1 device is"
	}
	return count(n, "device") + " are"
}

// besides reports whether two floors lie beside each other, and whether that is known.
func (f *FloorLoss) besides(other *FloorLoss) (is, known bool) {
	if f.Level == nil || other.Level == nil {
		return false, false
	}
	away := *f.Level - *other.Level
	return away == 1 || away == -1, true
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
