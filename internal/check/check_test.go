package check_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/check"
)

var (
	on   = time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	site = sootline.DerivedID(on, []byte("site"))
)

// book collects entries as a station would write them.
type book struct{ entries []sootline.Entry }

func (b *book) add(at time.Time, point string, body sootline.Body) {
	e := sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, len(b.entries))), Site: site, At: at, Noted: on, Body: body}
	if point != "" {
		e.Point = sootline.DerivedID(on, []byte(point))
	}
	b.entries = append(b.entries, e)
}

// fit fits a device on loop 1.2, the next along the cable.
func (b *book) fit(at time.Time, point, kind string, number int) {
	b.add(at, point, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2", Order: 1 + len(b.entries), Location: point}, Type: kind})
	b.add(at, point, sootline.Addressed{Wanted: number})
}

// sound makes a book with which nothing is wrong: one smoke detector of a type
// with a band, fitted on a known day, read, on a loop with a span.
func sound() *book {
	b := &book{}
	b.add(sootline.LongAgo, "", sootline.LoopFacts{Panel: "1", Loop: "2", First: 1, Last: 126})
	b.add(sootline.LongAgo, "", sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Alpha", Kind: sootline.Smoke, LifeYears: new(10.0), Bands: []sootline.Band{{Low: new(20.0), High: new(35.0)}},
	}})
	b.fit(date("2020-05-01"), "hall", "Alpha", 1)
	b.add(date("2025-05-01"), "hall", sootline.Read{Samples: []float64{25}})
	return b
}

