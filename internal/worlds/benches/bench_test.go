package benches

import (
	"cmp"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"
)

// note is one line of the paper on which the test's bench is kept.
type note struct {
	who  int
	what string
	line Line
	of   int
}

// paper keeps a run on paper, rightly but for its fault.
type paper struct {
	fault string
	start Start
	notes []note
	table map[int]bool    // notes that lie on the table
	hand  [2]map[int]bool // notes that a hand has before it without network
	full  [2]bool
}

func (b *paper) Begin(s Start) ([]Remark, error) {
	b.start, b.table = s, map[int]bool{}
	seen := map[string]bool{}
	for _, d := range s.Box {
		if seen[d.Serial] && b.fault != "list" {
			return nil, errors.New("the list has a serial twice")
		}
		seen[d.Serial] = true
	}
	return nil, nil
}

func (b *paper) sees(who int) map[int]bool {
	if b.hand[who] != nil {
		return b.hand[who]
	}
	return b.table
}

// stands gives what stands of a kind, by the numbers of the notes.
func (b *paper) stands(who int, what string) []int {
	var out []int
	for _, i := range slices.Sorted(maps.Keys(b.sees(who))) {
		undone := false
		for k := range b.sees(who) {
			undone = undone || b.notes[k].what == "undo" && b.notes[k].of == i
		}
		if b.notes[i].what == what && !undone {
			out = append(out, i)
		}
	}
	return out
}

func (b *paper) write(n note) {
	b.sees(n.who)[len(b.notes)] = true
	b.notes = append(b.notes, n)
}

func (b *paper) Left(who int) []Left {
	var out []Left
	for _, p := range b.start.Places {
		at := func(i int) bool { return b.notes[i].line.Place == p.Name }
		if slices.ContainsFunc(b.stands(who, "done"), at) {
			continue
		}
		skipped := slices.ContainsFunc(b.stands(who, "skip"), at)
		if !skipped || b.fault != "skipped" {
			out = append(out, Left{p.Name, skipped})
		}
	}
	return out
}

func (b *paper) Hand(who int, of Device) (Place, bool) {
	left := b.Left(who)
	slices.SortStableFunc(left, func(x, y Left) int { // those skipped come last
		return cmp.Compare(map[bool]int{true: 1}[x.Skipped], map[bool]int{true: 1}[y.Skipped])
	})
	for _, l := range left {
		if p := b.place(l.Place); of.Type == "" || p.Type == of.Type || b.fault == "hand" {
			return p, true
		}
	}
	return Place{}, false
}

func (b *paper) place(name string) Place {
	return b.start.Places[slices.IndexFunc(b.start.Places, func(p Place) bool { return p.Name == name })]
}

func (b *paper) Done(who int, g Given) ([]Remark, error) {
	if b.full[who] {
		if b.fault == "storage" {
			return nil, nil
		}
		return nil, errors.New("no storage is left")
	}
	p := b.place(g.Place)
	number := p.Number
	if g.Back > 0 {
		number = g.Back
	}
	line := Line{g.Place, g.Device.Serial, g.Device.Type, number}
	remarks := b.look(who, p, g, line)
	if len(remarks) > 0 && !g.Sure && b.fault != "asks not" {
		return remarks, nil
	}
	b.write(note{who: who, what: "done", line: line})
	return remarks, nil
}

func (b *paper) look(who int, p Place, g Given, line Line) []Remark {
	var out []Remark
	say := func(code string, is bool) {
		if is && b.fault != code {
			out = append(out, Remark{code, Asked})
		}
	}
	taken, seen, listed := false, false, len(b.start.Box) == 0
	for _, i := range b.stands(who, "done") {
		n := b.notes[i].line
		same := n.Serial == line.Serial && n.Serial != ""
		seen = seen || same
		taken = taken || !same && b.meet(n, line)
	}
	for _, o := range b.start.Others {
		taken = taken || b.start.overlap(p, line.Number, o, o.Number)
	}
	for _, d := range b.start.Box {
		listed = listed || d.Serial == line.Serial
	}
	say(SerialSeen, seen)
	say(NumberTaken, taken)
	say(TypeOther, line.Type != p.Type)
	say(NumberOther, p.Number > 0 && line.Number != p.Number)
	say(NumberImpossible, line.Number > b.start.Most[line.Type])
	say(NoNumber, line.Number == 0)
	say(NotOnList, !listed && line.Serial != "")
	say("everything", b.fault == "asks all")
	return out
}

func (b *paper) meet(x, y Line) bool {
	return b.start.overlap(b.place(x.Place), x.Number, b.place(y.Place), y.Number)
}

func (b *paper) Skip(who int, place, _ string) error {
	b.write(note{who: who, what: "skip", line: Line{Place: place}})
	return nil
}

func (b *paper) Reject(who int, d Device, _ string) error {
	b.write(note{who: who, what: "reject", line: Line{Serial: d.Serial, Type: d.Type}})
	return nil
}

