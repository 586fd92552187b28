package design

import "math"

// Area is a rectangle of a floor and what it wants.
type Area struct {
	Name  string
	Floor int
	// Metres from a corner that all floors share.
	X, Y, W, H float64
	Wants      []Want
}

// Want is how many devices of a type an area wants.
type Want struct {
	Type  string
	Count int
	Takes int // numbers that each takes; 0: one
}

// Place is where a device is to be.
type Place struct {
	X, Y  float64
	Floor int
	Area  int // of [Building.Areas]
	Type  string
	Takes int // numbers; 0: one
}

func (p *Place) takes() int { return max(p.Takes, 1) }

// Building is what is known of a building before there is a register.
type Building struct {
	Areas  []Area
	Risers [][2]float64 // where cable goes from floor to floor
	Storey float64      // metres from floor to floor
	Slack  float64      // metres of cable that each device takes besides
	Panel  Place
}

// Places puts the devices of an area on a grid as square as can be, row by row, to and fro, each type spread evenly among
// the others.
func (b *Building) Places(area int) []Place {
	a := &b.Areas[area]
	types := a.spread()
	n := len(types)
	if n == 0 {
		return nil
	}
	across := max(1, int(math.Ceil(math.Sqrt(float64(n)*a.W/a.H))))
	rows := (n + across - 1) / across
	list := make([]Place, n)
	for k, want := range types {
		row, col := k/across, k%across
		if row%2 == 1 {
			col = across - 1 - col
		}
		list[k] = Place{
			X: a.X + a.W*(float64(col)+0.5)/float64(across), Y: a.Y + a.H*(float64(row)+0.5)/float64(rows),
			Floor: a.Floor, Area: area, Type: want.Type, Takes: want.Takes,
		}
	}
	return list
}

// spread gives what stands at each place of the grid in turn: the type that lies furthest behind its share so far.
func (a *Area) spread() []Want {
	total := 0
	for _, w := range a.Wants {
		total += w.Count
	}
	had := make([]int, len(a.Wants))
	var list []Want
	for k := range total {
		next, lack := -1, math.Inf(-1)
		for i, w := range a.Wants {
			if due := float64((k+1)*w.Count)/float64(total) - float64(had[i]); had[i] < w.Count && due > lack+1e-12 {
				next, lack = i, due
			}
		}
		had[next]++
		list = append(list, a.Wants[next])
	}
	return list
}

// Metres gives the cable between two places: across and along on a floor; from floor to floor through the riser that makes
// it shortest.
func (b *Building) Metres(p, q *Place) float64 {
	if p.Floor == q.Floor {
		return math.Abs(p.X-q.X) + math.Abs(p.Y-q.Y)
	}
	best := math.Inf(1)
	for _, r := range b.Risers {
		best = min(best, math.Abs(p.X-r[0])+math.Abs(p.Y-r[1])+math.Abs(q.X-r[0])+math.Abs(q.Y-r[1]))
	}
	return best + b.Storey*math.Abs(float64(p.Floor-q.Floor))
}

// Stretches gives the metres of each stretch of a loop through the places, the way back last. Each but that has the slack
// of its device.
func (b *Building) Stretches(places []Place, loop []int) []float64 {
	list := make([]float64, 0, len(loop)+1)
	at := &b.Panel
	for _, k := range loop {
		list = append(list, b.Metres(at, &places[k])+b.Slack)
		at = &places[k]
	}
	return append(list, b.Metres(at, &b.Panel))
}
