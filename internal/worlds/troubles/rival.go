package troubles

import "slices"

// rivals gives the single causes that could have to do with the signs. It is not complete: of stretches it knows the
// longest and those one shorter at either end, of unset devices all, one, all but one and all outside a stretch or misreading.
func (p *planter) rivals(s signs) []effect {
	var out []effect
	for _, i := range s.missing {
		out = append(out, p.loop.gone(Silent, []int{i}))
		for _, k := range s.extra {
			out = append(out, moved(Misset, map[int]int{i: k.number}))
		}
		out = append(out, p.doubles(i, s)...)
		out = append(out, p.shifts(i, 1, s)...)
		out = append(out, p.shifts(i, -1, s)...)
	}
	for _, i := range s.odd {
		out = append(out, retyped(i, s.shown[p.loop.at(i)].Type))
	}
	for _, k := range slices.Concat(s.extra, s.unset) {
		out = append(out, answering(stranger{at: k, typ: s.shown[k].Type}))
	}
	out = append(out, p.circles(s)...)
	stretches := p.stretches(s)
	out = append(out, stretches...)
	misreads := p.misreads(s)
	out = append(out, p.unsets(s, slices.Concat(stretches, misreads))...)
	return append(out, misreads...)
}

func (p *planter) doubles(i int, s signs) []effect {
	var out []effect
	for k, a := range s.shown {
		with, ok := p.on[k]
		if !ok || k.module != p.loop.at(i).module || !a.Unstable && !slices.Contains(s.odd, with) {
			continue
		}
		e := moved(Doubled, map[int]int{i: k.number})
		e.cause.Devices = []int{i, with}
		out = append(out, e)
	}
	return out
}

// shifts gives the runs that begin at a missing device.
func (p *planter) shifts(i, step int, s signs) []effect {
	var out []effect
	run := p.run(i, step)
	for n := range run {
		next := p.loop.at(run[n])
		next.number += step
		a, ok := s.shown[next]
		if !ok || !a.Unstable && !p.loop.could(occupant{run[n], p.loop.Devices[run[n]].Type, ""}, a, s.known) {
			if n+1 < len(run) || !ok {
				break
			}
		}
		if n >= 2 {
			out = append(out, p.shift(run[:n+1], step))
		}
	}
	return out
}

// circles gives exchanges and rings among devices at whose numbers something else answers.
func (p *planter) circles(s signs) []effect {
	var out []effect
	if len(s.odd) > 12 {
		return nil
	}
	var walk func(path []int)
	walk = func(path []int) {
		last := path[len(path)-1]
		for _, next := range s.odd {
			a := s.shown[p.loop.at(next)]
			if p.loop.at(next).module != p.loop.at(last).module || !p.loop.could(occupant{last, p.loop.Devices[last].Type, ""}, a, s.known) {
				continue
			}
			switch {
			case next == path[0] && len(path) > 1:
				out = append(out, p.around(path))
			case next > path[0] && len(path) < 5 && !slices.Contains(path, next):
				walk(append(slices.Clone(path), next))
			}
		}
	}
	for _, i := range s.odd {
		walk([]int{i})
	}
	return out
}

// around has each of a circle carry the next one's number.
func (p *planter) around(path []int) effect {
	kind, to := Ring, map[int]int{}
	if len(path) == 2 {
		kind = Exchanged
	}
	for k, i := range path {
		to[i] = p.loop.Devices[path[(k+1)%len(path)]].Wanted
	}
	return moved(kind, to)
}

// stretches gives openings and shorts that lose nobody who answers.
func (p *planter) stretches(s signs) []effect {
	var out []effect
	answers := func(i int) bool { return !slices.Contains(s.missing, i) }
	quiet := func(of []int) bool {
		n := p.loop.numbered(of)
		return len(n) > 0 && !slices.ContainsFunc(n, answers)
	}
	for _, section := range p.loop.sections() {
		if quiet(section) {
			out = append(out, p.loop.gone(Short, section))
		}
	}
	var lines [][]int
	for _, spur := range p.loop.spurs() {
		for len(spur) > 0 && !quiet(spur) {
			spur = spur[1:]
		}
		lines = append(lines, spur)
	}
	var run []int
	for _, i := range append(p.loop.ring(), -1) {
		if i >= 0 && (p.loop.Devices[i].Wanted == 0 || quiet(p.loop.behind([]int{i}))) {
			run = append(run, i)
			continue
		}
		lines, run = append(lines, run), nil
	}
	for _, line := range lines {
		for _, cut := range [][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
			if len(line) < 2+cut[0]+cut[1] {
				continue
			}
			lost := p.loop.behind(line[cut[0] : len(line)-cut[1]])
			if quiet(lost) {
				out = append(out, p.loop.gone(Open, lost))
			}
		}
	}
	return out
}

// unsets gives who of the missing may be at the unset number.
func (p *planter) unsets(s signs, others []effect) []effect {
	if len(s.unset) == 0 || len(s.missing) == 0 {
		return nil
	}
	all := func(left func(int) bool) effect {
		to := map[int]int{}
		for _, i := range s.missing {
			if !left(i) {
				to[i] = p.loop.Unset
			}
		}
		return moved(Unset, to)
	}
	out := []effect{all(func(int) bool { return false })}
	for _, i := range s.missing {
		out = append(out, moved(Unset, map[int]int{i: p.loop.Unset}), all(func(k int) bool { return k == i }))
	}
	for _, e := range others {
		out = append(out, all(func(i int) bool {
			_, carries := e.carries[i]
			return carries || e.lost[i]
		}))
	}
	return out
}

func (p *planter) misreads(s signs) []effect {
	var out []effect
	for _, t := range p.loop.Types {
		for _, how := range misreadings(t.Setter) {
			if e, ok := p.misreadBy(t.Name, how); ok {
				p.seen(&e, s)
				out = append(out, e)
			}
		}
	}
	return out
}
