package firm

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"time"

	"sootline"
)

// Plan is a site of a firm's book: all of its first history follows from it.
type Plan struct {
	ID                           sootline.ID
	Name, Zone                   string
	Firm, Office, Customer, Team string
	Points, Visits               int
	seed                         uint64
}

var zones = []string{"Europe/Paris", "Europe/Helsinki", "Atlantic/Reykjavik", ""}

// plan draws the nth site: most have a few points, one in thirty about a hundred, one
// in three hundred some hundreds.
func plan(n int, seed uint64) Plan {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	p := Plan{
		ID: sootline.DerivedID(sootline.LongAgo, binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(nil, seed), uint64(n))), Name: fmt.Sprintf("Site %06d", n),
		Zone: zones[rng.IntN(len(zones))], Firm: "Firm 1", Office: fmt.Sprintf("Office %d", rng.IntN(12)),
		Customer: fmt.Sprintf("Customer %d", rng.IntN(1+n/8+3)), Team: fmt.Sprintf("Team %d", rng.IntN(30)),
		Points: 2 + rng.IntN(6), Visits: rng.IntN(5), seed: rng.Uint64(),
	}
	switch {
	case n%300 == 299:
		p.Points, p.Visits = 250+rng.IntN(250), 6
	case n%30 == 29:
		p.Points = 60 + rng.IntN(80)
	}
	return p
}

// scribe writes a site's log.
type scribe struct {
	rng     *rand.Rand
	site    sootline.ID
	entries []sootline.Entry
	noted   time.Time // zero: each entry is noted soon after it happened
	by      string
	alone   bool // the entries are all of their station's chain
	points  []sootline.ID
	open    []sootline.ID // defects that may be mended or tried again
}

func (s *scribe) id(at time.Time) sootline.ID {
	var chance [10]byte
	binary.BigEndian.PutUint64(chance[:], s.rng.Uint64())
	binary.BigEndian.PutUint16(chance[8:], uint16(s.rng.Uint32()))
	return sootline.NewID(at, chance)
}

func (s *scribe) add(at time.Time, point sootline.ID, body sootline.Body) sootline.ID {
	at = sootline.Instant(at)
	noted := s.noted
	if noted.IsZero() {
		noted = at.Add(2 * time.Minute)
	}
	e := sootline.Entry{ID: s.id(noted), Site: s.site, At: at, Noted: sootline.Instant(noted), By: s.by, Point: point, Body: body}
	s.entries = append(s.entries, e)
	return e.ID
}

// History draws the first history of a site, up to an instant.
func (p Plan) History(now time.Time) []sootline.Entry {
	s := &scribe{rng: rand.New(rand.NewPCG(p.seed, 1)), site: p.ID, by: "T. " + p.Team, alone: true}
	begun := morning(now).AddDate(0, -6*(p.Visits+1)-s.rng.IntN(5), -s.rng.IntN(28))
	s.begin(p, begun)
	for v := range p.Visits {
		day := begun.AddDate(0, 6*(v+1), s.rng.IntN(40)-10)
		if day.After(now.AddDate(0, 0, -1)) {
			break
		}
		s.visit(day)
		for range s.rng.IntN(4) {
			s.happen(morning(between(s.rng, day, earlier(day.AddDate(0, 5, 0), now.AddDate(0, 0, -1)))))
		}
	}
	return s.entries
}

// begin opens the site: types, loops, and a device at each point.
func (s *scribe) begin(p Plan, at time.Time) {
	s.add(at, sootline.ID{}, sootline.Opened{Name: p.Name, Zone: p.Zone, SiteFacts: sootline.SiteFacts{Customer: p.Customer, Firm: p.Firm}})
	low, high, years := 20.0, 40.0, 2.0
	sheets := []sootline.TypeSheet{
		{Name: "Larch", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: &low, High: &high}}},
		{Name: "Elder", Kind: sootline.Heat, LifeYears: &years, Bands: []sootline.Band{{Low: &low, High: &high}}},
		{Name: "Pull", Kind: sootline.CallPoint},
	}
	for _, sheet := range sheets {
		s.add(at, sootline.ID{}, sootline.Sheet{TypeSheet: sheet})
	}
	for loop := 0; loop*120 < p.Points; loop++ {
		s.add(at, sootline.ID{}, sootline.LoopFacts{Panel: "1", Loop: fmt.Sprint(loop + 1), First: 1, Last: 126})
	}
	for n := range p.Points {
		point := s.id(at)
		s.points = append(s.points, point)
		place := sootline.Place{Panel: "1", Loop: fmt.Sprint(1 + n/120), Order: 1 + n%120, Zone: fmt.Sprint(1 + n/8), Area: "Hall " + fmt.Sprint(1+n/8), Location: fmt.Sprintf("row %d", n)}
		s.add(at, point, sootline.Fitted{Place: place, Type: sheets[s.rng.IntN(len(sheets))].Name})
		s.add(at, point, sootline.Addressed{Wanted: 1 + n%120})
	}
}

// morning is ten o'clock of an instant's day, a few milliseconds apart from others, so
// that a day on the clock of every zone drawn here is the day in UTC.
func morning(t time.Time) time.Time {
	t = t.UTC()
	return time.Date(t.Year(), t.Month(), t.Day(), 10, t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
}

func between(rng *rand.Rand, from, to time.Time) time.Time {
	if !to.After(from) {
		return from
	}
	return from.Add(time.Duration(rng.Int64N(int64(to.Sub(from)))))
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
