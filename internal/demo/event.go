package demo

import (
	"cmp"
	"slices"
	"time"
)

// event is one line of the events file.
type event struct {
	at                    time.Time // a day
	point                 *point
	what, cause, text, by string
}

func (w *world) note(p *point, day time.Time, what, cause, text, by string) {
	w.events = append(w.events, event{day, p, what, cause, text, by})
}

// test has every point tested once a year, shared out over the visits.
func (w *world) test() {
	perYear := map[int]int{}
	for _, v := range w.visits {
		perYear[v.year]++
	}
	turn := map[int]int{}
	for _, v := range w.visits {
		for i, p := range w.points {
			if i%perYear[v.year] == turn[v.year] && p.seen(v.day(p)) {
				w.note(p, v.day(p), "tested", "", "passed", v.by)
			}
		}
		turn[v.year]++
	}
}

// everyday brings what happens between visits: unwanted alarms, faults, and
// points disabled for some work and restored.
func (w *world) everyday() {
	type usual struct {
		room, what, cause, text string
		days                    int // until it is put right; 0: it is over at once
	}
	yearly := []usual{
		{kitchen, "alarm", "cooking", "toast under the detector", 0},
		{kitchen, "alarm", "steam", "dishwasher opened", 0},
		{bakery, "alarm", "dust", "flour in the air", 0},
		{"Loading dock", "alarm", "exhaust", "lorry left running", 0},
		{"Offices north", "disabled", "works", "carpet laying", 1},
		{"Plant room", "fault", "no answer", "", 1},
		{"Stores", "fault", "loose base", "", 2},
		{"Workshop", "disabled", "works", "welding", 2},
	}
	for year := range Years {
		for _, u := range yearly {
			day := w.from.AddDate(year, 0, 15+w.rng.IntN(340))
			fits := func(p *point) bool { return p.room.name == u.room && p.is(smoke) && p.seen(day) && p.off.IsZero() }
			p := w.anyOf(fits)
			w.note(p, day, u.what, u.cause, u.text, "site")
			if u.days > 0 {
				w.note(p, day.AddDate(0, 0, u.days), "restored", "", "", "site")
			}
		}
	}
}

// anyOf draws a point that fits; every room that everyday names has some.
func (w *world) anyOf(fits func(*point) bool) *point {
	var all []*point
	for _, p := range w.points {
		if fits(p) {
			all = append(all, p)
		}
	}
	return all[w.rng.IntN(len(all))]
}

// inOrder gives all events in order of time.
func (w *world) inOrder() []event {
	slices.SortStableFunc(w.events, func(a, b event) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.point.ref.String(), b.point.ref.String()))
	})
	return w.events
}

// eventsFile lists all events in order of time.
func eventsFile(w *world) File {
	rows := [][]string{{"point", "date", "what", "cause", "text", "by"}}
	for _, e := range w.inOrder() {
		rows = append(rows, []string{e.point.ref.String(), e.at.Format(time.DateOnly), e.what, e.cause, e.text, e.by})
	}
	return File{"events.csv", separated(',', rows), "tests, cleanings, replacements, alarms, faults, disablements; CSV with commas"}
}
