package troubles

import "math/rand/v2"

// tries is how many loops and causes are drawn before kinds are said to leave no trace that tells them from others.
const tries = 400

// Make plants causes of the kinds on a random loop, by a seed: one seed, one trouble. Without kinds nothing is wrong. Truth
// is nil with no answers where nothing was found to plant.
func Make(seed uint64, kinds ...string) Trouble {
	for try := range uint64(tries) {
		if t, ok := drawn(rand.New(rand.NewPCG(seed, try)), kinds); ok {
			return t
		}
	}
	return Trouble{}
}

func drawn(rng *rand.Rand, kinds []string) (Trouble, bool) {
	l := drawLoop(rng)
	p := newPlanter(rng, &l)
	var truth []effect
	for _, kind := range kinds {
		e, ok := p.plantApart(kind, truth)
		if !ok {
			return Trouble{}, false
		}
		truth = append(truth, e)
	}
	t := Trouble{Loop: l, By: "panel"}
	tells := list{types: rng.IntN(5) > 0, unstable: true}
	tells.serials = tells.types && rng.IntN(2) == 0
	if rng.IntN(5) == 0 {
		t.By, tells.unstable = "person", false
	}
	t.Answers = l.answers(rng, truth, tells)
	s := p.signs(t.Answers)
	for i := range truth {
		p.seen(&truth[i], s)
		if c := truth[i].cause; c.Kind == MisreadAll && len(c.Devices) < 4 {
			return Trouble{}, false
		}
	}
	t.Truth = causes(truth)
	if len(kinds) == 0 {
		return t, true
	}
	equal, ok := p.judged(truth, s)
	t.Equal = append(equal, t.unnamed()...)
	return t, ok
}

// plantApart draws a cause that has no device and no number in common with those before.
func (p *planter) plantApart(kind string, before []effect) (effect, bool) {
	for range 20 {
		e, ok := p.plant(kind)
		for _, other := range before {
			ok = ok && !p.overlap(e, other)
		}
		if ok {
			return e, true
		}
	}
	return effect{}, false
}

// overlap says whether two effects have a number in common, as it should be or as it is.
func (p *planter) overlap(a, b effect) bool {
	mine := p.numbers(a)
	for k := range p.numbers(b) {
		if mine[k] {
			return true
		}
	}
	return false
}

func (p *planter) numbers(e effect) map[key]bool {
	out := map[key]bool{}
	for i, n := range e.carries {
		out[p.loop.at(i)] = true
		out[p.loop.key(p.loop.Devices[i].Module, n)] = true
	}
	for i := range e.lost {
		if p.loop.Devices[i].Wanted > 0 {
			out[p.loop.at(i)] = true
		}
	}
	for i := range e.retyped {
		out[p.loop.at(i)] = true
	}
	for _, x := range e.extra {
		out[x.at] = true
	}
	return out
}

// unnamed is another way to say that an unlisted device is at the unset number: unset, without naming anybody.
func (t Trouble) unnamed() [][]Cause {
	for i, c := range t.Truth {
		if c.Kind == NotOnRegister && c.Number == t.Unset {
			other := append([]Cause{{Kind: Unset}}, t.Truth[:i]...)
			return [][]Cause{append(other, t.Truth[i+1:]...)}
		}
	}
	return nil
}
