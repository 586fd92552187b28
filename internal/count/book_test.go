package count_test

import (
	"fmt"
	"testing"
	"time"

	"sootline"
	"sootline/internal/count"
)

// book is a log in the making, with points of each kind, by name.
type book struct {
	t       testing.TB
	entries []sootline.Entry
	zone    *time.Location
}

// Points of the book: two smoke detectors, a heat detector, a call point, a
// sounder, one whose sheet names no kind and one without a sheet.
const (
	smoke = 1 + iota
	smoke2
	heat
	press
	sounder
	unsaid
	unsheeted
)

func newBook(t testing.TB) *book {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Paris")
	if err != nil {
		t.Fatal(err)
	}
	b := &book{t: t, zone: zone}
	names := map[int]string{smoke: "Larch", smoke2: "larch", heat: "Elder", press: "Press", sounder: "Bell", unsaid: "Plain", unsheeted: "Nobody knows"}
	for name, kind := range map[string]sootline.DeviceKind{"Larch": sootline.Smoke, "Elder": sootline.Heat, "Press": sootline.CallPoint, "Bell": sootline.Sounder, "Plain": ""} {
		b.at(sootline.LongAgo, 0, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: name, Kind: kind}})
	}
	for n := smoke; n <= unsheeted; n++ {
		area := "Hall"
		if n > heat {
			area = ""
		}
		b.at(b.when("2020-01-10 09:00"), n, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Area: area}, Type: names[n]})
	}
	return b
}

func point(n int) (id sootline.ID) {
	if n > 0 {
		id[0], id[15] = 7, byte(n)
	}
	return id
}

func (b *book) at(at time.Time, n int, body sootline.Body) *sootline.Entry {
	b.t.Helper()
	e := sootline.Entry{
		ID: sootline.DerivedID(at, fmt.Append(nil, len(b.entries))), Site: sootline.ID{9}, At: at, Noted: at, Station: "test", Point: point(n), Body: body,
	}
	if err := e.Check(); err != nil {
		b.t.Fatal(err)
	}
	b.entries = append(b.entries, e)
	return &b.entries[len(b.entries)-1]
}

// add adds an entry of a day, or of a day and time, on the site's clock.
func (b *book) add(when string, n int, body sootline.Body) sootline.ID {
	b.t.Helper()
	e := b.at(b.when(when), n, body)
	e.Day = len(when) == len(time.DateOnly)
	return e.ID
}

func (b *book) when(text string) time.Time {
	b.t.Helper()
	m, err := sootline.ParseMoment(text, b.zone)
	if err != nil {
		b.t.Fatal(err)
	}
	return m.At
}

func (b *book) day(text string) sootline.Day {
	b.t.Helper()
	return sootline.DayOf(b.when(text), b.zone)
}

// fold folds as of the end of a day.
func (b *book) fold(day string) *sootline.Register {
	b.t.Helper()
	on, err := sootline.ParseDayEnds(day, b.zone)
	if err != nil {
		b.t.Fatal(err)
	}
	return sootline.Fold(b.entries, on)
}

func (b *book) signals(day string) *count.Signals {
	return count.SignalsOf(b.fold(day), b.zone, nil)
}

func (b *book) tested(day string) count.Tested {
	r := b.fold(day)
	return count.TestedWithin(r, count.SignalsOf(r, b.zone, nil).Walks(), b.day(day), 12, b.zone)
}

func (b *book) visit(from, to string, round ...int) {
	opened := sootline.Visit{State: sootline.VisitOpened}
	for _, n := range round {
		opened.Round = append(opened.Round, point(n))
	}
	b.add(from, 0, opened)
	if to != "" {
		b.add(to, 0, sootline.Visit{State: sootline.VisitClosed})
	}
}
