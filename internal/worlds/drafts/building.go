package drafts

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// Sort is a sort of device.
type Sort string

// The sorts of device.
const (
	Detector  Sort = "detector"
	CallPoint Sort = "call point"
	Sounder   Sort = "sounder"
)

// Area is a rectangle of a floor, in metres from the corner of the building, and how many devices of each sort it wants.
type Area struct {
	Name       string
	Floor      int
	X, Y, W, H float64
	Detectors  int
	CallPoints int
	Sounders   int
}

// Building is what is known before there is a register.
type Building struct {
	Name   string
	Areas  []Area
	Risers [][2]float64
	Storey float64 // metres from floor to floor
	Panel  Place
	Most   int // devices that a loop of the panel takes
}

// Place is where a device is.
type Place struct {
	X, Y  float64
	Floor int
	Area  int // of [Building.Areas]
	Sort  Sort
}

// Slack is the cable that each device takes besides: down from the ceiling and back, and its loops of spare.
const Slack = 1.0

// Counts gives how many devices an area wants.
func (a Area) Counts() int { return a.Detectors + a.CallPoints + a.Sounders }

// Places gives where every device is, area by area: on a grid as square as can be, row by row, to and fro. The sounders
// and call points are spread evenly among the detectors.
func (b Building) Places() []Place {
	var out []Place
	for i, a := range b.Areas {
		n, sorts := a.Counts(), a.sorts()
		across := max(1, int(math.Ceil(math.Sqrt(float64(n)*a.W/a.H))))
		rows := (n + across - 1) / across
		for k := range n {
			row, col := k/across, k%across
			if row%2 == 1 {
				col = across - 1 - col
			}
			out = append(out, Place{
				X: a.X + a.W*(float64(col)+0.5)/float64(across), Y: a.Y + a.H*(float64(row)+0.5)/float64(rows),
				Floor: a.Floor, Area: i, Sort: sorts[k],
			})
		}
	}
	return out
}

// sorts gives what stands at each place in turn: of every sort its share of the places so far.
func (a Area) sorts() []Sort {
	want := map[Sort]int{Sounder: a.Sounders, CallPoint: a.CallPoints, Detector: a.Detectors}
	had := map[Sort]int{}
	var out []Sort
	for k := range a.Counts() {
		best, lacks := Detector, math.Inf(-1)
		for _, s := range []Sort{Sounder, CallPoint, Detector} {
			if due := float64((k+1)*want[s])/float64(a.Counts()) - float64(had[s]); had[s] < want[s] && due > lacks {
				best, lacks = s, due
			}
		}
		had[best]++
		out = append(out, best)
	}
	return out
}

// Metres gives the cable between two places.
func (b Building) Metres(p, q Place) float64 {
	flat := func(x1, y1, x2, y2 float64) float64 { return math.Abs(x1-x2) + math.Abs(y1-y2) }
	if p.Floor == q.Floor {
		return flat(p.X, p.Y, q.X, q.Y)
	}
	best := math.Inf(1)
	for _, r := range b.Risers {
		best = min(best, flat(p.X, p.Y, r[0], r[1])+flat(r[0], r[1], q.X, q.Y))
	}
	return best + b.Storey*math.Abs(float64(p.Floor-q.Floor))
}

// Ten gives the ten buildings, from some twenty devices to some hundreds on several loops.
func Ten() []Building {
	var out []Building
	for k, size := range []struct{ floors, areas, most int }{
		{1, 2, 126}, {1, 4, 126}, {2, 2, 126}, {2, 5, 126}, {3, 4, 126}, {4, 4, 126}, {3, 8, 99}, {5, 5, 126}, {6, 6, 126}, {8, 6, 126},
	} {
		out = append(out, draw(fmt.Sprint("building ", k+1), size.floors, size.areas, size.most, uint64(k)))
	}
	return out
}

// draw draws a building whose floors are alike in outline: areas side by side in two rows along a corridor.
func draw(name string, floors, areas, most int, seed uint64) Building {
	rng := rand.New(rand.NewPCG(seed, 30))
	b := Building{Name: name, Storey: 3.2 + math.Round(10*rng.Float64())/10, Most: most}
	width, depth := math.Round(15+float64(areas)*(4+8*rng.Float64())), math.Round(14+16*rng.Float64())
	b.Risers = [][2]float64{{math.Round(width * 0.1), depth / 2}}
	if rng.IntN(2) == 0 {
		b.Risers = append(b.Risers, [2]float64{math.Round(width * 0.9), depth / 2})
	}
	b.Panel = Place{X: math.Round(width * rng.Float64()), Y: 0}
	for floor := range floors {
		for k := range areas {
			columns := (areas + 1) / 2
			a := Area{Name: fmt.Sprintf("%d.%d", floor, k+1), Floor: floor, W: width / float64(columns), H: depth / 2}
			a.X, a.Y = a.W*float64(k%columns), a.H*float64(k/columns)
			// A detector for 15 to 45 m2, a call point where people leave, a sounder in two areas of three.
			a.Detectors = max(1, int(a.W*a.H/(15+30*rng.Float64())))
			a.CallPoints, a.Sounders = ones[k%3 == 0], ones[k%3 > 0]
			b.Areas = append(b.Areas, a)
		}
	}
	return b
}

var ones = map[bool]int{true: 1}