func (b *paper) Undo(who int) error {
	last := -1
	for _, what := range []string{"done", "skip", "reject"} {
		for _, i := range b.stands(who, what) {
			if b.notes[i].who == who || b.fault == "undoes another's" {
				last = max(last, i)
			}
		}
	}
	if last < 0 {
		return errors.New("there is nothing to undo")
	}
	if b.fault != "undo" {
		b.write(note{who: who, what: "undo", of: last})
	}
	return nil
}

func (b *paper) Rejects(who int) []Device {
	var out []Device
	for _, i := range b.stands(who, "reject") {
		out = append(out, Device{b.notes[i].line.Serial, b.notes[i].line.Type})
	}
	return out
}

func (b *paper) Standing(who int) []Line {
	var out []Line
	for _, i := range b.stands(who, "done") {
		out = append(out, b.notes[i].line)
	}
	return out
}

func (b *paper) Doubts(who int) []Doubt {
	var out []Doubt
	all := b.Standing(who)
	for i, x := range all {
		for _, y := range all[:i] {
			if x.Serial == y.Serial && x.Serial != "" && b.fault != "no doubt of serials" {
				out = append(out, Doubt{SerialSeen, []string{x.Place, y.Place}})
			}
			if b.meet(x, y) && b.fault != "no doubt of numbers" || b.fault == "doubts all" {
				out = append(out, Doubt{NumberTaken, []string{x.Place, y.Place}})
			}
		}
	}
	return out
}

func (b *paper) Cut(who int) {
	if b.hand[who] == nil {
		b.hand[who] = maps.Clone(b.table)
	}
}

func (b *paper) Merge(who int) error {
	for i := range b.hand[who] {
		lost := b.fault == "merge loses" && b.notes[i].what == "done" && !b.table[i] && slices.ContainsFunc(b.stands(1-who, "done"),
			func(k int) bool { return b.notes[k].line.Place == b.notes[i].line.Place })
		if !lost {
			b.table[i] = true
		}
	}
	if b.fault != "merge twice" {
		b.hand[who] = nil
		return nil
	}
	for i := range b.hand[who] {
		if n := b.notes[i]; n.who == who {
			b.table[len(b.notes)] = true
			b.notes = append(b.notes, n)
		}
	}
	b.hand[who] = nil
	return nil
}

func (b *paper) Leave(who int) {
	if b.fault == "leave" && b.hand[who] != nil {
		b.hand[who] = maps.Clone(b.table)
	}
}

func (b *paper) Full(who int, full bool) { b.full[who] = full }

// TestPaper: a run kept rightly holds in every story.
func TestPaper(t *testing.T) {
	for seed := range uint64(200) {
		if err := Play(seed, &paper{}); err != nil {
			t.Fatal(err)
		}
	}
}

// TestFaults: each fault is found, and for what it is.
func TestFaults(t *testing.T) {
	for fault, want := range map[string]string{
		"list": "one serial twice", "skipped": "left for", "hand": "holds a", "storage": "no error is given",
		SerialSeen: "serial-seen is not said", NumberTaken: "number-taken is not said", TypeOther: "type-other is not said",
		NumberOther: "number-other is not said", NumberImpossible: "number-impossible is not said", NoNumber: "no-number is not said",
		NotOnList: "not-on-list is not said", "asks all": "is sound, and not taken", "asks not": "for hand",
		"undo": "for hand", "undoes another's": "", "no doubt of numbers": "nobody was told", "no doubt of serials": "nobody was told",
		"doubts all": "a doubt without cause", "merge loses": "standing for", "merge twice": "for hand", "leave": "for hand",
	} {
		found, tried, first := 0, 0, error(nil)
		for seed := range uint64(400) {
			if found == 3 {
				break
			}
			tried++
			err := Play(seed, &paper{fault: fault})
			if err == nil {
				continue
			}
			if first == nil {
				first = err
			}
			if strings.Contains(err.Error(), want) {
				found++
			}
		}
		t.Logf("%-20s %d times in %d stories", fault, found, tried)
		if found < 3 {
			t.Errorf("%s: found %d times as %q; first %v", fault, found, want, first)
		}
	}
}

// TestStories: what can happen does, often enough.
func TestStories(t *testing.T) {
	seen := map[string]int{}
	for seed := range uint64(120) {
		b := &paper{}
		if err := Play(seed, b); err != nil {
			t.Fatal(err)
		}
		for _, n := range b.notes {
			seen[n.what]++
		}
		for _, d := range b.Doubts(0) {
			seen[d.Code]++
		}
		if len(b.Left(0)) == 0 {
			seen["finished"]++
		}
	}
	t.Log(seen)
	for _, what := range []string{"done", "skip", "reject", "undo", NumberTaken, SerialSeen, "finished"} {
		if seen[what] < 12 {
			t.Errorf("%s only %d times", what, seen[what])
		}
	}
}
