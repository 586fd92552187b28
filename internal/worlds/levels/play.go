package levels

import (
	"time"

	"sootline"
)

// Judge answers from what a judge may see: the log, the instant, and when somebody comes again.
type Judge func(entries []sootline.Entry, now, nextVisit time.Time) []Answer

// Play draws sites of each scenario of a world, one for each seed from 1, and scores a judge on them.
func Play(w World, seeds int, judge Judge) []Scored {
	var all []Scored
	for _, scenario := range w.Scenarios() {
		s := Scored{scenario, Total(nil)}
		for seed := range seeds {
			site := w.Make(uint64(seed)+1, scenario)
			s.Result.Add(Score(&site, judge(site.Entries, site.Now, site.NextVisit)))
		}
		all = append(all, s)
	}
	return all
}
