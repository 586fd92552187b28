package judge

import (
	"math"
	"strconv"
)

// meaning is what may have been meant by a value that was written: how likely a slip is of that kind, as a
// density at the value that was written.
type meaning struct {
	kind   QuestionKind
	y      float64
	chance float64
}

// misread lists what may have been meant by a value: two digits exchanged, mostly neighbours, or ten times or a tenth of
// it.
func misread(y float64) []meaning {
	if y == 0 || math.Abs(y) > 1e6 {
		return nil
	}
	all := []meaning{{AskFactorTen, y / 10, 0.01}, {AskFactorTen, y * 10, 1}}
	text := []byte(strconv.FormatFloat(math.Abs(y), 'f', -1, 64))
	for i := range text {
		for k := range i {
			if text[i] == '.' || text[k] == '.' || text[i] == text[k] {
				continue
			}
			text[i], text[k] = text[k], text[i]
			meant, _ := strconv.ParseFloat(string(text), 64)
			text[i], text[k] = text[k], text[i]
			all = append(all, meaning{AskTransposed, math.Copysign(meant, y), 0.2 / float64((i-k)*(i-k))})
		}
	}
	return all
}

// anything is the density of what a slip shows, so far from the truth: Cauchy's, one band wide.
func anything(e float64) float64 { return 1 / (math.Pi * (1 + e*e)) }

// branchSlip begins the stories in which a look is not what was shown.
func (f *walker) branchSlip(t *tale, s *seen, x, v, least float64) {
	slip := event{look: s.n, from: s.t, to: s.t}
	if chance := slipChance * wildShare * anything(s.z-x); chance > least {
		slip.kind = AskSlip
		f.ahead = append(f.ahead, f.copied(t, chance, &slip))
	}
	step := max(f.k.quantum, leastStep)
	if off := s.z - x; slipChance/step < least || off*off < v*farOff*farOff {
		return // not even what leaves nothing to chance, or nothing that asks for it
	}
	for i, y := range s.neighbours() {
		if chance := slipChance * neighbours / step; y == s.y && chance > least && s.of.model.points[s.of.place+2*i-1].atHome(s.t) {
			e := slip
			e.kind, e.whose = AskNeighbour, 2*i-1
			f.ahead = append(f.ahead, f.copied(t, chance, &e))
			continue
		}
		z := s.z + (y-s.y)*s.of.looks[s.n].factor/f.k.scale.width
		if math.IsNaN(y) || y == s.y {
			continue
		}
		if chance := s.exchanged(i); chance*normal(z-x, v) > least { // each was written for the other
			e := slip
			e.kind, e.value, e.whose = AskNeighbour, y, 2*i-1
			f.add(f.copied(t, chance, &e), z)
		}
	}
	for _, meant := range misread(s.y) {
		z := s.z + (meant.y-s.y)*s.of.looks[s.n].factor/f.k.scale.width
		if chance := slipChance * meant.chance; chance*normal(z-x, v) > least {
			e := slip
			e.kind, e.value = meant.kind, meant.y
			f.add(f.copied(t, chance, &e), z)
		}
	}
}

// exchanged is the chance that a look and that at a neighbour on its day were each written for the other. Where the looks
// around that of the neighbour do not lead to this value, they were not; where they do, its own look is left
// unexplained otherwise, and so little is needed to believe it.
func (s *seen) exchanged(side int) float64 {
	at := s.of.place + 2*side - 1
	if !s.of.model.points[at].leadsTo(s.t, s.y) {
		return 0
	}
	return bothOdd
}

// atHome reports whether the look of a day agrees with one beside it: else it is no value that the point was known by,
// and cannot have been taken for that of another.
func (p *past) atHome(t float64) bool {
	at := p.lookNear(t)
	if at < 0 {
		return false
	}
	reach := farOff * math.Sqrt(2*p.kin.noise)
	return at > 0 && !p.apart(at) && math.Abs(p.z[at]-p.z[at-1]) <= reach ||
		at+1 < len(p.z) && !p.apart(at+1) && math.Abs(p.z[at+1]-p.z[at]) <= reach
}

// leadsTo reports whether the looks before and after that of a day lie about a value, and that of the day far off it.
func (p *past) leadsTo(t, y float64) bool {
	at := p.lookNear(t)
	if at < 0 {
		return false
	}
	z, reach := p.kin.scale.of(y), farOff*math.Sqrt(2*p.kin.noise)
	n := 0
	for i := at - 1; i >= 0 && n < levelLooks && !p.apart(i+1); i-- {
		if math.Abs(p.z[i]-z) > reach {
			return false
		}
		n++
	}
	if after := at + 1; after < len(p.looks) && !p.apart(after) && math.Abs(p.z[after]-z) > reach {
		return false
	}
	return n >= leastLeading && math.Abs(p.z[at]-z) > reach
}

// mayShow reports whether a value fits among the looks around one, where what was written there does not, nor goes back to
// where it was before the look before.
func (p *past) mayShow(at int, y float64) bool {
	return at >= leastLeading && !p.apart(at) && !p.apart(at-1) && p.follows(at, p.kin.scale.of(y)) && !p.follows(at, p.z[at]) &&
		math.Abs(p.z[at]-p.z[at-2]) > farOff*math.Sqrt(2*p.kin.noise)
}

// follows reports whether the looks around one lead to a level there: it stays or goes on as before, or lies between.
func (p *past) follows(at int, z float64) bool {
	reach := farOff * math.Sqrt(2*p.kin.noise)
	t, was, before := p.looks[at].t, p.looks[at-1].t, p.looks[at-2].t
	on := p.z[at-1]
	if was > before {
		on += (p.z[at-1] - p.z[at-2]) * (t - was) / (was - before)
	}
	if z >= min(on, p.z[at-1])-reach && z <= max(on, p.z[at-1])+reach {
		return true
	}
	after := at + 1
	if after == len(p.looks) || p.apart(after) {
		return false
	}
	between := p.z[at-1] + (p.z[after]-p.z[at-1])*(t-was)/(p.looks[after].t-was)
	return math.Abs(z-between) <= reach
}
