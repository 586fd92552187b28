//go:build linux

package app

import (
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/live"
)

// accounts is what became of the lines of a source.
type accounts struct{ lines, entries, explained, unread int }

// verify accounts for every line.
func (s *soak) verify() {
	log, err := s.a.LogOf(s.t.Context(), s.site.ID)
	s.must(err)
	in := map[sootline.ID]bool{}
	for _, e := range log.Entries() {
		if in[e.ID] {
			s.t.Errorf("entry %s is there twice", e.ID)
		}
		in[e.ID] = true
	}
	for _, p := range s.printed {
		s.account(p, log, in)
	}
	for _, v := range s.values {
		s.accountValues(v, log, in)
	}
	s.t.Logf("the worker was begun %d times", s.times)
}

// account holds what was heard of a source against the log: each line has an entry, is explained without one, or is not understood.
func (s *soak) account(p *printing, log *sootline.Log, in map[sootline.ID]bool) {
	name := p.kept.Name
	heard, err := s.a.heardFrom(s.site.ID, name, -wholeJournal)
	s.must(err)
	var bytes int64
	for _, c := range heard.Chunks {
		bytes += int64(len(c.Bytes))
	}
	if bytes != p.heard {
		s.t.Errorf("%s: %d bytes were said, %d are kept", name, p.heard, bytes)
	}
	l, err := s.a.Listen(s.t.Context(), s.site, name)
	s.must(err)
	l.Begin(heard.From)
	var got accounts
	wrote := 0
	s.must(l.readAll(heard.Chunks, func(lines []live.Line) error {
		for i := range lines {
			if lines[i].Why == live.Blank {
				continue
			}
			n := 0
			for _, e := range l.entriesOf(&lines[i]) {
				if !in[e.ID] {
					s.t.Errorf("%s: %q at %s is not in the log", name, lines[i].Shown, lines[i].At)
				}
				n++
			}
			wrote += n
			got.count(&lines[i], n)
		}
		return nil
	}))
	of := 0
	for _, e := range log.Entries() {
		if strings.Contains(sootline.Say(e.Body), "heard from "+name) {
			of++
		}
	}
	if of != wrote || got.lines != got.entries+got.explained+got.unread {
		s.t.Errorf("%s: %d entries are in the log, %d follow from what was heard; %+v", name, of, wrote, got)
	}
	if got.unread > got.lines/4 {
		s.t.Errorf("%s: many lines are not understood: %+v", name, got)
	}
	s.t.Logf("%s: %d bytes; %+v; %d entries", name, bytes, got, of)
}

// count sorts a line: with an entry, read and explained without one, or not understood; what is not understood may have a note.
func (n *accounts) count(l *live.Line, entries int) {
	n.lines++
	switch {
	case l.Read == nil && l.Why != live.Remark:
		n.unread++
	case entries > 0:
		n.entries++
	default:
		n.explained++
	}
}

// accountValues holds the values of a source against its readings.
func (s *soak) accountValues(v *valuing, log *sootline.Log, in map[sootline.ID]bool) {
	heard, err := s.a.heardFrom(s.site.ID, v.kept.Name, -wholeJournal)
	s.must(err)
	if len(heard.Chunks) != v.told {
		s.t.Errorf("%s: %d values were told, %d are kept", v.kept.Name, v.told, len(heard.Chunks))
	}
	_, points, err := s.a.placesOf(s.t.Context(), s.site.ID, v.kept)
	s.must(err)
	values, err := s.a.HearValues(s.t.Context(), s.site, v.kept.Name, points)
	s.must(err)
	for _, c := range heard.Chunks {
		point, text, _ := strings.Cut(strings.TrimSpace(string(c.Bytes)), " ")
		var value float64
		if _, err := fmt.Sscan(text, &value); err != nil {
			s.t.Fatal(err)
		}
		if wrote, err := values.Hear(s.t.Context(), c.At, point, value); err != nil || wrote {
			s.t.Errorf("%s: %s at %s was lost: %v", v.kept.Name, c.Bytes, c.At, err)
		}
	}
	readings := 0
	for _, e := range log.Entries() {
		if r, ok := e.Body.(sootline.Read); ok && r.Remark == "read by "+v.kept.Name {
			readings++
		}
	}
	s.t.Logf("%s: %d values, %d readings", v.kept.Name, v.told, readings)
	if readings < 5 {
		s.t.Errorf("%s: %d readings of five points", v.kept.Name, readings)
	}
}