func date(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

func (b *book) check() []sootline.Finding { return check.Register(sootline.Fold(b.entries, on), on) }

// Each case adds to a sound book and names what is then found: code, weight,
// how many points and entries, and what the sentence has to say. Days are
// counted by hand: 2026-02-25 09:00 is 7 days before the check, and 7 days is
// what a site allows that chose nothing.
func TestRegister(t *testing.T) {
	type want struct {
		code            string
		weight          sootline.Weight
		points, entries int
		says            []string
	}
	at := date("2025-01-10")
	read := sootline.Read{Samples: []float64{25}}
	for _, c := range []struct {
		name string
		add  func(b *book)
		want []want
	}{
		{"nothing", func(*book) {}, nil},
		{"no type", func(b *book) {
			b.fit(at, "attic", " ", 2)
			b.add(at, "attic", read)
		}, []want{{check.TypeMissing, sootline.Warning, 1, 0, []string{"1.2.002", "1 point on loop 1.2"}}}},
		{"type without a sheet", func(b *book) {
			for n := 2; n < 14; n++ {
				b.fit(at, fmt.Sprint("p", n), "Beta  9", n)
				b.add(at, fmt.Sprint("p", n), read)
			}
		}, []want{{check.TypeUnknown, sootline.Warning, 12, 0, []string{"Beta 9", "12 points", "1.2.002", "and 4 more"}}}},
		{"no band", func(b *book) {
			b.add(at, "", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Gamma", Kind: sootline.Heat}})
			b.fit(at, "attic", "gamma", 2)
			b.add(at, "attic", read)
		}, []want{{check.BandMissing, sootline.Warning, 1, 0, []string{"Gamma", "no band of 1 point", "1.2.002"}}}},
		{"a sounder needs no band and no reading", func(b *book) {
			b.add(at, "", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Gamma", Kind: sootline.Sounder}})
			b.fit(at, "attic", "Gamma", 2)
		}, nil},
		{"no band for the setting", func(b *book) {
			b.add(at, "", sootline.Sheet{TypeSheet: sootline.TypeSheet{
				Name: "Gamma", Bands: []sootline.Band{{Setting: "mode=1", Low: new(1.0), High: new(2.0)}},
			}})
			b.fit(at, "attic", "Gamma", 2)
			b.add(at, "attic", read)
			b.fit(at, "shaft", "Gamma", 3)
			b.add(at, "shaft", read)
			b.add(at, "shaft", sootline.Set{Found: map[string]string{"mode": "1"}})
		}, []want{{check.BandMissing, sootline.Warning, 1, 0, []string{"for the settings of 1 point", "1.2.002"}}}},
		{"one limit", func(b *book) {
			b.add(at, "", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Gamma", Bands: []sootline.Band{{High: new(2.0)}}}})
			b.fit(at, "attic", "Gamma", 2)
			b.add(at, "attic", read)
		}, []want{{check.BandOneSided, sootline.Hint, 1, 0, []string{"high limit and no low one"}}}},
		{"past its life", func(b *book) {
			b.fit(date("2016-03-05"), "attic", "Alpha", 2) // ten years tomorrow
			b.add(at, "attic", read)
			b.fit(date("2016-03-04"), "shaft", "Alpha", 3) // ten years today
			b.add(at, "shaft", read)
			b.fit(date("2010-03-04"), "loft", "Alpha", 4) // its unit was replaced
			b.add(date("2020-03-04"), "loft", sootline.Replaced{})
			b.add(at, "loft", read)
		}, []want{{check.LifePast, sootline.Warning, 1, 1, []string{"1.2.003", "2016-03-04", "10 years"}}}},
		{"nobody knows its age", func(b *book) {
			b.fit(sootline.LongAgo, "attic", "Alpha", 2)
			b.add(at, "attic", read)
		}, []want{{check.FitUnknown, sootline.Hint, 1, 0, []string{"1 point of 2"}}}},
		{"never read", func(b *book) {
			b.fit(at, "attic", "Alpha", 2)
		}, []want{{check.NeverRead, sootline.Warning, 1, 0, []string{"nobody ever read 1 point on loop 1.2", "1.2.002"}}}},
		{"disabled", func(b *book) {
			b.add(date("2026-02-25").Add(9*time.Hour), "hall", sootline.Disabled{Cause: "painting"})
		}, []want{{check.Disabled, sootline.Warning, 1, 1, []string{"1.2.001", "2026-02-25", "7 days", "painting"}}}},
		{"forgotten", func(b *book) {
			b.add(date("2026-02-25").Add(8*time.Hour), "hall", sootline.Disabled{})
		}, []want{{check.Forgotten, sootline.Serious, 1, 1, []string{"1.2.001", "2026-02-25", "add-entry [restored 1.2.001]"}}}},
		{"the site allows more", func(b *book) {
			b.add(at, "", sootline.Opened{Rules: sootline.Rules{ForgottenDays: 14}})
			b.add(date("2026-02-20"), "hall", sootline.Disabled{})
		}, []want{{check.Disabled, sootline.Warning, 1, 1, nil}}},
		{"put back", func(b *book) {
			b.add(date("2026-02-20"), "hall", sootline.Disabled{})
			b.add(date("2026-02-21"), "hall", sootline.Restored{})
		}, nil},
		{"parts of the site", func(b *book) {
			b.add(date("2026-02-20"), "", sootline.Disabled{Text: "zone 3"})
			b.add(date("2026-03-01"), "", sootline.Disabled{Text: "sounders"})
			b.add(date("2026-03-02"), "", sootline.Disabled{Text: "zone 9"})
			b.add(date("2026-03-03"), "", sootline.Restored{Text: "zone 9"})
		}, []want{
			{check.Forgotten, sootline.Serious, 0, 1, []string{"zone 3"}},
			{check.Disabled, sootline.Warning, 0, 1, []string{"sounders", "3 days"}},
		}},
		{"never fitted", func(b *book) {
			b.add(date("2025-06-01"), "ghost", read)
			b.add(date("2025-07-01"), "ghost", sootline.Cleaned{})
		}, []want{{check.NeverFitted, sootline.Warning, 1, 2, []string{"1 point", "2 entries", "2025-06-01", "2025-07-01"}}}},
		{"a loop nobody described", func(b *book) {
			b.add(at, "attic", sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "3"}, Type: "Alpha"})
			b.add(at, "attic", read)
		}, []want{{check.SpanAssumed, sootline.Hint, 0, 0, []string{"loop 1.3", "1 to 126", "127"}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := sound()
			c.add(b)
			findings := b.check()
			var got []want
			for i, f := range findings {
				w := want{code: f.Code, weight: f.Weight, points: len(f.Points), entries: len(f.Entries)}
				if i < len(c.want) {
					w.says = c.want[i].says
				}
				for _, part := range w.says {
					if text := fmt.Sprint(f.Reason, "; ", []sootline.Way(f.WayOut)); !strings.Contains(text, part) {
						t.Errorf("%q lacks %q", text, part)
					}
				}
				got = append(got, w)
			}
			if diff := cmp.Diff(c.want, got, cmp.AllowUnexported(want{})); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Whatever a log holds, a finding says something, says what to do, names only
// entries of the log, and does not depend on the order the entries came in.
// A type without a band of its own whose points were read for what has a band lacks none; what was read without one does.
func TestBandOfAnotherQuantity(t *testing.T) {
	for name, c := range map[string]struct {
		quantity string
		want     bool
	}{"what has a band": {sootline.CompensationUsed, false}, "the resting value": {"", true}, "another one": {"temperature", true}} {
		b := sound()
		b.add(sootline.LongAgo, "", sootline.Sheet{TypeSheet: sootline.TypeSheet{
			Name: "Moss", Kind: sootline.Smoke, LifeYears: new(10.0),
			Others: []sootline.Quantity{{Name: sootline.CompensationUsed, Unit: "%", Bands: []sootline.Band{{High: new(80.0)}}}},
		}})
		b.fit(date("2020-05-01"), "store", "Moss", 2)
		b.add(date("2025-05-01"), "store", sootline.Read{Samples: []float64{40}, Quantity: c.quantity})
		found := slices.ContainsFunc(b.check(), func(f sootline.Finding) bool { return f.Code == check.BandMissing })
		if found != c.want {
			t.Errorf("%s: found %v", name, found)
		}
	}
}

func TestAnyLog(t *testing.T) {
	bodies := []sootline.Body{
		sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2"}, Type: "Alpha"},
		sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2"}},
		sootline.Read{Samples: []float64{25}},
		sootline.Cleaned{},
		sootline.Replaced{Type: "Beta"},
		sootline.Removed{},
		sootline.Disabled{Text: "dust"},
		sootline.Restored{},
		sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Alpha", LifeYears: new(1e300)}},
		sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Beta", LifeYears: new(0.5), Bands: []sootline.Band{{Low: new(1.0)}}}},
	}
	rapid.Check(t, func(t *rapid.T) {
		var b book
		ids := map[sootline.ID]bool{}
		for range rapid.IntRange(0, 25).Draw(t, "entries") {
			at := on.AddDate(0, 0, -rapid.IntRange(0, 900).Draw(t, "days ago"))
			if rapid.IntRange(0, 9).Draw(t, "long ago") == 0 {
				at = sootline.LongAgo
			}
			point := rapid.SampledFrom([]string{"hall", "attic", "shaft"}).Draw(t, "point")
			b.add(at, point, rapid.SampledFrom(bodies).Draw(t, "body"))
			ids[b.entries[len(b.entries)-1].ID] = true
		}
		findings := b.check()
		for _, f := range findings {
			if f.Code == "" || f.Reason == "" || len(f.WayOut) == 0 {
				t.Fatalf("finding without words: %+v", f)
			}
			for _, id := range f.Entries {
				if !ids[id] {
					t.Fatalf("%s rests on an entry that is not in the log", f.Code)
				}
			}
		}
		mixed := book{rapid.Permutation(b.entries).Draw(t, "mixed")}
		if diff := cmp.Diff(sentences(findings), sentences(mixed.check())); diff != "" {
			t.Fatal(diff)
		}
	})
}

func sentences(findings []sootline.Finding) []string {
	var list []string
	for _, f := range findings {
		list = append(list, f.Code+": "+f.Reason)
	}
	return list
}
