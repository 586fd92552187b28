package app

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sootline"
)

// phoneDay is a site of twelve points, and what two phones did on it in one visit:
// readings, tests, cleanings, other units, numbers, remarks, and taking back, also
// of what the other phone wrote.
func phoneDay(seed uint64) (log []sootline.Entry, phones [2][]Capture) {
	chance := rand.New(rand.NewPCG(seed, 7))
	began := time.Date(2026, 1, 20, 8, 0, 0, 0, time.UTC)
	site := sootline.DerivedID(began, []byte("site"))
	var points []sootline.ID
	for i := range 12 {
		p := sootline.DerivedID(began, fmt.Append(nil, "point", i))
		points = append(points, p)
		place := sootline.Place{Panel: "1", Loop: "1", Order: i + 1}
		log = append(log, sootline.Entry{ID: sootline.DerivedID(began, fmt.Append(nil, "fitted", i)), Site: site, At: began, Noted: began, Station: "laptop", Point: p, Body: sootline.Fitted{Place: place, Type: "Larch"}})
	}
	var written []sootline.ID
	for n := range 80 {
		which := chance.IntN(2)
		at := began.Add(time.Duration(1+chance.IntN(200)) * 20 * time.Second) // some at one instant
		c := Capture{ID: sootline.DerivedID(at, fmt.Append(nil, seed, n)), At: at, Point: points[chance.IntN(len(points))]}
		switch chance.IntN(9) {
		case 0:
			c.Body = sootline.Tested{Failed: chance.IntN(4) == 0}
		case 1:
			c.Body = sootline.Cleaned{}
		case 2:
			c.Body = sootline.Replaced{Unit: sootline.Unit{Serial: fmt.Sprint("S", n)}}
		case 3:
			c.Body = sootline.Addressed{Found: 1 + chance.IntN(126)}
		case 4:
			c.Body = sootline.Disabled{Text: "off"}
		case 5:
			c.Body = sootline.Restored{}
		case 6:
			if len(written) > 0 {
				c.Point, c.Body = sootline.ID{}, sootline.Withdrawn{Entry: written[chance.IntN(len(written))]}
				break
			}
			fallthrough
		default:
			c.Body = sootline.Read{Samples: []float64{float64(20 + chance.IntN(30))}}
		}
		written = append(written, c.ID)
		phones[which] = append(phones[which], c)
	}
	return log, phones
}

// told writes down everything that a register says of its points, but for the
// places of entries in their stations' chains, which tell when they arrived.
func told(r *sootline.Register) string {
	var b strings.Builder
	for _, p := range r.Points() {
		fmt.Fprintln(&b, p.ID, p.Type, p.Unit, p.UnitSince, p.Wanted, p.Found, p.Ref(), p.Disabled != nil)
		for _, reading := range p.Readings {
			fmt.Fprintln(&b, " read", reading.At, reading.Samples, reading.Entry.ID, reading.Entry.Station)
		}
		for _, reset := range p.Resets {
			fmt.Fprintln(&b, " reset", reset.At, reset.Why, reset.Entry.ID)
		}
		for _, event := range p.Events {
			fmt.Fprintln(&b, " event", event.At, event.Kind, event.Text, event.Failed, event.Entry.ID, event.Entry.By)
		}
	}
	return b.String()
}

