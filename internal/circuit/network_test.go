package circuit

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// network is a loop as a heap of elements between named nodes, each core for itself: what a circuit simulator takes. It
// is built here from the loop alone, without the package's threading, so that it can contradict it.
type network struct {
	Fixed map[string]float64 `json:"fixed"` // volts against the minus terminals
	R     []element          `json:"r"`
	Loads []element          `json:"loads"`
	Ask   []string           `json:"ask"` // pairs are asked for as plus, minus, plus, minus ...
}

type element struct {
	From  string  `json:"from"`
	To    string  `json:"to"`
	Kind  string  `json:"kind"` // R, I or P
	Value float64 `json:"value"`
}

// spread builds the network of what is fed, with the segments in opened taken out.
func spread(l *Loop, fed []bool, loads []Load, opened map[Segment]Core) *network {
	n := &network{Fixed: map[string]float64{"po": float64(l.Out.Volts), "mo": 0, "pi": float64(l.In.Volts), "mi": 0}}
	before := -1
	for i := range l.Points {
		if l.Points[i].Spur == "" {
			n.cable(l, Segment(i), before, i, fed, opened)
			before = i
			continue
		}
		parent := l.at(l.Points[i].Spur)
		for j := range i {
			if l.Points[j].Spur == l.Points[i].Spur {
				parent = j
			}
		}
		n.cable(l, Segment(i), parent, i, fed, opened)
	}
	n.cable(l, l.ReturnSegment(), before, len(l.Points), fed, opened)
	for i, load := range loads {
		if fed[i] {
			n.Ask = append(n.Ask, plus(i), minus(i))
			if load.Value > 0 {
				n.Loads = append(n.Loads, element{plus(i), minus(i), string("IRP"[load.Kind]), load.Value})
			}
		}
	}
	return n
}

func plus(i int) string  { return fmt.Sprintf("p%d", i) }
func minus(i int) string { return fmt.Sprintf("m%d", i) }

// cable puts both cores of one cable in, unless an end is dead or it is cut.
func (n *network) cable(l *Loop, s Segment, from, to int, fed []bool, opened map[Segment]Core) {
	cable, end := l.Return, End{}
	fromP, fromM, toP, toM := "po", "mo", "pi", "mi"
	if from >= 0 {
		fromP, fromM = plus(from), minus(from)
	} else {
		end = l.Out
	}
	if to < len(l.Points) {
		cable, toP, toM = l.Points[to].Cable, plus(to), minus(to)
	} else {
		end = End{Plus: end.Plus + l.In.Plus, Minus: end.Minus + l.In.Minus}
	}
	core, cut := opened[s]
	if from >= 0 && !fed[from] || to < len(l.Points) && !fed[to] || cut && core == BothCores {
		return
	}
	rp, rm, err := cable.Cores()
	if err != nil {
		panic(err)
	}
	rp, rm = rp+end.Plus, rm+end.Minus
	for _, iso := range l.Isolators {
		at := l.at(iso.Point)
		share := Ohms(0)
		onSpur := to < len(l.Points) && l.Points[to].Spur != ""
		fromSpur := from >= 0 && l.Points[from].Spur != ""
		switch {
		case at == from && iso.Side == Branch && onSpur && !fromSpur, at == to && iso.Side == Before, at == from && iso.Side == After && onSpur == fromSpur:
			share = 1
		case iso.Side == Base && (at == to || at == from && onSpur == fromSpur):
			share = 0.5
		}
		rp, rm = rp+share*iso.Plus, rm+share*iso.Minus
	}
	if !cut || core != PlusCore {
		n.R = append(n.R, element{fromP, toP, "R", float64(rp)})
	}
	if !cut || core != MinusCore {
		n.R = append(n.R, element{fromM, toM, "R", float64(rm)})
	}
}

// dense solves the network by Newton's method with gonum's LU on a full matrix.
func (n *network) dense() (map[string]float64, bool) {
	index := map[string]int{}
	volts := map[string]float64{}
	for name, v := range n.Fixed {
		volts[name] = v
	}
	for _, e := range slices.Concat(n.R, n.Loads) {
		for _, name := range []string{e.From, e.To} {
			if _, known := volts[name]; known {
				continue
			}
			index[name] = len(index)
			volts[name] = 0
			if name[0] == 'p' {
				volts[name] = max(n.Fixed["po"], n.Fixed["pi"])
			}
		}
	}
	for range 100 {
		var x mat.VecDense
		a, b := n.tangent(index, volts)
		if err := x.SolveVec(a, b); err != nil {
			return nil, false
		}
		moved := 0.0
		for name, i := range index {
			moved = max(moved, math.Abs(volts[name]-x.AtVec(i)))
			volts[name] = x.AtVec(i)
		}
		if moved < 1e-10 {
			return volts, true
		}
	}
	return nil, false
}

