package lines

import (
	"fmt"
	"slices"
)

// Tally counts what became of events.
type Tally struct {
	Events        int
	Right         int // everything that the line says was claimed, and nothing else
	Partial       int // nothing wrong, something left out: counts as not understood
	NotUnderstood int // kept as heard
	Wrong         int // something was claimed that the line does not say, or the event was said to be none
	// Another is the share of the wrong that was read as another event: the word, loop, number, sub-address or zone is wrong.
	Another int
	// Swallowed events lie in the bytes of an answer that is about their neighbour: there is no word of them.
	Swallowed int
	// Lost events have no answer at all: they were dropped in silence.
	Lost int
}

// Score is what came of answers.
type Score struct {
	Clean, Mangled Tally
	ByFault        map[string]*Tally // of those to which the wire did something; see [Faults]
	WrongIn        map[Role]int      // wrong claims by what was wrong in them
	// Invented are claims where nothing happened; Doubled are claims of what was claimed already. Both are wrong.
	Invented, Doubled int
	// Remarks are what was printed and is no event; RemarksKept of them were kept as not understood.
	Remarks, RemarksKept int
	Asked, Marked        int      // questions to a person: what a word means, to mark another line
	Examples             []string // some that were wrong or lost, for a look
}

// Claims gives how many claims said what is not so.
func (s *Score) Claims() int { return s.Clean.Wrong + s.Mangled.Wrong + s.Invented + s.Doubled }

// Falls gives in words where the score falls short of the goal: 99 % of whole lines right, nothing wrong or invented, nothing
// lost, no mangled line read as another event. Empty: nowhere.
func (s *Score) Falls() []string {
	var out []string
	if s.Clean.Events == 0 || s.Clean.Right*100 < s.Clean.Events*99 {
		out = append(out, fmt.Sprintf("%d of %d whole lines are right", s.Clean.Right, s.Clean.Events))
	}
	for _, n := range []struct {
		count int
		what  string
	}{
		{s.Clean.Wrong, "whole lines are read wrongly"},
		{s.Invented, "events were made from nothing"},
		{s.Doubled, "events were told twice"},
		{s.Clean.Swallowed, "whole lines were swallowed by another"},
		{s.Clean.Lost + s.Mangled.Lost, "lines were dropped in silence"},
		{s.Mangled.Another, "mangled lines were read as other events"},
	} {
		if n.count > 0 {
			out = append(out, fmt.Sprintf("%d %s", n.count, n.what))
		}
	}
	return out
}

// sums is a score in the making.
type sums struct {
	*Score

	records []Record
	starts  []int64 // of the records in the stream, and its end
	state   []state
}

// state is what is known of a record so far.
type state struct {
	claims  int // how many answers were right or lacked something
	partial bool
	kept    bool
	under   bool // an answer rests on its bytes
	wrong   []Role
}

// Judge holds answers against the records whose bytes were heard.
func Judge(records []Record, answers []Answer) *Score {
	s := &sums{Score: &Score{ByFault: map[string]*Tally{}, WrongIn: map[Role]int{}}, records: records, state: make([]state, len(records))}
	var at int64
	for _, r := range records {
		s.starts = append(s.starts, at)
		at += int64(len(r.Bytes))
	}
	s.starts = append(s.starts, at)
	for _, a := range answers {
		s.answer(a)
	}
	for i := range records {
		s.count(i)
	}
	return s.Score
}

// over lists the records on whose bytes an answer rests.
func (s *sums) over(a Answer) []int {
	var out []int
	i, _ := slices.BinarySearch(s.starts, a.From+1)
	for i = max(i-1, 0); i < len(s.records) && s.starts[i] < a.To; i++ {
		if s.starts[i+1] > a.From {
			out = append(out, i)
		}
	}
	return out
}

func (s *sums) answer(a Answer) {
	over := s.over(a)
	for _, i := range over {
		s.state[i].under = true
	}
	if a.As == Kept {
		for _, i := range over {
			s.state[i].kept = true
		}
		return
	}
	events := slices.DeleteFunc(over, func(i int) bool { return s.records[i].Truth == nil })
	switch {
	case a.As == NoEvent:
		for _, i := range events {
			if !s.records[i].Mangled { // a part of what is mangled may well look like none
				s.state[i].wrong = append(s.state[i].wrong, None)
			} else {
				s.state[i].kept = true
			}
		}
	case len(events) == 0:
		s.Invented++
		s.look("made from nothing", over, a)
	default:
		s.claim(a, events)
	}
}

// claim charges an answer to the record with which it agrees, else to the first.
func (s *sums) claim(a Answer, events []int) {
	for _, i := range events {
		wrong, lacks := s.records[i].Truth.differs(a)
		if len(wrong) > 0 {
			continue
		}
		if s.state[i].claims++; s.state[i].claims > 1 {
			s.Doubled++
			s.look("told twice", events, a)
		}
		s.state[i].partial = lacks
		return
	}
	wrong, _ := s.records[events[0]].Truth.differs(a)
	for _, role := range wrong {
		s.WrongIn[role]++
	}
	s.state[events[0]].wrong = append(s.state[events[0]].wrong, wrong...)
	s.look("wrong", events, a)
}

// count adds what became of a record.
func (s *sums) count(i int) {
	r, st := s.records[i], s.state[i]
	if r.Truth == nil {
		s.Remarks++
		if st.kept {
			s.RemarksKept++
		}
		return
	}
	if r.Repeat && st.claims == 0 && len(st.wrong) == 0 {
		return // it came before
	}
	one := tally(st)
	if one.Lost > 0 {
		s.look("dropped in silence", []int{i}, Answer{})
	}
	all := &s.Clean
	if r.Mangled {
		all = &s.Mangled
	}
	all.Add(one)
	if r.Fault != "" {
		if s.ByFault[r.Fault] == nil {
			s.ByFault[r.Fault] = &Tally{}
		}
		s.ByFault[r.Fault].Add(one)
	}
}

func tally(st state) Tally {
	t := Tally{Events: 1}
	switch {
	case len(st.wrong) > 0:
		t.Wrong = 1
		if slices.ContainsFunc(st.wrong, func(r Role) bool { return slices.Contains([]Role{None, What, Loop, Number, Sub, Zone}, r) }) {
			t.Another = 1
		}
	case st.claims > 0 && st.partial:
		t.Partial = 1
	case st.claims > 0:
		t.Right = 1
	case st.kept:
		t.NotUnderstood = 1
	case st.under:
		t.Swallowed = 1
	default:
		t.Lost = 1
	}
	return t
}

// Add adds another tally.
func (t *Tally) Add(o Tally) {
	t.Events += o.Events
	t.Right += o.Right
	t.Partial += o.Partial
	t.NotUnderstood += o.NotUnderstood
	t.Wrong += o.Wrong
	t.Another += o.Another
	t.Swallowed += o.Swallowed
	t.Lost += o.Lost
}

// look keeps an example, up to twenty.
func (s *sums) look(what string, over []int, a Answer) {
	if len(s.Examples) >= 20 {
		return
	}
	text := what + ":"
	for _, i := range over {
		text += fmt.Sprintf(" %q", s.records[i].Bytes)
		if t := s.records[i].Truth; t != nil {
			text += fmt.Sprintf(" says %+v;", *t)
		}
	}
	s.Examples = append(s.Examples, fmt.Sprintf("%s claimed %+v", text, a))
}
