package judge_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

var site = sootline.DerivedID(date("2026-01-01"), []byte("site"))

func date(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

// book collects the entries about one point, as a station would write them.
type book struct{ entries []sootline.Entry }

var hall = sootline.DerivedID(date("2026-01-01"), []byte("hall"))

func (b *book) add(at time.Time, body sootline.Body) {
	e := sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, len(b.entries))), Site: site, At: at, Noted: at, Body: body}
	switch body.(type) {
	case sootline.Sheet, sootline.Opened:
	default:
		e.Point = hall
	}
	b.entries = append(b.entries, e)
}

func (b *book) fit(at time.Time) {
	b.add(at, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2"}, Type: "Alpha"})
}

// sheet states the type sheet; a later one replaces it.
func (b *book) sheet(sheet sootline.TypeSheet) {
	sheet.Name = "Alpha"
	b.add(sootline.LongAgo.Add(time.Duration(len(b.entries))*time.Second), sootline.Sheet{TypeSheet: sheet})
}

func (b *book) read(at time.Time, samples ...float64) { b.add(at, sootline.Read{Samples: samples}) }

// visits adds one reading of one sample every three months, the last on the
// day given.
func (b *book) visits(last time.Time, values ...float64) {
	for i, v := range values {
		b.read(last.AddDate(0, -3*(len(values)-1-i), 0), v)
	}
}

// judge gives the judgement of the only point.
func (b *book) judge(t testing.TB, on time.Time) judge.Judgement {
	t.Helper()
	site := judge.Site(sootline.Fold(b.entries, on), on)
	if len(site) != 1 {
		t.Fatalf("%d judgements of one point", len(site))
	}
	return site[0]
}

// alpha is a smoke detector's sheet with the band 20 to 35.
func alpha() sootline.TypeSheet {
	return sootline.TypeSheet{
		Kind: sootline.Smoke, Unit: "counts",
		Bands: []sootline.Band{{Low: new(20.0), High: new(35.0)}},
	}
}

func near(t *testing.T, what string, got, want *float64, tolerance float64) {
	t.Helper()
	if got == nil || math.Abs(*got-*want) > tolerance*max(1, math.Abs(*want)) {
		t.Errorf("%s: %v, want %v", what, text(got), *want)
	}
}

func text(x *float64) string {
	if x == nil {
		return "none"
	}
	return fmt.Sprint(*x)
}
