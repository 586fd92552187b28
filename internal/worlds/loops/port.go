package loops

import "math"

// ports is a loop under one fault as its devices see it: the volts that each has without load, and by how much those
// fall for each amp at each device. All the choices of alarms of a small loop are solved on it.
type ports struct {
	net    *net
	point  []int       // of each port
	rest   Operation   // without loads
	falls  [][]float64 // ohms: volts at the first for an amp at the second
	unit   []Operation // how the operation changes for an amp at each port
	v, amp []float64   // working space
}

func newPorts(l *Loop, s State) *ports {
	p := &ports{net: newNet(l, s.Volts, l.cut(s))}
	g, in := p.net.build()
	right := [][]float64{in}
	for i, node := range p.net.plus {
		if node < 0 {
			continue
		}
		b := append([]float64{}, in...)
		b[node]--
		b[p.net.minus[i]]++
		right = append(right, b)
		p.point = append(p.point, i)
	}
	if !g.solve(right...) {
		panic("a net without a solution")
	}
	p.rest = p.net.read(right[0])
	for _, x := range right[1:] {
		p.unit = append(p.unit, less(p.net.read(x), p.rest))
	}
	for _, i := range p.point {
		row := make([]float64, len(p.point))
		for k := range row {
			row[k] = -p.unit[k].Volts[i]
		}
		p.falls = append(p.falls, row)
	}
	p.v, p.amp = make([]float64, len(p.point)), make([]float64, len(p.point))
	return p
}

func less(a, b Operation) Operation {
	for i := range a.Volts {
		a.Volts[i] -= b.Volts[i]
	}
	for i := range a.Carried {
		a.Carried[i] -= b.Carried[i]
	}
	return Operation{a.Volts, a.Out - b.Out, a.In - b.In, a.Carried}
}

// operate finds the upper point of operation: from the volts without load downwards, at first by putting the volts in,
// and where that is slow, or overshoots as constant resistances behind long cable do, by Newton's method.
func (p *ports) operate(draw func(point int, v float64) (amps, slope float64)) (Operation, bool) {
	for k, i := range p.point {
		p.v[k] = p.rest.Volts[i]
	}
	for range 40 {
		moved, ok := p.step(draw)
		if !ok {
			break
		}
		if moved < 1e-12 {
			return p.read(), true
		}
	}
	for k, i := range p.point {
		p.v[k] = p.rest.Volts[i]
	}
	for range 80 {
		moved, ok := p.newton(draw)
		if !ok {
			return Operation{}, false
		}
		if moved < 1e-11 {
			p.currents(draw)
			return p.read(), true
		}
	}
	return Operation{}, false
}

func (p *ports) currents(draw func(int, float64) (float64, float64)) {
	for k, i := range p.point {
		p.amp[k], _ = draw(i, p.v[k])
	}
}

func (p *ports) step(draw func(int, float64) (float64, float64)) (moved float64, ok bool) {
	p.currents(draw)
	for k, i := range p.point {
		v := p.rest.Volts[i]
		for j, r := range p.falls[k] {
			v -= r * p.amp[j]
		}
		moved = max(moved, math.Abs(v-p.v[k]))
		p.v[k] = v
		if v <= 0 {
			return 0, false
		}
	}
	return moved, true
}

func (p *ports) newton(draw func(int, float64) (float64, float64)) (moved float64, ok bool) {
	n := len(p.point)
	g, f := newMatrix(n), make([]float64, n)
	for k, i := range p.point {
		f[k] = p.rest.Volts[i]
		g[k][k] = 1
	}
	for j, i := range p.point {
		amps, slope := draw(i, p.v[j])
		for k := range n {
			f[k] -= p.falls[k][j] * (amps - slope*p.v[j])
			g[k][j] += p.falls[k][j] * slope
		}
	}
	if !g.solve(f) {
		return 0, false
	}
	for k := range f {
		moved = max(moved, math.Abs(f[k]-p.v[k]))
		if f[k] <= 0 {
			return 0, false
		}
	}
	copy(p.v, f)
	return moved, true
}

// read gives the operation at the currents found. Its slices are new.
func (p *ports) read() Operation {
	out := Operation{append([]float64{}, p.rest.Volts...), p.rest.Out, p.rest.In, append([]float64{}, p.rest.Carried...)}
	for j, unit := range p.unit {
		for i := range out.Volts {
			out.Volts[i] += p.amp[j] * unit.Volts[i]
		}
		for i := range out.Carried {
			out.Carried[i] += p.amp[j] * unit.Carried[i]
		}
		out.Out += p.amp[j] * unit.Out
		out.In += p.amp[j] * unit.In
	}
	return out
}
