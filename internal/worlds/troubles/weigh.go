package troubles

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// margin is by how much two explanations may differ in weight and still be called equally likely.
const margin = 2

// weigh says how unlikely a cause is, ten being that of one device that does not answer. From memory, no source; what
// matters is the order: one cause before two, a short before two openings, few unset devices before many, one device set
// wrongly before a run of them. All devices unset, with nothing else heard, are one cause: the box was just opened.
func (p *planter) weigh(e effect, s signs) int {
	n := len(e.cause.Devices)
	switch e.cause.Kind {
	case Unset:
		if n == len(p.on) {
			return 10
		}
		return 10 + 4*max(0, n-1)
	case NotOnRegister:
		if e.cause.Number == p.loop.Unset && len(s.missing) > 0 {
			return 15
		}
	case Exchanged:
		return 11
	case Short:
		return 12
	case Doubled:
		return 13
	case Ring:
		return 9 + 3*n
	case Shifted:
		return 16
	case Open:
		return 16
	case MisreadAll:
		return 20
	}
	return 10
}

// judged weighs the planted causes against all others that give the same answers. It is false where the planted ones leave
// no trace, or are not among the likeliest.
func (p *planter) judged(truth []effect, s signs) (equal [][]Cause, ok bool) {
	if p.fits(nil, s) || len(truth) == 2 && (p.fits(truth[:1], s) || p.fits(truth[1:], s)) {
		return nil, false
	}
	most := margin
	for _, e := range truth {
		most += p.weigh(e, s)
	}
	least := most - 2*margin
	once := map[string]bool{name(causes(truth)): true}
	for _, other := range p.others(most, s) {
		weight := 0
		for _, e := range other {
			weight += p.weigh(e, s)
		}
		said := name(causes(other))
		if once[said] || !p.fits(other, s) {
			continue
		}
		if weight < least {
			return nil, false
		}
		once[said] = true
		equal = append(equal, causes(other))
	}
	return equal, true
}

// others gives the rivals, alone and in pairs, that touch all signs and weigh no more than the most.
func (p *planter) others(most int, s signs) [][]effect {
	all := p.rivals(s)
	marks := make([][]uint64, len(all))
	weights := make([]int, len(all))
	for i, e := range all {
		marks[i], weights[i] = p.explains(e, s), p.weigh(e, s)
	}
	var out [][]effect
	for i := range all {
		if weights[i] <= most && full(marks[i], marks[i], s.count()) {
			out = append(out, []effect{all[i]})
		}
		for k := range i {
			if weights[i]+weights[k] <= most && full(marks[i], marks[k], s.count()) && !meet(all[i], all[k]) {
				out = append(out, []effect{all[i], all[k]})
			}
		}
	}
	return out
}

// full says whether two sets of marks together have all n.
func full(a, b []uint64, n int) bool {
	for i := range a {
		want := ^uint64(0)
		if left := n - 64*i; left < 64 {
			want = 1<<max(0, left) - 1
		}
		if (a[i]|b[i])&want != want {
			return false
		}
	}
	return true
}

// meet says whether two effects move or lose one device.
func meet(a, b effect) bool {
	for i := range a.carries {
		if _, ok := b.carries[i]; ok || b.lost[i] {
			return true
		}
	}
	for i := range a.lost {
		if _, ok := b.carries[i]; ok || b.lost[i] {
			return true
		}
	}
	return false
}

func causes(of []effect) []Cause {
	var out []Cause
	for _, e := range of {
		out = append(out, e.cause)
	}
	return out
}

// name spells causes in one way, whatever their order.
func name(of []Cause) string {
	var out []string
	for _, c := range of {
		devices := slices.Sorted(slices.Values(c.Devices))
		out = append(out, fmt.Sprint(c.Kind, devices, c.Number, c.Module))
	}
	slices.SortFunc(out, cmp.Compare)
	return strings.Join(out, "; ")
}
