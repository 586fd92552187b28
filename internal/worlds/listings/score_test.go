package listings

import (
	"slices"
	"testing"
	"time"

	"sootline"
)

// plant changes what a perfect clerk wrote into a misreading; ok is false where the listing has nothing to change.
type plant struct {
	name   string
	layout string
	do     func(l *Listing, o *Outcome) (ok bool)
}

// change puts another body in the place of the first entry that it takes.
func change[B sootline.Body](with func(b B) (sootline.Body, bool)) func(l *Listing, o *Outcome) bool {
	return func(_ *Listing, o *Outcome) bool {
		for i, e := range o.Written {
			if b, ok := e.Body.(B); ok {
				if body, taken := with(b); taken {
					o.Written[i].Body = body
					return true
				}
			}
		}
		return false
	}
}

// add writes one more entry, like the last but with another body and point.
func add(o *Outcome, at time.Time, point sootline.ID, body sootline.Body) {
	e := sootline.Entry{ID: sootline.DerivedID(at, []byte("planted")), At: at, Day: true, Noted: at, By: "A. Clerk", Station: "desk", Point: point, Body: body}
	o.Written = append(o.Written, e)
}

// knownPoint gives a point of the site.
func knownPoint(l *Listing) (id sootline.ID, fitted sootline.Fitted, ok bool) {
	for _, e := range l.Site {
		if f, is := e.Body.(sootline.Fitted); is {
			return e.Point, f, true
		}
	}
	return id, fitted, false
}

func onKnown(body func(f sootline.Fitted) sootline.Body) func(l *Listing, o *Outcome) bool {
	return func(l *Listing, o *Outcome) bool {
		id, fitted, ok := knownPoint(l)
		if ok {
			add(o, time.Date(2025, 8, 1, 9, 0, 0, 0, time.UTC), id, body(fitted))
		}
		return ok
	}
}

func plants() []plant { return slices.Concat(readingPlants(), sitePlants(), otherPlants()) }

const planted = "readings, loop and address apart"

// readingPlants misread values.
func readingPlants() []plant {
	const readings = planted
	return []plant{
		{"a value ten times as large", readings, change(func(b sootline.Read) (sootline.Body, bool) {
			return sootline.Read{Samples: []float64{b.Samples[0] * 10}}, true
		})},
		{"a reading on another day", readings, func(_ *Listing, o *Outcome) bool {
			o.Written[0].At = o.Written[0].At.AddDate(0, 0, 1)
			return true
		}},
		{"a reading on another point", readings, func(_ *Listing, o *Outcome) bool {
			for i := 1; i < len(o.Written); i++ {
				if !slices.Equal(samples(o.Written[0]), samples(o.Written[i])) {
					o.Written[0].Point = o.Written[i].Point
					return true
				}
			}
			return false
		}},
		{"a second sample", readings, func(_ *Listing, o *Outcome) bool {
			o.Written[0].Body = sootline.Read{Samples: append(samples(o.Written[0]), 77)}
			return true
		}},
		{"another quantity", readings, change(func(b sootline.Read) (sootline.Body, bool) {
			return sootline.Read{Samples: b.Samples, Quantity: "V"}, true
		})},
	}
}

// sitePlants change points of the site, of which the listing says nothing.
func sitePlants() []plant {
	const readings = planted
	return []plant{
		{"a unit replaced", readings, onKnown(func(sootline.Fitted) sootline.Body { return sootline.Replaced{Type: "ANALOGUE VALUE"} })},
		{"a place overwritten", readings, onKnown(func(f sootline.Fitted) sootline.Body {
			f.Location = "ok"
			return sootline.Moved{Place: f.Place}
		})},
		{"a point removed", readings, onKnown(func(sootline.Fitted) sootline.Body { return sootline.Removed{} })},
		{"a setting named A", readings, onKnown(func(sootline.Fitted) sootline.Body { return sootline.Set{Found: map[string]string{"A": "A"}} })},
		{"a device cleaned", readings, onKnown(func(sootline.Fitted) sootline.Body { return sootline.Cleaned{} })},
		{"fitted anew", readings, onKnown(func(f sootline.Fitted) sootline.Body { return f })},
		{"a loop invented", readings, func(_ *Listing, o *Outcome) bool {
			id := sootline.DerivedID(sootline.LongAgo, []byte("invented"))
			add(o, sootline.LongAgo, id, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "73"}, Type: "Larchom"})
			add(o, sootline.LongAgo, id, sootline.Addressed{Wanted: 1})
			return true
		}},
	}
}

// otherPlants misread schedules, tests, alarms, types and numbers.
func otherPlants() []plant {
	const schedule = "schedule"
	return []plant{
		{"another type", schedule, change(func(b sootline.Fitted) (sootline.Body, bool) { b.Type = "ok"; return b, true })},
		{"another zone", schedule, change(func(b sootline.Fitted) (sootline.Body, bool) { b.Zone = "77"; return b, true })},
		{"another place", schedule, change(func(b sootline.Fitted) (sootline.Body, bool) { b.Location = "Loft"; return b, true })},
		{"another serial", schedule, change(func(b sootline.Fitted) (sootline.Body, bool) { b.Unit.Serial = "K1"; return b, true })},
		{"another number", schedule, change(func(b sootline.Addressed) (sootline.Body, bool) { b.Wanted = 126; return b, true })},
		{"a failed test passed", "check list", change(func(b sootline.Tested) (sootline.Body, bool) { return sootline.Tested{}, b.Failed })},
		{"another category", "alarms", change(func(b sootline.Alarm) (sootline.Body, bool) {
			b.Category = sootline.RealFire
			return b, true
		})},
		{"the fire service came", "alarms", change(func(b sootline.Alarm) (sootline.Body, bool) {
			was := b.Attended
			b.Attended = true
			return b, !was
		})},
		{"found and left as one look", "readings found and left", func(_ *Listing, o *Outcome) bool {
			o.Written[0].Body = sootline.Read{Samples: append(samples(o.Written[0]), samples(o.Written[1])...)}
			o.Written = append(o.Written[:1], o.Written[2:]...)
			return true
		}},
		{"another kind of type", "types", change(func(b sootline.Sheet) (sootline.Body, bool) {
			b.TypeSheet.Kind = sootline.Flame
			return b, true
		})},
		{"another number found", "numbers found, by point", change(func(b sootline.Addressed) (sootline.Body, bool) {
			b.Found += 3
			return b, true
		})},
	}
}