// tangent stamps every element, the loads by their tangents at the given volts.
func (n *network) tangent(index map[string]int, volts map[string]float64) (*mat.Dense, *mat.VecDense) {
	m := len(index)
	a, b := mat.NewDense(m, m, nil), mat.NewVecDense(m, nil)
	stamp := func(e element, g, current float64) { // current = g (v_from - v_to) + current
		for side, name := range []string{e.From, e.To} {
			i, ok := index[name]
			if !ok {
				continue
			}
			other := []string{e.To, e.From}[side]
			a.Set(i, i, a.At(i, i)+g)
			if j, ok := index[other]; ok {
				a.Set(i, j, a.At(i, j)-g)
			} else {
				b.SetVec(i, b.AtVec(i)+g*n.Fixed[other])
			}
			b.SetVec(i, b.AtVec(i)-[]float64{1, -1}[side]*current)
		}
	}
	for _, e := range slices.Concat(n.R, n.Loads) {
		switch v := volts[e.From] - volts[e.To]; e.Kind {
		case "I":
			stamp(e, 0, e.Value)
		case "R":
			stamp(e, 1/e.Value, 0)
		case "P":
			stamp(e, -e.Value/v/v, 2*e.Value/v)
		}
	}
	return a, b
}

// drawLoop draws a loop of up to most points: spurs, isolators of every kind, uneven cores, mixed loads.
func drawLoop(t *rapid.T, most int, kinds int) Loop {
	ohms := rapid.Float64Range(0.05, 2)
	end := func(name string) End {
		return End{Volts: 24, Plus: Ohms(rapid.Float64Range(0, 2).Draw(t, name+"+")), Minus: Ohms(rapid.Float64Range(0, 1).Draw(t, name+"-"))}
	}
	l := Loop{Name: "drawn", Out: end("out"), In: end("in")}
	cable := func() Cable {
		return Cable{Metres: 10, Plus: Ohms(ohms.Draw(t, "r+")), Minus: Ohms(ohms.Draw(t, "r-"))}
	}
	var ring []string
	for i := range rapid.IntRange(1, most).Draw(t, "points") {
		p := Point{Name: fmt.Sprint("P", i), Cable: cable(), Counted: true, Least: 10}
		if len(ring) > 0 && rapid.IntRange(0, 3).Draw(t, "on spur") == 0 {
			p.Spur = rapid.SampledFrom(ring).Draw(t, "spur")
		} else {
			ring = append(ring, p.Name)
		}
		draw := func(name string) Load {
			load := Load{LoadKind(rapid.IntRange(0, kinds-1).Draw(t, name)), float64(rapid.IntRange(0, 20).Draw(t, name)) / 1000}
			if load.Value > 0 && load.Kind != Current {
				watts := 24 * load.Value
				load.Value = watts
				if load.Kind == Resistance {
					load.Value = 24 * 24 / watts
				}
			}
			return load
		}
		if p.Rest = draw("rest"); kinds == 1 {
			p.Alarm = In(Amps(p.Rest.Value + rapid.Float64Range(0, 0.03).Draw(t, "more")))
		} else {
			p.Alarm = Load{p.Rest.Kind, p.Rest.Value * 2}
			if p.Rest.Kind == Resistance {
				p.Alarm.Value = p.Rest.Value / 2
			}
		}
		l.Points = append(l.Points, p)
	}
	l.Return = cable()
	for i := range l.Points {
		if rapid.IntRange(0, 2).Draw(t, "isolator") > 0 {
			continue
		}
		iso := Isolator{Point: l.Points[i].Name, Side: Side(rapid.IntRange(0, 2).Draw(t, "side")), Plus: Ohms(rapid.Float64Range(0, 0.5).Draw(t, "iso+"))}
		if rapid.Bool().Draw(t, "both cores") {
			iso.Minus = iso.Plus
		}
		l.Isolators = append(l.Isolators, iso)
	}
	for _, name := range ring {
		hangs := slices.ContainsFunc(l.Points, func(p Point) bool { return p.Spur == name })
		if hangs && rapid.IntRange(0, 2).Draw(t, "branch isolator") == 0 {
			l.Isolators = append(l.Isolators, Isolator{Point: name, Side: Branch, Plus: 0.2})
		}
	}
	return l
}

