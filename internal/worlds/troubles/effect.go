package troubles

import (
	"maps"
	"math/rand/v2"
	"slices"
)

// key is a number of a range.
type key struct {
	module bool
	number int
}

// stranger is a device that is on no list.
type stranger struct {
	at    key
	typ   string
	print string // its serial
}

// effect is what a cause does to a loop.
type effect struct {
	cause   Cause
	carries map[int]int    // device: the number that it carries
	lost    map[int]bool   // not heard at all
	retyped map[int]string // what is fitted in its stead
	extra   []stranger
}

// at is where a device answers: its range, and the number it should have.
func (l *Loop) at(i int) key { return l.key(l.Devices[i].Module, l.Devices[i].Wanted) }

func (l *Loop) key(module bool, number int) key { return key{l.Separate && module, number} }

// heard says whether a number is asked at all.
func (l *Loop) heard(n int) bool { return n >= l.First && n <= l.Last || n == l.Unset && n > 0 }

// moved is what moving devices to numbers does.
func moved(kind string, to map[int]int) effect {
	return effect{cause: Cause{Kind: kind, Devices: slices.Sorted(maps.Keys(to))}, carries: to}
}

// gone is what losing devices does.
func (l *Loop) gone(kind string, of []int) effect {
	e := effect{cause: Cause{Kind: kind}, lost: map[int]bool{}}
	for _, i := range of {
		e.lost[i] = true
		if l.Devices[i].Wanted > 0 {
			e.cause.Devices = append(e.cause.Devices, i)
		} else {
			e.cause.Also = append(e.cause.Also, i)
		}
	}
	slices.Sort(e.cause.Devices)
	return e
}

// occupant is who answers at a number.
type occupant struct {
	device int // -1: a stranger, or what is fitted in another's stead
	typ    string
	print  string
}

// occupants gives who answers where.
func (l *Loop) occupants(all []effect) map[key][]occupant {
	out := make(map[key][]occupant, len(l.Devices))
	for i, d := range l.Devices {
		o, n, here := occupant{i, d.Type, serial(i)}, d.Wanted, d.Wanted > 0
		for _, e := range all {
			if to, ok := e.carries[i]; ok {
				n = to
			}
			if t, ok := e.retyped[i]; ok {
				o = occupant{-1, t, "N" + serial(i)}
			}
			here = here && !e.lost[i]
		}
		if here && l.heard(n) {
			k := l.key(d.Module, n)
			out[k] = append(out[k], o)
		}
	}
	for _, e := range all {
		for _, s := range e.extra {
			out[s.at] = append(out[s.at], occupant{-1, s.typ, s.print})
		}
	}
	return out
}

// list is what a list tells besides numbers.
type list struct{ types, serials, unstable bool }

// answers gives what is heard, in the order of numbers.
func (l *Loop) answers(rng *rand.Rand, all []effect, tells list) []Answer {
	var out []Answer
	where := l.occupants(all)
	for _, k := range slices.SortedFunc(maps.Keys(where), func(a, b key) int {
		if a.module != b.module {
			if b.module {
				return -1
			}
			return 1
		}
		return a.number - b.number
	}) {
		who := where[k]
		o := who[rng.IntN(len(who))]
		a := Answer{Number: k.number, Module: k.module, Unstable: len(who) > 1 && tells.unstable && rng.IntN(5) < 3}
		if tells.types {
			a.Type = o.typ
		}
		if tells.serials {
			a.Serial = o.print
		}
		out = append(out, a)
	}
	return out
}
