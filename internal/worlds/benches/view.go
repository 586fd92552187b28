package benches

import (
	"cmp"
	"maps"
	"slices"
)

// act is something that a hand did and that was written.
type act struct {
	who    int
	what   string // done, skipped, rejected, undone
	place  int    // index of the place; -1: none
	device int    // index of the real device
	line   Line   // of done
	of     int    // of undone: the act
	said   []string
}

// view is which acts somebody can know of.
type view map[int]bool

// truth is what happened, and who knows of what.
type truth struct {
	start Start
	acts  []act
	all   view    // what was handed in
	own   [2]view // nil: with network
}

func (t *truth) seenBy(who int) view {
	if t.own[who] != nil {
		return t.own[who]
	}
	return t.all
}

func (t *truth) write(a act) {
	t.seenBy(a.who)[len(t.acts)] = true
	t.acts = append(t.acts, a)
}

func (t *truth) cut(who int) {
	if t.own[who] == nil {
		t.own[who] = maps.Clone(t.all)
	}
}

func (t *truth) merge(who int) {
	maps.Copy(t.all, t.own[who])
	t.own[who] = nil
}

// standing gives the acts of a view that are not undone in it, in the order in which they were done.
func (t *truth) standing(v view) []int {
	gone := map[int]bool{}
	for i := range v {
		if t.acts[i].what == "undone" {
			gone[t.acts[i].of] = true
		}
	}
	var out []int
	for _, i := range slices.Sorted(maps.Keys(v)) {
		if !gone[i] && t.acts[i].what != "undone" {
			out = append(out, i)
		}
	}
	return out
}

// dones gives the acts of a view that are done and stand.
func (t *truth) dones(v view) []int {
	return slices.DeleteFunc(t.standing(v), func(i int) bool { return t.acts[i].what != "done" })
}

// last is the last act of a hand that stands for it.
func (t *truth) last(who int) (int, bool) {
	own := slices.DeleteFunc(t.standing(t.seenBy(who)), func(i int) bool { return t.acts[i].who != who })
	if len(own) == 0 {
		return 0, false
	}
	return own[len(own)-1], true
}

// left gives the places where nothing done stands, by name.
func (t *truth) left(v view) []Left {
	done, skipped := map[int]bool{}, map[int]bool{}
	for _, i := range t.standing(v) {
		switch a := t.acts[i]; a.what {
		case "done":
			done[a.place] = true
		case "skipped":
			skipped[a.place] = true
		}
	}
	var out []Left
	for i, p := range t.start.Places {
		if !done[i] {
			out = append(out, Left{p.Name, skipped[i]})
		}
	}
	return sortLeft(out)
}

func sortLeft(of []Left) []Left {
	return slices.SortedFunc(slices.Values(of), func(a, b Left) int { return cmp.Compare(a.Place, b.Place) })
}

func sortLines(of []Line) []Line {
	return slices.SortedFunc(slices.Values(of), func(a, b Line) int {
		return cmp.Or(cmp.Compare(a.Place, b.Place), cmp.Compare(a.Serial, b.Serial), cmp.Compare(a.Number, b.Number),
			cmp.Compare(a.Type, b.Type))
	})
}

func sortDevices(of []Device) []Device {
	return slices.SortedFunc(slices.Values(of), func(a, b Device) int {
		return cmp.Or(cmp.Compare(a.Serial, b.Serial), cmp.Compare(a.Type, b.Type))
	})
}

// lines and rejects are what Standing and Rejects must give.
func (t *truth) lines(v view) []Line {
	var out []Line
	for _, i := range t.dones(v) {
		out = append(out, t.acts[i].line)
	}
	return sortLines(out)
}

func (t *truth) rejects(v view, devices []real) []Device {
	var out []Device
	for _, i := range t.standing(v) {
		if t.acts[i].what == "rejected" {
			out = append(out, devices[t.acts[i].device].Device)
		}
	}
	return sortDevices(out)
}

// overlap says whether two numbers of places lie on each other.
func (s Start) overlap(a Place, at int, b Place, to int) bool {
	return (!s.Separate || a.Module == b.Module) && at > 0 && to > 0 && at < to+max(1, b.Width) && to < at+max(1, a.Width)
}

// must gives the codes that what a hand gives asks for, by what it can know.
func (t *truth) must(who int, g Given) []string {
	var out []string
	add := func(code string, is bool) {
		if is && !slices.Contains(out, code) {
			out = append(out, code)
		}
	}
	s := t.start
	p := s.Places[s.index(g.Place)]
	number := cmp.Or(g.Back, p.Number)
	for _, i := range t.dones(t.seenBy(who)) {
		a := t.acts[i]
		same := g.Device.Serial != "" && a.line.Serial == g.Device.Serial
		add(SerialSeen, same)
		add(NumberTaken, !same && s.overlap(p, number, s.Places[a.place], a.line.Number))
	}
	for _, other := range s.Others {
		add(NumberTaken, s.overlap(p, number, other, other.Number))
	}
	add(TypeOther, g.Device.Type != p.Type)
	add(NumberOther, g.Back > 0 && p.Number > 0 && g.Back != p.Number)
	add(NumberImpossible, g.Back == 0 && p.Number > s.Most[g.Device.Type])
	add(NoNumber, number == 0)
	listed := slices.ContainsFunc(s.Box, func(d Device) bool { return d.Serial == g.Device.Serial })
	add(NotOnList, len(s.Box) > 0 && g.Device.Serial != "" && !listed)
	return out
}

func (s Start) index(place string) int {
	return slices.IndexFunc(s.Places, func(p Place) bool { return p.Name == place })
}
