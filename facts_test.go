package sootline

import (
	"bytes"
	"slices"
	"testing"
	"time"
)

// apartLog is a log that stations write to apart from each other.
type apartLog struct {
	t       *testing.T
	entries []Entry
	clock   time.Time
}

func newApartLog(t *testing.T) *apartLog {
	return &apartLog{t: t, clock: time.Date(2026, 1, 15, 9, 0, 0, 0, time.UTC)}
}

// writes adds an entry in sight of some others, a minute after the one before.
func (l *apartLog) writes(body Body, sees ...*Entry) *Entry {
	l.clock = l.clock.Add(time.Minute)
	e := Entry{ID: NewID(l.clock, [10]byte{byte(len(l.entries))}), At: l.clock, Noted: l.clock, Point: pointID(1), Station: "s", Body: body}
	if target := Amends(body); target.Zero() {
		var seen []Entry
		for _, s := range sees {
			seen = append(seen, *s)
		}
		NewLog(append(seen, l.gone(seen)...)).Facts(e).See(&e)
	}
	l.entries = append(l.entries, e)
	return &e
}

// gone gives the withdrawals of what somebody sees.
func (l *apartLog) gone(seen []Entry) (all []Entry) {
	for _, e := range l.entries {
		if slices.ContainsFunc(seen, func(s Entry) bool { return Amends(e.Body) == s.ID }) {
			all = append(all, e)
		}
	}
	return all
}

func (l *apartLog) apart(what string, want ...*Entry) {
	l.t.Helper()
	var got, ids []ID
	for _, a := range NewLog(l.entries).Apart() {
		for _, s := range a.Says {
			got = append(got, s.Entry.ID)
		}
	}
	for _, e := range want {
		ids = append(ids, e.ID)
	}
	if !slices.Equal(got, ids) {
		l.t.Errorf("%s: %v is found, want %v", what, got, ids)
	}
}

func TestApart(t *testing.T) {
	wanted := func(n int) Body { return Addressed{Wanted: n} }
	l := newApartLog(t)
	first := l.writes(wanted(1))
	here := l.writes(wanted(5), first)
	l.apart("one after the other")
	there := l.writes(wanted(7), first)
	l.apart("two who saw the same", here, there)
	third := l.writes(wanted(9))
	l.apart("and one who saw none", here, there, third)
	l.writes(Addressed{Found: 4}, third)
	l.writes(Set{Wanted: map[string]string{"Blink": "off"}}, third)
	l.apart("what says nothing of it changes nothing", here, there, third)
	last := l.writes(wanted(7), here, there, third)
	if len(last.Replaces) != 1 || last.Replaces[0] != third.ID {
		t.Errorf("whoever writes another value replaces the one that held: %v", last.Replaces)
	}
	l.apart("whoever writes another value settles nothing else", here, there, last)
	a := NewLog(l.entries).Apart()[0]
	if a.Alike() || a.What != "the number that it should have" || a.Point != pointID(1) {
		t.Errorf("%+v", a)
	}
	early := Entry{ID: NewID(l.clock, [10]byte{99}), At: first.At, Noted: l.clock, Station: "s", Body: a.Said(here.ID)}
	settled := a.Settled(early)
	if !settled.At.After(last.At) || len(settled.Replaces) != 3 {
		t.Errorf("it settles at %s and replaces %v", settled.At, settled.Replaces)
	}
	l.entries = append(l.entries, settled)
	l.apart("it is settled")
	if n := Fold(l.entries, l.clock.AddDate(1, 0, 0)).Point(pointID(1)).Wanted; n != 5 {
		t.Errorf("the number wanted is %d", n)
	}
}

// TestApartAlike: two who say the same apart contradict each other in nothing.
func TestApartAlike(t *testing.T) {
	l := newApartLog(t)
	l.writes(Addressed{Wanted: 5, Text: "by the plan"})
	l.writes(Addressed{Wanted: 5, Text: "as agreed"})
	if a := NewLog(l.entries).Apart(); len(a) != 1 || !a[0].Alike() {
		t.Errorf("%+v", a)
	}
}

// TestApartAndWithdrawn: what was taken back says nothing, and hides nothing either.
func TestApartAndWithdrawn(t *testing.T) {
	l := newApartLog(t)
	first := l.writes(Addressed{Wanted: 1})
	slip := l.writes(Addressed{Wanted: 2}, first)
	l.writes(Withdrawn{Entry: slip.ID})
	l.apart("taken back")
	next := l.writes(Addressed{Wanted: 3}, first, slip)
	l.apart("after one that was taken back")
	if !slices.Equal(next.Replaces, []ID{first.ID}) {
		t.Errorf("it replaces %v", next.Replaces)
	}
	late := l.writes(Addressed{Wanted: 4}, slip) // by somebody who did not know that it was taken back
	late.Replaces = []ID{slip.ID}
	l.entries[len(l.entries)-1] = *late
	l.apart("apart, over one that was taken back", next, late)
}

// TestApartOfOldPrograms: entries that do not say what they replace have seen all before.
func TestApartOfOldPrograms(t *testing.T) {
	l := newApartLog(t)
	for n := range 3 {
		l.writes(Addressed{Wanted: n + 1})
		l.entries[n].Replaces = nil
	}
	l.apart("old entries")
	two := l.writes(Addressed{Wanted: 5}, &l.entries[1])
	l.apart("one that had the last but one", &l.entries[2], two)
	old := l.writes(Addressed{Wanted: 6})
	l.entries[len(l.entries)-1].Replaces = nil
	old.Replaces = nil
	l.apart("an old program after all")
}

// TestReplacesIsSpelled: what an entry replaces is read as it is written; an entry that
// does not say it is spelled as ever.
func TestReplacesIsSpelled(t *testing.T) {
	one := Entry{ID: pointID(3), Site: pointID(2), At: LongAgo, Noted: LongAgo, Seq: 1, Point: pointID(1), Body: Addressed{Wanted: 5}}
	for want, ids := range map[string][]ID{
		`"point":"` + pointID(1).String() + `","kind":`:                                                                                      nil,
		`"point":"` + pointID(1).String() + `","replaces":[],"kind":`:                                                                        {},
		`"point":"` + pointID(1).String() + `","replaces":["` + pointID(4).String() + `"],"kind":`:                                           {pointID(4)},
		`"point":"` + pointID(1).String() + `","replaces":["` + pointID(4).String() + `","` + pointID(5).String() + `"],"kind":"addressed",`: {pointID(4), pointID(5)},
	} {
		one.Replaces = ids
		line, err := AppendLine(nil, &one)
		if err != nil || !bytes.Contains(line, []byte(want)) {
			t.Errorf("%s lacks %s: %v", line, want, err)
		}
		got, err := ParseLine(line)
		if err != nil || !slices.Equal(got.Replaces, ids) || (got.Replaces == nil) != (ids == nil) {
			t.Errorf("%s is read as %v: %v", line, got.Replaces, err)
		}
	}
}
