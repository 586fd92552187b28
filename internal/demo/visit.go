package demo

import "time"

// visit is one attendance on site: a loop a day, from a Monday on.
type visit struct {
	year  int // 0 to Years-1
	first time.Time
	by    string
}

// planVisits lays the visits of each year out; the first is the handover. The
// days count from the beginning of the year of the story, and two to four
// visits a year are usual.
func (w *world) planVisits() []visit {
	plan := [Years][]int{{7, 170, 335}, {70, 160, 250, 340}, {150, 335}, {110, 230, 345}, {70, 160, 250, 340}, {110, 230, 340}}
	hands := []string{"DK", "MP", "DK", "RO"}
	var visits []visit
	for year, days := range plan {
		for _, day := range days {
			at := w.from.AddDate(year, 0, day+w.rng.IntN(7))
			at = at.AddDate(0, 0, -int(at.Weekday()+6)%7) // back to Monday
			visits = append(visits, visit{year, at, hands[len(visits)%len(hands)]})
		}
	}
	return visits
}

// day is when the visit sees the point's loop.
func (v visit) day(p *point) time.Time { return v.first.AddDate(0, 0, p.room.loop) }

// after is the day after the last loop was seen: the day for what the visit
// left to do.
func (v visit) after() time.Time { return v.first.AddDate(0, 0, len(loopNames())) }

// gap is an instant midway between a year's visit, counted from 0, and the one
// after it.
func (w *world) gap(year, index int) time.Time {
	i := w.visitIndex(year, index)
	a, b := w.visits[i].first, w.visits[i+1].first
	return a.Add(b.Sub(a) / 2).Truncate(time.Hour)
}

// lastVisit is the last visit of a year.
func (w *world) lastVisit(year int) visit {
	last := 0
	for i, v := range w.visits {
		if v.year == year {
			last = i
		}
	}
	return w.visits[last]
}

func (w *world) visitIndex(year, index int) int {
	for i, v := range w.visits {
		if v.year == year {
			return i + index
		}
	}
	return 0
}