// TestTwoPhonesConverge hands in the work of two phones in 1,000 random orders, in
// random pieces, some of them twice, and folds what the log then holds: the
// register is always that of the union, and no entry is there twice.
func TestTwoPhonesConverge(t *testing.T) {
	log, phones := phoneDay(1)
	site := log[0].Site
	now := time.Date(2026, 1, 20, 18, 0, 0, 0, time.UTC)
	apps := [2]*App{}
	for i := range apps {
		apps[i] = &App{Who: sootline.Actor{Name: fmt.Sprint("Tech ", i), Role: sootline.Technician, Station: fmt.Sprint("p-", i), Phone: true}, Now: func() time.Time { return now }}
	}
	union := slices.Clone(log)
	for i, a := range apps {
		for _, c := range phones[i] {
			union = append(union, a.captured(site, c))
		}
	}
	want := told(sootline.Fold(union, now))
	if withdrawn := len(sootline.Amendments(union)); withdrawn < 3 {
		t.Fatalf("the day has only %d entries taken back", withdrawn)
	}
	for order := range 1000 {
		chance := rand.New(rand.NewPCG(uint64(order), 42))
		held := slices.Clone(log)
		type piece struct {
			phone    int
			captures []Capture
		}
		var pieces []piece
		for i := range phones {
			mine := slices.Clone(phones[i])
			chance.Shuffle(len(mine), func(a, b int) { mine[a], mine[b] = mine[b], mine[a] })
			for len(mine) > 0 {
				n := 1 + chance.IntN(len(mine))
				pieces = append(pieces, piece{i, mine[:n]})
				if chance.IntN(3) == 0 {
					pieces = append(pieces, piece{i, mine[:n]})
				}
				mine = mine[n:]
			}
		}
		chance.Shuffle(len(pieces), func(a, b int) { pieces[a], pieces[b] = pieces[b], pieces[a] })
		for _, p := range pieces {
			fresh, handed := apps[p.phone].fresh(site, asHeld(held), p.captures, apps[p.phone].mayWriteTest)
			if len(handed.Refused) > 0 || len(handed.Kept) != len(p.captures) {
				t.Fatalf("order %d: %d of %d kept, refused %v", order, len(handed.Kept), len(p.captures), handed.Refused)
			}
			held = append(held, fresh...)
		}
		if len(held) != len(union) {
			t.Fatalf("order %d leaves %d entries, want %d", order, len(held), len(union))
		}
		if diff := cmp.Diff(want, told(sootline.Fold(held, now))); diff != "" {
			t.Fatalf("order %d gives another register:\n%s", order, diff)
		}
	}
}

// asHeld gives what a log holds that captures are held against, as [heldOf] reads
// it from a book.
func asHeld(entries []sootline.Entry) logOf {
	log := logOf{map[sootline.ID]*sootline.Entry{}, map[sootline.ID]bool{{}: true}, time.Time{}}
	for i := range entries {
		log.entries[entries[i].ID] = &entries[i]
		if entries[i].Body.Kind() == sootline.FittedKind {
			log.points[entries[i].Point] = true
		}
	}
	return log
}

// What a phone may not hand in is refused one by one, with a reason, and the rest kept.
func TestHandInRefuses(t *testing.T) {
	log, phones := phoneDay(2)
	now := time.Date(2026, 1, 20, 18, 0, 0, 0, time.UTC)
	a := &App{Who: sootline.Actor{Role: sootline.Technician, Station: "p-0", Phone: true}, Now: func() time.Time { return now }}
	good := phones[0][0]
	other := good
	other.Body = sootline.Note{Text: "something else"}
	stray := good
	stray.ID, stray.Point = sootline.DerivedID(now, []byte("stray")), sootline.DerivedID(now, []byte("nowhere"))
	opened := good
	opened.ID, opened.Body = sootline.DerivedID(now, []byte("opened")), sootline.Opened{Name: "Mine now"}
	ahead := good
	ahead.ID, ahead.At = sootline.DerivedID(now, []byte("ahead")), now.Add(24*time.Hour)
	fresh, handed := a.fresh(log[0].Site, asHeld(log), []Capture{good, other, stray, opened, ahead, good}, a.mayWriteTest)
	if len(fresh) != 2 || len(handed.Kept) != 3 || len(handed.Refused) != 3 {
		t.Fatalf("%d new, kept %v, refused %v", len(fresh), handed.Kept, handed.Refused)
	}
	if !fresh[1].At.Equal(now) {
		t.Errorf("a phone a day ahead writes at %s, want the time of handing in", fresh[1].At)
	}
}

