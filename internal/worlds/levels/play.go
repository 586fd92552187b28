package levels

import (
	"sync"
	"time"

	"sootline"
)

// Judge answers from what a judge may see: the log, the instant, and when somebody comes again. Several may
// be asked at once.
type Judge func(entries []sootline.Entry, now, nextVisit time.Time) []Answer

// Draw says which sites of a world are played.
type Draw struct {
	First     uint64   // the first seed
	Seeds     int      // how many, one after the other
	Scenarios []string // empty: all of the world
	Parallel  int      // sites at a time; 0 and 1: one after another
}

// Play draws sites of scenarios of a world, one for each seed, and scores a judge on them. What comes of it
// is the same however many are played at a time.
func Play(w World, d Draw, judge Judge) []Scored { return PlayAll(w, d, []Judge{judge})[0] }

// PlayAll has several judges answer about the same sites, and scores each.
func PlayAll(w World, d Draw, judges []Judge) [][]Scored {
	if len(d.Scenarios) == 0 {
		d.Scenarios = w.Scenarios()
	}
	results := make([][]*Result, len(d.Scenarios)*d.Seeds)
	var all sync.WaitGroup
	slots := make(chan struct{}, max(1, d.Parallel))
	for i := range results {
		slots <- struct{}{}
		all.Go(func() {
			defer func() { <-slots }()
			site := w.Make(d.First+uint64(i%d.Seeds), d.Scenarios[i/d.Seeds])
			for _, judge := range judges {
				results[i] = append(results[i], Score(&site, judge(site.Entries, site.Now, site.NextVisit)))
			}
		})
	}
	all.Wait()
	scored := make([][]Scored, len(judges))
	for k := range judges {
		for i, scenario := range d.Scenarios {
			s := Scored{scenario, Total(nil)}
			for _, r := range results[i*d.Seeds : (i+1)*d.Seeds] {
				s.Result.Add(r[k])
			}
			scored[k] = append(scored[k], s)
		}
	}
	return scored
}
