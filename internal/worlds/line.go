package worlds

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"
)

// stamp is the one spelling of an instant in an export.
const stamp = "2006-01-02T15:04:05.000Z"

// Line is one line of an export, in the terms of docs/formats/log.md.
type Line struct {
	ID      string          `json:"id"`
	Site    string          `json:"site"`
	At      string          `json:"at"`
	Day     bool            `json:"day,omitempty"` // only the day of At is known
	Noted   string          `json:"noted"`
	By      string          `json:"by"`
	Station string          `json:"station"`
	Seq     int             `json:"seq"`
	Point   string          `json:"point,omitempty"`
	Kind    string          `json:"kind"`
	Body    json.RawMessage `json:"body"`
	Hash    string          `json:"hash,omitempty"`
}

// ReadLog reads the entries of an export; the lines of heads at its end are passed over.
func ReadLog(r io.Reader) ([]Line, error) {
	var lines []Line
	in := bufio.NewReader(r)
	for n := 1; ; n++ {
		text, err := in.ReadBytes('\n')
		if len(bytes.TrimSpace(text)) > 0 && !bytes.HasPrefix(text, []byte(`{"head":`)) {
			var l Line
			if err := json.Unmarshal(text, &l); err != nil {
				return nil, fmt.Errorf("line %d: %w", n, err)
			}
			lines = append(lines, l)
		}
		if err == io.EOF {
			return lines, nil
		}
		if err != nil {
			return nil, err
		}
	}
}

// fact is what an entry says after all corrections.
type fact struct {
	id, point, kind, by string
	at                  time.Time
	day                 bool
	body                json.RawMessage
}

// amendment is the body of a correction or withdrawal.
type amendment struct {
	Entry string          `json:"entry"`
	At    string          `json:"at"`
	Day   bool            `json:"day"`
	Point string          `json:"point"`
	Kind  string          `json:"kind"`
	Body  json.RawMessage `json:"body"`
}

// amended resolves what entries say: the latest amendment counts, one that was withdrawn does nothing.
type amended struct {
	about   map[string][]Line // amendments by the entry they name, in order
	walking map[string]bool
}

// facts are the entries of a log as they stand, each once, in the order (at, id).
func facts(lines []Line) ([]fact, error) {
	a := amended{about: map[string][]Line{}, walking: map[string]bool{}}
	var plain []Line
	seen := map[string]bool{}
	for _, l := range lines {
		if seen[l.ID] {
			continue
		}
		seen[l.ID] = true
		if l.Kind != "corrected" && l.Kind != "withdrawn" {
			plain = append(plain, l)
			continue
		}
		var what amendment
		if err := json.Unmarshal(l.Body, &what); err != nil {
			return nil, fmt.Errorf("entry %s: %w", l.ID, err)
		}
		a.about[what.Entry] = append(a.about[what.Entry], l)
	}
	for _, of := range a.about {
		slices.SortFunc(of, func(x, y Line) int {
			return cmp.Or(cmp.Compare(x.At, y.At), cmp.Compare(x.ID, y.ID))
		})
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

// says gives a line as its latest amendment has it; false where it is withdrawn.
func (a amended) says(l Line) (Line, bool) {
	if a.walking[l.ID] {
		return l, true // a circle of amendments, which only a forged log can hold
	}
	a.walking[l.ID] = true
	defer delete(a.walking, l.ID)
	of := a.about[l.ID]
	for i := len(of) - 1; i >= 0; i-- {
		by, ok := a.says(of[i])
		if !ok {
			continue
		}
		if by.Kind == "withdrawn" {
			return l, false
		}
		var to amendment
		if by.Kind != "corrected" || json.Unmarshal(by.Body, &to) != nil {
			continue
		}
		if to.At != "" && to.At != l.At { // the same time leaves standing that only its day is known
			l.At, l.Day = to.At, to.Day
		}
		l.Point, l.Kind, l.Body = to.Point, to.Kind, to.Body
		return l, true
	}
	return l, true
}