// A time that was changed since is refused with the reason; one that the server had
// capped is the same, however late it is handed in again.
func TestHandInWithAnotherTime(t *testing.T) {
	log, phones := phoneDay(2)
	now := time.Date(2026, 1, 20, 18, 0, 0, 0, time.UTC)
	a := &App{Who: sootline.Actor{Role: sootline.Technician, Station: "p-0", Phone: true}, Now: func() time.Time { return now }}
	good, capped := phones[0][0], phones[0][0]
	capped.At = now.Add(time.Hour)
	capped.ID = sootline.DerivedID(capped.At, []byte("ahead")) // as a phone makes it, of its own time
	held, _ := a.fresh(log[0].Site, asHeld(log), []Capture{good, capped}, a.mayWriteTest)
	log = append(log, held...)
	for name, c := range map[string]struct {
		capture Capture
		shift   time.Duration
		later   time.Duration // of the server's clock
		refused bool
	}{
		"the same": {good, 0, 0, false}, "the same, later": {good, 0, 48 * time.Hour, false},
		"seconds later": {good, 5 * time.Second, 0, true}, "a moment earlier": {good, -time.Millisecond, 0, true},
		"hours later": {good, 3 * time.Hour, 0, true}, "below a millisecond": {good, time.Microsecond, 0, false},
		"capped": {capped, 0, 0, false}, "capped, a little later": {capped, 0, time.Minute, false}, "capped, a day later": {capped, 0, 24 * time.Hour, false},
		"capped, now earlier": {capped, -90 * time.Minute, 0, true},
	} {
		again := *a
		again.Now = func() time.Time { return now.Add(c.later) }
		c.capture.At = c.capture.At.Add(c.shift)
		fresh, handed := again.fresh(log[0].Site, asHeld(log), []Capture{c.capture}, again.mayWriteTest)
		if len(fresh) > 0 || c.refused != (len(handed.Refused) == 1) || c.refused == (len(handed.Kept) == 1) {
			t.Errorf("%s: %d new, kept %v, refused %v", name, len(fresh), handed.Kept, handed.Refused)
		} else if c.refused && !strings.Contains(handed.Refused[0].Why, "another time, 2026-01-20T") {
			t.Errorf("%s: it says %q", name, handed.Refused[0].Why)
		}
	}
}

// Two stations that contradict each other are both kept, and the difference told.
func TestDifferences(t *testing.T) {
	log, _ := phoneDay(3)
	at := log[0].At
	low, high, spread := 20.0, 40.0, 2.0
	log = append(log, sootline.Entry{ID: sootline.DerivedID(at, []byte("sheet")), Site: log[0].Site, At: at, Noted: at, Body: sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Larch", Kind: sootline.Smoke, SpreadLimit: &spread, Bands: []sootline.Band{{Low: &low, High: &high}},
	}}})
	r := sootline.Fold(log, at)
	n := 0
	done := func(station string, body sootline.Body) Done {
		n++
		when := at.Add(time.Duration(n) * time.Minute)
		return Done{Entry: &sootline.Entry{ID: sootline.DerivedID(when, []byte(station)), At: when, Station: station, Point: log[0].Point, Body: body}}
	}
	read := func(x float64) sootline.Body { return sootline.Read{Samples: []float64{x}} }
	for name, c := range map[string]struct {
		done []Done
		want int
	}{
		"the same":                  {[]Done{done("a", read(25)), done("b", read(26))}, 0},
		"by more than they spread":  {[]Done{done("a", read(25)), done("b", read(28))}, 1},
		"inside and above":          {[]Done{done("a", read(40)), done("b", read(41))}, 1},
		"before and after cleaning": {[]Done{done("a", read(45)), done("b", sootline.Cleaned{}), done("b", read(24))}, 0},
		"one station, twice":        {[]Done{done("a", read(25)), done("a", read(39))}, 0},
		"passed and failed":         {[]Done{done("a", sootline.Tested{}), done("b", sootline.Tested{Failed: true})}, 1},
		"two numbers":               {[]Done{done("a", sootline.Addressed{Found: 7}), done("b", sootline.Addressed{Found: 8})}, 1},
		"two units":                 {[]Done{done("a", sootline.Replaced{Unit: sootline.Unit{Serial: "X"}}), done("b", sootline.Replaced{Unit: sootline.Unit{Serial: "Y"}})}, 1},
	} {
		if got := differences(r, c.done); len(got) != c.want {
			t.Errorf("%s: %d differences, want %d", name, len(got), c.want)
		}
	}
	taken := []Done{done("a", read(25)), done("b", read(39))}
	taken[0].Withdrawn = true
	if got := differences(r, taken); len(got) != 0 {
		t.Error("what was taken back still differs")
	}
}

// mayWriteTest asks of an entry what needs no book.
func (a *App) mayWriteTest(_ []sootline.Entry, e *sootline.Entry) error {
	who := a.Who
	who.HandsIn = true
	return who.MayWrite(e.Body)
}
