package worlds

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"time"
)

// amendment is the body of a correction or withdrawal.
type amendment struct {
	Entry string          `json:"entry"`
	At    string          `json:"at"`
	Day   bool            `json:"day"`
	Point string          `json:"point"`
	Kind  string          `json:"kind"`
	Body  json.RawMessage `json:"body"`
	Seen  []string        `json:"seen"`
}

// amended resolves what entries say: of the amendments of an entry that hold the latest counts, and one that was
// withdrawn does not hold.
//
// Every amendment names one entry. So a circle of amendments names nothing outside itself, and no walk that begins at
// a plain entry comes to one.
type amended struct {
	about map[string][]Line          // amendments by the entry they name
	saw   map[string]map[string]bool // of an amendment: those of the same entry that it knew, itself or by one it knew
}

// facts are the entries of a log as they stand, each once, in the order (at, id).
func facts(lines []Line) ([]fact, error) {
	plain, a, err := split(lines)
	if err != nil {
		return nil, err
	}
	var out []fact
	for _, l := range plain {
		said, ok := a.says(l)
		if !ok {
			continue
		}
		at, err := time.Parse(stamp, said.At)
		if err != nil {
			return nil, fmt.Errorf("entry %s: %w", l.ID, err)
		}
		out = append(out, fact{l.ID, said.Point, said.Kind, l.By, at, said.Day, said.Body})
	}
	slices.SortStableFunc(out, func(x, y fact) int { return cmp.Or(x.at.Compare(y.at), cmp.Compare(x.id, y.id)) })
	return out, nil
}

// split parts the amendments of a log from its other entries, each once.
func split(lines []Line) (plain []Line, a amended, err error) {
	a = amended{about: map[string][]Line{}, saw: map[string]map[string]bool{}}
	once, names := map[string]bool{}, map[string]amendment{}
	for _, l := range lines {
		if once[l.ID] {
			continue
		}
		once[l.ID] = true
		if l.Kind != "corrected" && l.Kind != "withdrawn" {
			plain = append(plain, l)
			continue
		}
		var what amendment
		if err := json.Unmarshal(l.Body, &what); err != nil {
			return nil, a, fmt.Errorf("entry %s: %w", l.ID, err)
		}
		a.about[what.Entry] = append(a.about[what.Entry], l)
		names[l.ID] = what
	}
	for id, what := range names {
		a.saw[id] = map[string]bool{}
		knew(names, what, a.saw[id])
	}
	return plain, a, nil
}

// knew gathers what an amendment saw of the amendments of its entry, and what these had seen.
func knew(names map[string]amendment, what amendment, into map[string]bool) {
	for _, id := range what.Seen {
		if below, ok := names[id]; ok && below.Entry == what.Entry && !into[id] {
			into[id] = true
			knew(names, below, into)
		}
	}
}

// later says whether x was written in sight of y. Two that each say so of the other, which only a forged log holds, show
// nothing by it.
func (a amended) later(x, y Line) bool { return a.saw[x.ID][y.ID] && !a.saw[y.ID][x.ID] }

// latest is the one of several amendments of an entry that counts: none of the others was written in sight of it, and of
// those of which this is so it was noted last.
func (a amended) latest(of []Line) Line {
	var best *Line
	for i := range of {
		if slices.ContainsFunc(of, func(other Line) bool { return a.later(other, of[i]) }) {
			continue
		}
		if best == nil || cmp.Or(cmp.Compare(of[i].Noted, best.Noted), cmp.Compare(of[i].ID, best.ID)) > 0 {
			best = &of[i]
		}
	}
	return *best
}

// says gives a line as its latest amendment has it; false where it is withdrawn.
func (a amended) says(l Line) (Line, bool) {
	var hold []Line
	for _, of := range a.about[l.ID] {
		if by, ok := a.says(of); ok && (by.Kind == "withdrawn" || by.Kind == "corrected") {
			hold = append(hold, by)
		}
	}
	if len(hold) == 0 {
		return l, true
	}
	by := a.latest(hold)
	var to amendment
	if by.Kind == "withdrawn" || json.Unmarshal(by.Body, &to) != nil {
		return l, by.Kind != "withdrawn"
	}
	if to.At != "" && to.At != l.At { // the same time leaves standing that only its day is known
		l.At, l.Day = to.At, to.Day
	}
	l.Point, l.Kind, l.Body = to.Point, to.Kind, to.Body
	return l, true
}

// Texts gives what each entry of a log that is no amendment says in words as it stands; none where it is taken back.
func Texts(lines []Line) (map[string]string, error) {
	all, err := facts(lines)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, f := range all {
		var b struct{ Text string }
		if err := json.Unmarshal(f.body, &b); err != nil {
			return nil, fmt.Errorf("entry %s: %w", f.id, err)
		}
		out[f.id] = b.Text
	}
	return out, nil
}