func drawFaults(t *rapid.T, l *Loop) []Fault {
	var faults []Fault
	for range rapid.IntRange(0, 2).Draw(t, "faults") {
		faults = append(faults, Fault{
			Kind:    FaultKind(rapid.IntRange(0, 1).Draw(t, "kind")),
			Segment: Segment(rapid.IntRange(0, len(l.Points)).Draw(t, "segment")),
		})
	}
	if len(faults) == 1 && faults[0].Kind == Open {
		faults[0].Core = Core(rapid.IntRange(0, 2).Draw(t, "core"))
	}
	return faults
}

// edge is a cable between two nodes, -1 being the panel's OUT and len(Points) its IN, with an isolator or none at each end.
type edge struct {
	a, b       int
	isoA, isoB bool
}

func (l *Loop) onSpur(i int) bool { return i >= 0 && i < len(l.Points) && l.Points[i].Spur != "" }

// edges lists the cables by segment.
func edges(l *Loop) []edge {
	n := len(l.Points)
	var list []edge
	before := -1
	last := map[string]int{}
	for i := range l.Points {
		p := &l.Points[i]
		from := before
		if p.Spur == "" {
			before = i
		} else {
			from = l.at(p.Spur)
			if at, ok := last[p.Spur]; ok {
				from = at
			}
			last[p.Spur] = i
		}
		list = append(list, edge{a: from, b: i})
	}
	list = append(list, edge{a: before, b: n})
	for k := range list {
		e := &list[k]
		e.isoA, e.isoB = e.a < 0, e.b == n
		for _, iso := range l.Isolators {
			at := l.at(iso.Point)
			tee := l.onSpur(e.b) && !l.onSpur(e.a) // the first cable of a spur
			e.isoA = e.isoA || at == e.a && (iso.Side == Branch && tee || (iso.Side == After || iso.Side == Base) && !tee)
			e.isoB = e.isoB || at == e.b && (iso.Side == Before || iso.Side == Base)
		}
	}
	return list
}

// flood works out what faults leave fed by walking the graph of cables.
func flood(l *Loop, faults []Fault) (fed []bool, opened map[Segment]Core) {
	list := edges(l)
	opened = map[Segment]Core{}
	lost := map[int]bool{}
	for _, f := range faults { // breaks first, for a short does not pass them
		if f.Kind == Open {
			opened[f.Segment] = f.Core
			if l.onSpur(list[f.Segment].b) {
				opened[f.Segment] = BothCores
			}
		}
	}
	for _, f := range faults {
		if f.Kind == Short {
			burn(list, int(f.Segment), opened, lost)
		}
	}
	n := len(l.Points)
	fed = make([]bool, n)
	reached := map[int]bool{-1: true, n: true}
	for changed := true; changed; {
		changed = false
		for k, e := range list {
			if core, cut := opened[Segment(k)]; cut && core == BothCores {
				continue
			}
			for _, pair := range [][2]int{{e.a, e.b}, {e.b, e.a}} {
				if to := pair[1]; reached[pair[0]] && !reached[to] && !lost[to] {
					reached[to], fed[to], changed = true, true, true
				}
			}
		}
	}
	return fed, opened
}

// burn spreads a short from one cable through every node until isolators and breaks stop it.
func burn(list []edge, at int, opened map[Segment]Core, lost map[int]bool) {
	queue := []int{at}
	opened[Segment(at)] = BothCores
	for len(queue) > 0 {
		e := list[queue[0]]
		queue = queue[1:]
		for i, node := range []int{e.a, e.b} {
			if []bool{e.isoA, e.isoB}[i] || lost[node] {
				continue
			}
			lost[node] = true
			for k, g := range list {
				_, done := opened[Segment(k)]
				if !done && (g.a == node && !g.isoA || g.b == node && !g.isoB) {
					opened[Segment(k)] = BothCores
					queue = append(queue, k)
				}
			}
		}
	}
}
