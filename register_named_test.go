package sootline

import (
	"testing"
	"time"
)

// Through each step of an exchange of two numbers, each point has a reference of
// its own, and that names it and no other.
func TestReferencesThroughAnExchange(t *testing.T) {
	at := func(minute int) time.Time { return time.Date(2026, 10, 15, 9, minute, 0, 0, time.UTC) }
	var entries []Entry
	add := func(minute, point int, body Body) {
		entries = append(entries, Entry{ID: DerivedID(at(minute), []byte{byte(len(entries))}), Site: pointID(9), At: at(minute), Station: "s", Point: pointID(point), Body: body})
	}
	for p := range 3 {
		add(0, p, Fitted{Place: Place{Panel: "1", Loop: "1"}, Type: "Larch"})
		add(0, p, Addressed{Wanted: p + 1})
	}
	steps := []struct {
		point int
		body  Addressed
		want  [3]int // the numbers by which the points are called after it
	}{
		{0, Addressed{Found: 2}, [3]int{1, 2, 3}},
		{1, Addressed{Found: 1}, [3]int{1, 2, 3}},
		{0, Addressed{Wanted: 2}, [3]int{2, 1, 3}},
		{1, Addressed{Wanted: 1}, [3]int{2, 1, 3}},
	}
	for i, step := range steps {
		add(i+1, step.point, step.body)
		r := Fold(entries, at(59))
		for p, number := range step.want {
			ref := Ref{"1", "1", number}
			if got := r.Point(pointID(p)).Ref(); got != ref {
				t.Errorf("after step %d point %d is called %s, want %s", i, p, got, ref)
			}
			if named := r.Named(ref, at(59)); len(named) != 1 || named[0].ID != pointID(p) {
				t.Errorf("after step %d %s names %d points", i, ref, len(named))
			}
		}
	}
	// What was so at an earlier hour stays so.
	if named := Fold(entries, at(59)).Named(Ref{"1", "1", 1}, at(2)); len(named) != 1 || named[0].ID != pointID(0) {
		t.Errorf("before the exchange 1.1.001 named %d points", len(named))
	}
	// Without a number found there is nothing to tell two points apart by.
	entries = entries[:6]
	add(1, 0, Addressed{Wanted: 2})
	if named := Fold(entries, at(59)).Named(Ref{"1", "1", 2}, at(59)); len(named) != 2 {
		t.Errorf("1.1.002, which two should have, names %d", len(named))
	}
}

// A number that one point alone ever had is told with the time in which it did;
// one that several had, be it one after another, is not, since that depends on when.
func TestSole(t *testing.T) {
	at := func(minute int) time.Time { return time.Date(2026, 10, 15, 9, minute, 0, 0, time.UTC) }
	var entries []Entry
	add := func(minute, point int, body Body) {
		entries = append(entries, Entry{ID: DerivedID(at(minute), []byte{byte(len(entries))}), Site: pointID(9), At: at(minute), Station: "s", Point: pointID(point), Body: body})
	}
	for p := range 3 {
		add(0, p, Fitted{Place: Place{Panel: "1", Loop: "1"}, Type: "Larch"})
		add(1+p, p, Addressed{Wanted: p + 1})
	}
	add(10, 0, Addressed{Wanted: 7}) // it had 1
	add(20, 1, Addressed{Wanted: 1}) // which is another's now, and 2 nobody's
	r := Fold(entries, at(59))
	for number, want := range map[int]struct {
		point    int
		from, to time.Time
	}{2: {1, at(2), at(20)}, 3: {2, at(3), time.Time{}}, 7: {0, at(10), time.Time{}}} {
		p, from, to := r.Sole(Ref{Number: number})
		if p == nil || p.ID != pointID(want.point) || !from.Equal(want.from) || !to.Equal(want.to) {
			t.Fatalf("number %d was one point's alone from %s to %s: %v; want point %d from %s to %s", number, from, to, p, want.point, want.from, want.to)
		}
		for minute := range 59 {
			named := r.Named(Ref{Number: number}, at(minute))
			within := !at(minute).Before(from) && (to.IsZero() || at(minute).Before(to))
			if within && (len(named) != 1 || named[0] != p) || !within && len(named) > 0 {
				t.Errorf("number %d names %d points at minute %d, within its time: %v", number, len(named), minute, within)
			}
		}
	}
	for _, number := range []int{0, 1, 4, 99} {
		if p, _, _ := r.Sole(Ref{Number: number}); p != nil {
			t.Errorf("number %d is said to be the one of %s alone", number, p.Ref())
		}
	}
}
