package visit

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"sootline"
)

// walk puts the stops in an order in which they can be walked: floor by floor,
// area by area, and within an area along the shortest way known. The technician's
// own order of areas or points comes before all that.
func (p *planner) walk(tasks map[*sootline.Point][]Task, own []string) []Stop {
	if len(own) == 0 {
		own = p.r.Site.Service.Order
	}
	var points []*sootline.Point
	for _, point := range p.r.Points() { // the order of the register, not that of a map
		if len(tasks[point]) > 0 {
			points = append(points, point)
		}
	}
	var stops []Stop
	for _, point := range Order(p.r, points, own) {
		floor, _ := FloorOf(p.r, point)
		stops = append(stops, Stop{Point: point, Floor: floor, Tasks: tasks[point]})
	}
	return stops
}

// Order gives the walking order of points. Own names areas or points (as
// panel.loop.number) in the order in which they are to be seen; the rest follow.
func Order(r *sootline.Register, points []*sootline.Point, own []string) []*sootline.Point {
	turn := func(p *sootline.Point) int {
		for i, name := range own {
			if p.Ref().String() == strings.TrimSpace(name) || fold(p.Area) == fold(name) {
				return i
			}
		}
		return len(own)
	}
	sorted := slices.Clone(points)
	slices.SortStableFunc(sorted, func(a, b *sootline.Point) int { return cmp.Compare(turn(a), turn(b)) })
	var order []*sootline.Point
	for _, group := range runs(sorted, func(a, b *sootline.Point) bool { return turn(a) == turn(b) }) {
		order = append(order, byFloor(r, group)...)
	}
	return order
}

// runs cuts a sorted list where it changes.
func runs(points []*sootline.Point, same func(a, b *sootline.Point) bool) [][]*sootline.Point {
	var all [][]*sootline.Point
	for start := 0; start < len(points); {
		end := start + 1
		for end < len(points) && same(points[start], points[end]) {
			end++
		}
		all = append(all, points[start:end:end])
		start = end
	}
	return all
}

// byFloor goes through the floors from the lowest up; points of which nobody
// says the floor come last.
func byFloor(r *sootline.Register, points []*sootline.Point) []*sootline.Point {
	level := func(p *sootline.Point) int { _, n := FloorOf(r, p); return n }
	name := func(p *sootline.Point) string { n, _ := FloorOf(r, p); return fold(n) }
	sorted := slices.Clone(points)
	slices.SortStableFunc(sorted, func(a, b *sootline.Point) int {
		return cmp.Or(cmp.Compare(level(a), level(b)), cmp.Compare(name(a), name(b)))
	})
	var order []*sootline.Point
	for _, floor := range runs(sorted, func(a, b *sootline.Point) bool { return name(a) == name(b) }) {
		order = append(order, byArea(floor)...)
	}
	return order
}

// byArea goes through the areas of a floor: along the shortest way between their
// middles where every point has a place on the plan, else as the cable comes by.
func byArea(points []*sootline.Point) []*sootline.Point {
	sorted := slices.Clone(points)
	slices.SortStableFunc(sorted, alongCable)
	areas := [][]*sootline.Point{}
	index := map[string]int{}
	for _, p := range sorted {
		i, known := index[fold(p.Area)]
		if !known {
			i = len(areas)
			index[fold(p.Area)] = i
			areas = append(areas, nil)
		}
		areas[i] = append(areas[i], p)
	}
	turns := upTo(len(areas))
	drawn := !slices.ContainsFunc(points, undrawn)
	if drawn {
		middles := make([][2]float64, len(areas))
		for i, area := range areas {
			for _, p := range area {
				middles[i][0] += *p.X / float64(len(area))
				middles[i][1] += *p.Y / float64(len(area))
			}
		}
		turns = fromFirst(Path(between(middles)))
	}
	var order []*sootline.Point
	for _, i := range turns {
		order = append(order, inArea(areas[i], order)...)
	}
	return order
}

func undrawn(p *sootline.Point) bool { return p.X == nil || p.Y == nil }

// fromFirst walks a way from the end that comes first in the order of the cable.
func fromFirst(way []int) []int {
	if len(way) > 1 && way[0] > way[len(way)-1] {
		slices.Reverse(way)
	}
	return way
}

// inArea goes the shortest way through an area where all its points are on the
// plan, beginning at the end that is nearer to where the walk stands; else along
// the cable.
func inArea(points, before []*sootline.Point) []*sootline.Point {
	if slices.ContainsFunc(points, undrawn) {
		return points
	}
	at := make([][2]float64, len(points))
	for i, p := range points {
		at[i] = [2]float64{*p.X, *p.Y}
	}
	way := fromFirst(Path(between(at)))
	if n := len(before); n > 0 && !undrawn(before[n-1]) {
		here := [2]float64{*before[n-1].X, *before[n-1].Y}
		if metres(here, at[way[len(way)-1]]) < metres(here, at[way[0]]) {
			slices.Reverse(way)
		}
	}
	order := make([]*sootline.Point, len(way))
	for i, at := range way {
		order[i] = points[at]
	}
	return order
}

func metres(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

func between(at [][2]float64) Ways {
	w := make(Ways, len(at))
	for i := range at {
		w[i] = make([]float64, len(at))
		for j := range at {
			w[i][j] = metres(at[i], at[j])
		}
	}
	return w
}

// alongCable orders points by panel and loop, and by their turn along it.
func alongCable(a, b *sootline.Point) int {
	return cmp.Or(
		cmp.Compare(len(a.Panel), len(b.Panel)), cmp.Compare(a.Panel, b.Panel),
		cmp.Compare(len(a.Loop), len(b.Loop)), cmp.Compare(a.Loop, b.Loop),
		cmp.Compare(a.Place.Order, b.Place.Order), cmp.Compare(a.Ref().Number, b.Ref().Number),
	)
}

// unknownLevel is above every floor that has a number.
const unknownLevel = 1 << 20

// FloorOf gives the floor of a point and its level, the ground floor being 0:
// the floor on the register, or what stands before the first comma of the
// location text, where that speaks of a floor.
func FloorOf(r *sootline.Register, p *sootline.Point) (name string, level int) {
	name = strings.TrimSpace(r.Floor(p))
	if name == "" {
		first, _, _ := strings.Cut(p.Location, ",")
		if level, ok := levelOf(first); ok {
			return strings.TrimSpace(first), level
		}
		return "", unknownLevel
	}
	if level, ok := levelOf(name); ok {
		return name, level
	}
	if n, err := strconv.Atoi(name); err == nil && n > -1000 && n < 1000 {
		return name, n
	}
	return name, unknownLevel - 1
}

// levelOf reads "Basement", "Ground floor", "Second floor", "Level 3", "3rd floor".
func levelOf(text string) (level int, ok bool) {
	words := strings.Fields(strings.ToLower(text))
	floor := false
	known := false
	sign := 1
	for _, word := range words {
		switch n, err := strconv.Atoi(strings.TrimRight(word, "stndrh")); {
		case word == "floor" || word == "level" || word == "storey":
			floor = true
		case word == "basement" || word == "cellar":
			floor, sign = true, -1
		case word == "ground":
			known = true
		case word == "roof":
			floor, known, level = true, true, 1000
		case err == nil && n > -1000 && n < 1000:
			known, level = true, n
		default:
			if i := slices.Index(ordinals(), word); i >= 0 {
				known, level = true, i+1
			}
		}
	}
	if sign < 0 && (!known || level == 0) {
		return -1, true
	}
	return sign * level, floor && known
}

func ordinals() []string {
	return []string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}
}
