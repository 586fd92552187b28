package bench

import (
	"slices"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// Progress is how far a run has come.
type Progress struct {
	Places, Done, Skipped, Left int           // places in all, with a device, skipped, and without device (those skipped among them)
	Rejected                    int           // devices
	Hands                       []Pace        // who has set devices, by name
	Pace                        time.Duration // time for a device, all hands together; 0: not known yet
	TimeLeft                    time.Duration // at that pace; 0: not known yet
}

// Pace is how fast one person goes.
type Pace struct {
	By   string
	Done int
	Pace time.Duration // the usual time from one device to the next; 0: fewer than two
	Last time.Time
}

// A pause ends where nobody did anything for so long, and whoever was away for
// longer is not counted on: judgements of ours, no source.
const (
	pause = 15 * time.Minute
	away  = 30 * time.Minute
)

// Progress says how far the run has come.
func (run *Run) Progress() Progress {
	pr := Progress{Rejected: len(run.Rejected)}
	for _, p := range run.Places {
		if p.Gone {
			continue
		}
		pr.Places++
		switch {
		case !p.Open():
			pr.Done++
		case p.Skipped != nil:
			pr.Skipped++
		}
	}
	pr.Left = pr.Places - pr.Done
	pr.Hands = run.hands()
	rate := 0.0 // devices a second
	for _, h := range pr.Hands {
		if h.Pace > 0 && run.until().Sub(h.Last) <= away {
			rate += 1 / h.Pace.Seconds()
		}
	}
	if rate > 0 {
		pr.Pace = time.Duration(float64(time.Second) / rate)
		pr.TimeLeft = time.Duration(pr.Left) * pr.Pace
	}
	return pr
}

// until is the instant that the run is looked at: its end, where it has ended.
func (run *Run) until() time.Time {
	if run.Closed != nil {
		return run.Closed.At
	}
	return run.Now
}

// hands gives the pace of each person: the median time from one device to the next,
// pauses left out.
func (run *Run) hands() []Pace {
	times := map[string][]time.Time{}
	var names []string
	for _, rec := range run.Records {
		if rec.Outcome != sootline.BenchDone {
			continue
		}
		if times[rec.Entry.By] == nil {
			names = append(names, rec.Entry.By)
		}
		times[rec.Entry.By] = append(times[rec.Entry.By], rec.Entry.At)
	}
	slices.Sort(names)
	var all []Pace
	for _, name := range names {
		at := times[name]
		pace := Pace{By: name, Done: len(at), Last: at[len(at)-1]}
		var gaps []float64
		for i := 1; i < len(at); i++ {
			if gap := at[i].Sub(at[i-1]); gap > 0 && gap < pause {
				gaps = append(gaps, gap.Seconds())
			}
		}
		if middle, ok := robust.Median(gaps); ok {
			pace.Pace = time.Duration(middle * float64(time.Second))
		}
		all = append(all, pace)
	}
	return all
}