func samples(e sootline.Entry) []float64 {
	read, ok := e.Body.(sootline.Read)
	if !ok {
		return nil
	}
	return slices.Clone(read.Samples)
}

// Every planted misreading is called one, whatever the listing.
func TestPlantedMisreadings(t *testing.T) {
	for _, p := range plants() {
		n := 0
		for seed := uint64(0); seed < 40 && n < 8; seed++ {
			l := MakeOf(seed, p.layout, "csv", "English")
			if len(l.Truth.Open) > 0 {
				continue
			}
			o := perfect(l)
			if len(o.Written) < 2 || !p.do(&l, &o) {
				continue
			}
			n++
			if v := Score(l, o); v.Class != Misread {
				t.Errorf("%s, seed %d: %s", p.name, seed, v)
			}
		}
		if n < 3 {
			t.Errorf("%s was planted %d times", p.name, n)
		}
	}
}

// What says the same in another shape is right.
func TestOtherShapes(t *testing.T) {
	merged := func(o Outcome) Outcome { // samples of one look as one entry
		at := map[sootline.ID]int{}
		var kept []sootline.Entry
		for _, e := range o.Written {
			if i, ok := at[e.Point]; ok {
				kept[i].Body = sootline.Read{Samples: append(samples(kept[i]), samples(e)...)}
				continue
			}
			at[e.Point] = len(kept)
			kept = append(kept, e)
		}
		o.Written = kept
		return o
	}
	area := func(o Outcome) Outcome { // places as areas, zones in words, a bare sheet beside each type
		for i, e := range o.Written {
			if f, ok := e.Body.(sootline.Fitted); ok {
				f.Area, f.Location, f.Zone = f.Location, "", "Zone 0"+f.Zone
				o.Written[i].Body = f
			}
		}
		return o
	}
	for seed := range uint64(60) {
		l := MakeOf(seed, "readings, three samples", "csv", "German")
		if len(l.Truth.Open) == 0 && !slices.Contains(l.Spoilings, "rows twice") {
			if v := Score(l, merged(perfect(l))); v.Class != Right {
				t.Errorf("samples in one entry, seed %d: %s", seed, v)
			}
		}
		l = MakeOf(seed, "schedule", "csv", "German")
		if len(l.Truth.Open) == 0 {
			if v := Score(l, area(perfect(l))); v.Class != Right {
				t.Errorf("places as areas, seed %d: %s", seed, v)
			}
		}
	}
}

// What is left out is lost where nobody says so, refused where rows are handed back, and asked where it was asked.
func TestLeavingOut(t *testing.T) {
	l := MakeOf(5, "readings", "csv", "English")
	for seed := uint64(6); len(l.Truth.Open) > 0 || len(l.Truth.Hidden) > 0; seed++ {
		l = MakeOf(seed, "readings", "csv", "English")
	}
	short := perfect(l)
	short.Written = short.Written[2:]
	for _, c := range []struct {
		says string
		with func(o *Outcome)
		want Class
	}{
		{"nothing said", func(*Outcome) {}, Lost},
		{"one row handed back of two", func(o *Outcome) { o.RowsRefused = 1 }, Lost},
		{"two rows handed back", func(o *Outcome) { o.RowsRefused = 2 }, Refused},
		{"a question", func(o *Outcome) { o.Questions = []string{"which?"} }, Asked},
		{"all refused", func(o *Outcome) { o.Written, o.Exit, o.Refused = nil, 3, []string{"no"} }, Refused},
	} {
		o := short
		c.with(&o)
		if v := Score(l, o); v.Class != c.want {
			t.Errorf("%s: %s, expected %s", c.says, v, c.want)
		}
	}
}

// What is open, and was written all the same, is misread; hidden parts that nobody speaks of are lost.
func TestOpenAndHidden(t *testing.T) {
	open, hidden := 0, 0
	for seed := range uint64(250) {
		l := MakeOf(seed, "readings by number alone", "xlsx", "English")
		if len(l.Truth.Open) > 0 {
			open++
			o := perfect(l)
			id, _, _ := knownPoint(&l)
			add(&o, time.Date(2024, 8, 1, 9, 0, 0, 0, time.UTC), id, sootline.Read{Samples: []float64{30}})
			if v := Score(l, o); v.Class != Misread {
				t.Errorf("seed %d: %s", seed, v)
			}
			o = perfect(l)
			o.Questions = nil
			if v := Score(l, o); v.Class != Lost {
				t.Errorf("seed %d, no question: %s", seed, v)
			}
		}
		l = MakeOf(seed, "readings", "ods", "French")
		if len(l.Truth.Hidden) > 0 && len(l.Truth.Open) == 0 {
			hidden++
			o := perfect(l)
			o.Told = nil
			if v := Score(l, o); v.Class != Lost {
				t.Errorf("seed %d, nothing told of what is hidden: %s", seed, v)
			}
		}
	}
	if open < 50 || hidden < 10 {
		t.Errorf("%d open, %d with hidden parts", open, hidden)
	}
}
