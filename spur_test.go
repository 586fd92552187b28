package sootline

import (
	"testing"
	"time"
)

// A spur goes on hanging from the point that had the number when the place was
// written down, though that point carries another number now and a third one has
// taken the old number.
func TestSpurFromOutlivesNumbers(t *testing.T) {
	var log []Entry
	add := func(at time.Time, point int, body Body) {
		id := DerivedID(at, []byte{byte(len(log))})
		log = append(log, Entry{ID: id, Site: pointID(99), At: at, Noted: at, Station: "laptop", Seq: int64(len(log) + 1), Point: pointID(point), Body: body})
	}
	place := Place{Panel: "1", Loop: "1"}
	onSpur := place
	onSpur.Spur = 12
	add(LongAgo, 1, Fitted{Place: onSpur}) // before its ring point, as a schedule may list it
	add(LongAgo, 2, Fitted{Place: place})
	add(LongAgo, 2, Addressed{Wanted: 12})
	add(LongAgo, 3, Fitted{Place: place})
	add(LongAgo, 3, Addressed{Wanted: 13})
	want := func(r *Register, number int) {
		t.Helper()
		from := r.SpurFrom(r.Point(pointID(1)))
		if from == nil || from.ID != pointID(2) || from.Ref().Number != number {
			t.Errorf("the spur hangs from %+v, want the point that is now %d", from, number)
		}
	}
	later := epoch.AddDate(1, 0, 0)
	want(Fold(log, later), 12)
	add(epoch, 2, Addressed{Wanted: 50})
	add(epoch, 3, Addressed{Wanted: 12})
	want(Fold(log, later), 50)
	r := Fold(log, later)
	if from := r.SpurFrom(r.Point(pointID(3))); from != nil {
		t.Errorf("a point on the ring hangs from %+v", from)
	}
	nowhere := onSpur
	nowhere.Spur = 77
	add(epoch, 1, Moved{Place: nowhere})
	r = Fold(log, later)
	if from := r.SpurFrom(r.Point(pointID(1))); from != nil {
		t.Errorf("number 77 was never there, and the spur hangs from %+v", from)
	}
}

// A later word on an area replaces an earlier one; names are matched without
// regard to case and spaces, as those of types.
func TestAreas(t *testing.T) {
	log := []Entry{
		{ID: pointID(1), Site: pointID(9), At: LongAgo, Body: AreaFacts{Area: "North  wing", Floor: "1", M2: 600}},
		{ID: pointID(2), Site: pointID(9), At: epoch, Body: AreaFacts{Area: "north wing", Floor: "2"}},
	}
	if a := Fold(log, epoch.AddDate(-1, 0, 0)).Area(" NORTH wing"); a == nil || a.M2 != 600 || a.Floor != "1" {
		t.Errorf("%+v", a)
	}
	r := Fold(log, epoch)
	if a := r.Area("North wing"); a == nil || a.M2 != 0 || a.Floor != "2" || len(r.Areas()) != 1 {
		t.Errorf("%+v of %d", a, len(r.Areas()))
	}
	for _, wrong := range []AreaFacts{{Area: " "}, {Area: "x", M2: -1}} {
		if wrong.check() == nil {
			t.Errorf("%+v: no error", wrong)
		}
	}
}
