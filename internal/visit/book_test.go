package visit_test

import (
	"fmt"
	"testing"
	"time"

	"sootline"
	"sootline/internal/visit"
)

// book is a log in the making.
type book struct {
	t       testing.TB
	site    sootline.ID
	entries []sootline.Entry
	ids     []sootline.ID
}

func newBook(t testing.TB, service sootline.Service) *book {
	b := &book{t: t, site: sootline.DerivedID(sootline.LongAgo, []byte("site"))}
	low, high, years := 20.0, 40.0, 3.0
	for _, sheet := range []sootline.TypeSheet{
		{Name: "Larch", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: &low, High: &high}}},
		{Name: "Elder", Kind: sootline.Heat, Bands: []sootline.Band{{Low: &low, High: &high}}},
		{Name: "Press", Kind: sootline.CallPoint},
		{Name: "Aged", Kind: sootline.Smoke, LifeYears: &years, Bands: []sootline.Band{{Low: &low, High: &high}}},
	} {
		b.add(sootline.LongAgo, sootline.ID{}, sootline.Sheet{TypeSheet: sheet})
	}
	if len(service.Rules) > 0 || len(service.Minutes) > 0 || len(service.Areas) > 0 {
		b.add(sootline.LongAgo, sootline.ID{}, service)
	}
	return b
}

func (b *book) add(at time.Time, point sootline.ID, body sootline.Body) {
	e := sootline.Entry{
		ID: sootline.DerivedID(at, fmt.Append(nil, len(b.entries))), Site: b.site, At: at, Noted: at, Station: "test", Point: point, Body: body,
	}
	if err := e.Check(); err != nil {
		b.t.Fatal(err)
	}
	b.entries = append(b.entries, e)
}

// fit fits a device and gives its turn among those fitted.
func (b *book) fit(at time.Time, typ string, place sootline.Place) int {
	n := len(b.ids)
	id := sootline.DerivedID(sootline.LongAgo, fmt.Append(nil, "point", n))
	b.ids = append(b.ids, id)
	place.Panel = "1"
	if place.Loop == "" {
		place.Loop = fmt.Sprint(1 + n/100)
	}
	place.Order = 1 + n%100
	b.add(at, id, sootline.Fitted{Place: place, Type: typ})
	b.add(at, id, sootline.Addressed{Wanted: 1 + n%100})
	return n
}

func (b *book) test(at time.Time, points ...int) {
	for _, p := range points {
		b.add(at, b.ids[p], sootline.Tested{})
	}
}

func (b *book) read(at time.Time, point int, value float64) {
	b.add(at, b.ids[point], sootline.Read{Samples: []float64{value}})
}

func (b *book) visit(at time.Time) {
	b.add(at, sootline.ID{}, sootline.Visit{State: "opened"})
	b.add(at.Add(8*time.Hour), sootline.ID{}, sootline.Visit{State: "closed"})
}

func (b *book) fold(on visit.Day) *sootline.Register {
	return sootline.Fold(b.entries, on.Time().AddDate(0, 0, 1).Add(-time.Millisecond))
}

func (b *book) list(on visit.Day, unwanted ...visit.Alarm) (*sootline.Register, []visit.Obligation) {
	r := b.fold(on)
	return r, visit.List(r, visit.Input{On: on, Unwanted: unwanted, Raised: raise(r)})
}

// morning is nine o'clock of a day.
func morning(d visit.Day) time.Time { return d.Time().Add(9 * time.Hour) }

// only gives the obligations of a rule's form.
func only(all []visit.Obligation, form sootline.ServiceForm) []visit.Obligation {
	var some []visit.Obligation
	for _, o := range all {
		if o.Rule.Form == form {
			some = append(some, o)
		}
	}
	return some
}

func set(t testing.TB, name string) sootline.Service {
	t.Helper()
	for _, s := range visit.Sets() {
		if s.Name == name {
			return sootline.Service{Rules: s.Rules}
		}
	}
	t.Fatalf("no set %s", name)
	return sootline.Service{}
}

// one is a service of one rule.
func one(rule sootline.ServiceRule) sootline.Service {
	if rule.Name == "" {
		rule.Name = "rule"
	}
	rule.Known = sootline.KnownOwn
	return sootline.Service{Rules: []sootline.ServiceRule{rule}}
}
