package troubles

import (
	"maps"
	"slices"
)

// signs are what is odd about the answers, beside the register.
type signs struct {
	shown    map[key]Answer
	known    map[string]bool // serials that the register has
	missing  []int           // devices at whose number nothing answers
	odd      []int           // devices at whose number another type or serial answers
	unstable []key
	extra    []key // numbers at which nobody should answer, the unset number left out
	unset    []key
}

func (p *planter) signs(answers []Answer) signs {
	s := signs{shown: map[key]Answer{}, known: map[string]bool{}}
	for _, d := range p.loop.Devices {
		if d.Serial != "" {
			s.known[d.Serial] = true
		}
	}
	for _, a := range answers {
		k := key{a.Module, a.Number}
		s.shown[k] = a
		i, ok := p.on[k]
		switch {
		case a.Number == p.loop.Unset:
			s.unset = append(s.unset, k)
		case !ok:
			s.extra = append(s.extra, k)
		case !p.loop.could(occupant{i, p.loop.Devices[i].Type, ""}, a, s.known):
			s.odd = append(s.odd, i)
		}
		if a.Unstable {
			s.unstable = append(s.unstable, k)
		}
	}
	for _, i := range slices.Sorted(maps.Values(p.on)) {
		if _, ok := s.shown[p.loop.at(i)]; !ok {
			s.missing = append(s.missing, i)
		}
	}
	return s
}

// could says whether an answer may be that of an occupant, by what the register knows.
func (l *Loop) could(o occupant, a Answer, known map[string]bool) bool {
	if a.Type != "" && a.Type != o.typ {
		return false
	}
	if a.Serial == "" {
		return true
	}
	if o.device >= 0 && l.Devices[o.device].Serial != "" {
		return a.Serial == l.Devices[o.device].Serial
	}
	return !known[a.Serial]
}

// fits says whether effects together give the answers.
func (p *planter) fits(all []effect, s signs) bool {
	where := p.loop.occupants(all)
	if len(where) != len(s.shown) {
		return false
	}
	for k, who := range where {
		a, ok := s.shown[k]
		if !ok || a.Unstable && len(who) == 1 ||
			!slices.ContainsFunc(who, func(o occupant) bool { return p.loop.could(o, a, s.known) }) {
			return false
		}
	}
	return true
}

// seen parts the devices of a misreading into those that show it and those that do not.
func (p *planter) seen(e *effect, s signs) {
	if e.cause.Kind != MisreadAll {
		return
	}
	e.cause.Devices, e.cause.Also = nil, nil
	for _, i := range slices.Sorted(maps.Keys(e.carries)) {
		if slices.Contains(s.missing, i) || slices.Contains(s.odd, i) {
			e.cause.Devices = append(e.cause.Devices, i)
		} else {
			e.cause.Also = append(e.cause.Also, i)
		}
	}
}

// explains marks which signs an effect has to do with: bit by bit, in the order missing, odd, unstable, extra, unset.
func (p *planter) explains(e effect, s signs) []uint64 {
	to := map[key]bool{}
	for i, n := range e.carries {
		to[p.loop.key(p.loop.Devices[i].Module, n)] = true
	}
	for i := range e.retyped {
		to[p.loop.at(i)] = true
	}
	for _, x := range e.extra {
		to[x.at] = true
	}
	var marks []bool
	for _, i := range s.missing {
		_, carried := e.carries[i]
		marks = append(marks, carried || e.lost[i])
	}
	for _, i := range s.odd {
		marks = append(marks, to[p.loop.at(i)])
	}
	for _, of := range [][]key{s.unstable, s.extra, s.unset} {
		for _, k := range of {
			marks = append(marks, to[k])
		}
	}
	out := make([]uint64, len(marks)/64+1)
	for i, m := range marks {
		if m {
			out[i/64] |= 1 << (i % 64)
		}
	}
	return out
}

// count is how many signs there are.
func (s signs) count() int {
	return len(s.missing) + len(s.odd) + len(s.unstable) + len(s.extra) + len(s.unset)
}
