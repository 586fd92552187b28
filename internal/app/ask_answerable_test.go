package app

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// room is a log of detectors in one room, read four times a year.
type room struct{ entries []sootline.Entry }

var roomBegan = time.Date(2020, 1, 8, 9, 0, 0, 0, time.UTC)

func (r *room) add(point sootline.ID, at time.Time, body sootline.Body) {
	site := sootline.DerivedID(roomBegan, []byte("site"))
	noted := roomBegan.AddDate(10, 0, len(r.entries))
	r.entries = append(r.entries, sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, len(r.entries))), Site: site, At: at, Noted: noted, Point: point, Body: body})
}

func (r *room) point(n int, values ...float64) {
	id := sootline.DerivedID(roomBegan, fmt.Append(nil, "point", n))
	r.add(id, roomBegan, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2", Order: n, Area: "Kiln room"}, Type: "Alpha"})
	r.add(id, roomBegan, sootline.Addressed{Wanted: n})
	for i, v := range values {
		r.add(id, roomBegan.AddDate(0, 3*i+1, 0), sootline.Read{Samples: []float64{v}})
	}
}

func (r *room) open(t *testing.T, kind judge.QuestionKind) (open []Asked) {
	t.Helper()
	for _, q := range judge.Raised(sootline.Fold(r.entries, roomBegan.AddDate(5, 0, 0))) {
		if q.Kind == kind {
			open = append(open, Asked{q, q.Key()})
		}
	}
	return open
}

// What was shown can be answered although entries elsewhere made it less likely; not when it was settled since, and
// then it is said by which entry.
func TestShownQuestionCanBeAnswered(t *testing.T) {
	r := &room{}
	r.add(sootline.ID{}, sootline.LongAgo, sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Alpha", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: new(18.0), High: new(36.0)}},
	}})
	still := []float64{23, 24, 23, 22, 24, 23, 23, 22, 23, 24, 23, 22}
	for n := 1; n <= 6; n++ {
		values := append([]float64{}, still...)
		for i := 8; n <= 3 && i < len(values); i++ {
			values[i] += 8
		}
		r.point(n, values...)
	}
	q := r.open(t, judge.AskWorks)
	if len(q) != 1 {
		t.Fatalf("asked %+v", q)
	}
	on := roomBegan.AddDate(5, 0, 0)
	for n := 7; n <= 8; n++ { // two more that did not rise: it is no half of the room any more
		r.point(n, still...)
	}
	if left := r.open(t, judge.AskWorks); len(left) > 0 {
		t.Fatal("it is open still: this shows nothing")
	}
	got, err := answerable(sootline.NewLog(r.entries), q[0].Key, on)
	if err != nil || got == nil || len(got.Say) == 0 {
		t.Fatalf("%+v, %v", got, err)
	}
	r.add(q[0].Points[1].ID, q[0].To, sootline.Replaced{})
	by := r.entries[len(r.entries)-1].ID.String()
	if got, err = answerable(sootline.NewLog(r.entries), q[0].Key, on); got != nil || err == nil || !strings.Contains(err.Error(), by) {
		t.Errorf("after the entry %s: %+v, %v", by, got, err)
	}
}

// Whatever was noted at the same instant as an answer, or how much since: the answer is named.
func TestAnsweredLongAgo(t *testing.T) {
	r := &room{}
	r.point(1, 23, 24, 23)
	r.add(r.entries[0].Point, roomBegan.AddDate(1, 0, 0), sootline.Note{Text: "a window stood open", Answers: "kwkby2"})
	by := r.entries[len(r.entries)-1].ID.String()
	for n := 2; n <= 20; n++ {
		r.point(n, 23, 24, 23)
	}
	for i := range r.entries {
		r.entries[i].Noted = roomBegan.AddDate(10, 0, 0)
	}
	got, err := answerable(sootline.NewLog(r.entries), "kwkby2", roomBegan.AddDate(5, 0, 0))
	if got != nil || sootline.ErrorCode(err) != sootline.Conflict || !strings.Contains(err.Error(), by) {
		t.Errorf("answered by %s: %+v, %v", by, got, err)
	}
	if got, err = answerable(sootline.NewLog(r.entries), "nosuch", roomBegan.AddDate(5, 0, 0)); got != nil || err != nil {
		t.Errorf("never asked: %+v, %v", got, err)
	}
}
