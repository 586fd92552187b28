package troubles

import (
	"math/rand/v2"
	"slices"
	"strings"
)

// planter draws causes on a loop.
type planter struct {
	rng  *rand.Rand
	loop *Loop
	free map[key]bool // numbers of the span that nobody should have
	on   map[key]int  // first number: the device that should have it
}

func newPlanter(rng *rand.Rand, l *Loop) *planter {
	p := &planter{rng: rng, loop: l, free: map[key]bool{}, on: map[key]int{}}
	for n := l.First; n <= l.Last; n++ {
		p.free[key{false, n}] = true
		if l.Separate {
			p.free[key{true, n}] = true
		}
	}
	for i, d := range l.Devices {
		if d.Wanted > 0 {
			p.on[l.at(i)] = i
		}
		for n := range d.Width {
			delete(p.free, l.key(d.Module, d.Wanted+n))
		}
	}
	return p
}

// plant draws a cause of a kind; false where this loop has none.
func (p *planter) plant(kind string) (effect, bool) {
	draw := map[string]func() (effect, bool){
		Unset: p.unset, Exchanged: func() (effect, bool) { return p.circle(Exchanged, 2) },
		Ring:    func() (effect, bool) { return p.circle(Ring, 3+p.rng.IntN(3)) },
		Doubled: p.doubled, Misset: p.misset, Shifted: p.shifted, Silent: p.silent, OtherType: p.otherType,
		NotOnRegister: p.stranger, Open: p.open, Short: p.short, MisreadAll: p.misread,
	}[kind]
	return draw()
}

// device gives any device that takes one number alone.
func (p *planter) device() int {
	for {
		if i := p.rng.IntN(len(p.loop.Devices)); p.loop.Devices[i].Width == 1 {
			return i
		}
	}
}

// devices gives n different ones of one range.
func (p *planter) devices(n int) ([]int, bool) {
	var out []int
	for range 200 {
		i := p.device()
		if !slices.Contains(out, i) && (len(out) == 0 || p.loop.at(i).module == p.loop.at(out[0]).module) {
			out = append(out, i)
		}
		if len(out) == n {
			return out, true
		}
	}
	return nil, false
}

func (p *planter) unset() (effect, bool) {
	if p.loop.Unset == 0 {
		return effect{}, false
	}
	to := map[int]int{}
	switch p.rng.IntN(6) {
	case 0: // fresh from the box, all of them
		for i, d := range p.loop.Devices {
			if d.Wanted > 0 {
				to[i] = p.loop.Unset
			}
		}
	case 1, 2: // neighbours
		at := p.device()
		for i := at; i < min(at+2+p.rng.IntN(3), len(p.loop.Devices)); i++ {
			if p.loop.Devices[i].Wanted > 0 {
				to[i] = p.loop.Unset
			}
		}
	default:
		for range 1 + p.rng.IntN(5) {
			to[p.device()] = p.loop.Unset
		}
	}
	return moved(Unset, to), true
}

// circle has n devices carry the next one's number.
func (p *planter) circle(kind string, n int) (effect, bool) {
	of, ok := p.devices(n)
	to := map[int]int{}
	for k, i := range of {
		to[i] = p.loop.Devices[of[(k+1)%n]].Wanted
	}
	return moved(kind, to), ok
}

func (p *planter) doubled() (effect, bool) {
	of, ok := p.devices(2)
	if !ok {
		return effect{}, false
	}
	e := moved(Doubled, map[int]int{of[0]: p.loop.Devices[of[1]].Wanted})
	e.cause.Devices = of
	return e, true
}

func (p *planter) misset() (effect, bool) {
	i := p.device()
	d := p.loop.Devices[i]
	for range 20 {
		n := slip(p.rng, p.loop.setter(d.Type), d.Wanted)
		if p.free[p.loop.key(d.Module, n)] {
			return moved(Misset, map[int]int{i: n}), true
		}
	}
	return effect{}, false
}

// slip is a number wrong as a hand makes it: one switch, one notch of a dial, digits the wrong way round.
func slip(rng *rand.Rand, setter string, n int) int {
	switch {
	case strings.HasPrefix(setter, "switches"):
		return n ^ 1<<rng.IntN(8)
	case rng.IntN(3) == 0 && n < 100:
		return n%10*10 + n/10
	}
	return n + []int{1, -1, 10, -10}[rng.IntN(4)]
}

// setter says how a type is set.
func (l *Loop) setter(name string) string {
	for _, t := range l.Types {
		if t.Name == name {
			return t.Setter
		}
	}
	return ""
}

func (p *planter) shifted() (effect, bool) {
	step := 1 - 2*p.rng.IntN(2)
	run := p.run(p.device(), step)
	if len(run) < 3 {
		return effect{}, false
	}
	return p.shift(run[:min(len(run), 3+p.rng.IntN(10))], step), true
}

// run gives the devices whose numbers follow a device's in the direction of a step, itself first.
func (p *planter) run(from, step int) []int {
	var out []int
	k := p.loop.at(from)
	for {
		i, ok := p.on[k]
		if !ok || p.loop.Devices[i].Width > 1 {
			return out
		}
		out = append(out, i)
		k.number += step
	}
}

func (p *planter) shift(run []int, step int) effect {
	to := map[int]int{}
	for _, i := range run {
		to[i] = p.loop.Devices[i].Wanted + step
	}
	return moved(Shifted, to)
}

func (p *planter) silent() (effect, bool) { return p.loop.gone(Silent, []int{p.device()}), true }

func (p *planter) otherType() (effect, bool) {
	i := p.device()
	was := p.loop.Devices[i]
	t := families[p.rng.IntN(len(families))]
	return retyped(i, t.Name), t.Name != was.Type && t.Module == was.Module
}

func retyped(i int, typ string) effect {
	return effect{cause: Cause{Kind: OtherType, Devices: []int{i}}, retyped: map[int]string{i: typ}}
}

func (p *planter) stranger() (effect, bool) {
	t := p.loop.Types[p.rng.IntN(len(p.loop.Types))]
	k := p.loop.key(t.Module, p.loop.First+p.rng.IntN(p.loop.Last-p.loop.First+1))
	if p.rng.IntN(5) == 0 {
		k.number = p.loop.Unset
	} else if !p.free[k] {
		return effect{}, false
	}
	return answering(stranger{k, t.Name, "X" + serial(k.number)}), k.number > 0 && t.Device != "isolator"
}

func answering(s stranger) effect {
	return effect{cause: Cause{Kind: NotOnRegister, Number: s.at.number, Module: s.at.module}, extra: []stranger{s}}
}

func (p *planter) open() (effect, bool) {
	lost, ring, spurs := []int(nil), p.loop.ring(), p.loop.spurs()
	if len(spurs) > 0 && p.rng.IntN(2) == 0 {
		spur := spurs[p.rng.IntN(len(spurs))]
		lost = spur[p.rng.IntN(len(spur)-1):]
	} else {
		from := p.rng.IntN(len(ring))
		lost = p.loop.behind(ring[from:min(from+2+p.rng.IntN(20), len(ring))])
	}
	e := p.loop.gone(Open, lost)
	return e, len(e.cause.Devices) > 1 && len(e.cause.Devices) < len(p.on)
}

func (p *planter) short() (effect, bool) {
	all := p.loop.sections()
	if len(all) == 0 {
		return effect{}, false
	}
	e := p.loop.gone(Short, all[p.rng.IntN(len(all))])
	return e, len(e.cause.Devices) > 1
}
