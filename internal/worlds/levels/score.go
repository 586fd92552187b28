package levels

import (
	"math"
	"time"

	"sootline"
)

// Result is what came of answers about one site, or of several sites added up.
type Result struct {
	Sites       int
	Points      int
	All         Tally
	ByReadings  [ReadingBins]Tally // by readings since the last reset in the log; see [ReadingsLabel]
	Calibration [10]Bin            // of the chances that were stated, in tenths
	Questions   map[string]*Asked  // by kind
	// Actions counts points by what they want and what was advised.
	Actions map[Advice]int
	// Healthy points, and what was advised for them.
	Healthy        int
	HealthyActions map[string]int
	// ClearlyOutside points, and how many of them were to be left.
	ClearlyOutside, ClearlyLeft int
	// Missing points have no answer: they count as not outside, without a chance, left alone. Strange
	// answers are about no point of the site, or about one twice; only the first is counted.
	Missing, Strange int
}

// Bin is a tenth of the chances from 0 to 1.
type Bin struct {
	Points, Happened int
	Stated           float64 // their sum
}

// Asked counts questions of a kind, and what there was to ask about.
type Asked struct {
	Asked, Right int
	// Unwritten events of the kind, and how many of them a question found.
	Unwritten, Found int
}

// Advice is what a point wants, and what was advised.
type Advice struct{ Wants, Given string }

// ReadingBins is how many groups of numbers of readings there are.
const ReadingBins = 8

// ReadingsLabel names a group of numbers of readings.
func ReadingsLabel(bin int) string {
	return [ReadingBins]string{"0", "1", "2", "3", "4-5", "6-9", "10-19", "20 and more"}[bin]
}

func readingBin(n int) int {
	switch {
	case n <= 3:
		return n
	case n <= 5:
		return 4
	case n <= 9:
		return 5
	case n <= 19:
		return 6
	}
	return 7
}

// Score holds answers against the truth of a site.
func Score(site *Site, answers []Answer) *Result {
	r := &Result{Sites: 1, Questions: map[string]*Asked{}, Actions: map[Advice]int{}, HealthyActions: map[string]int{}}
	given := r.sortAnswers(site, answers)
	register := sootline.Fold(site.Entries, site.Now)
	heard := newHearing(r, site, register)
	defer heard.close()
	for i := range site.Points {
		truth := &site.Points[i]
		a := given[truth.Point]
		if a == nil {
			r.Missing++
			a = &Answer{Point: truth.Point, Chance: Unstated(), Action: Leave}
		}
		point := register.Point(truth.Point)
		r.count(site, truth, a, readingBin(len(sinceReset(point))))
		r.countAction(truth, a, clearlyOutside(register, point, truth, site.Now))
		heard.count(a)
	}
	return r
}

// sortAnswers finds each point's answer.
func (r *Result) sortAnswers(site *Site, answers []Answer) map[sootline.ID]*Answer {
	known := map[sootline.ID]bool{}
	for i := range site.Points {
		known[site.Points[i].Point] = true
	}
	given := map[sootline.ID]*Answer{}
	for i := range answers {
		a := &answers[i]
		if !known[a.Point] || given[a.Point] != nil {
			r.Strange++
			continue
		}
		given[a.Point] = a
	}
	return given
}

func (r *Result) count(site *Site, truth *Truth, a *Answer, bin int) {
	r.Points++
	r.All.count(truth, a, site.Now, site.Ends())
	r.ByReadings[bin].count(truth, a, site.Now, site.Ends())
	if math.IsNaN(a.Chance) {
		return
	}
	tenth := &r.Calibration[min(9, max(0, int(a.Chance*10)))]
	tenth.Points++
	tenth.Stated += a.Chance
	tenth.Happened += int(happened(truth))
}

func (r *Result) countAction(truth *Truth, a *Answer, far bool) {
	r.Actions[Advice{truth.Wants, a.Action}]++
	if truth.Healthy {
		r.Healthy++
		r.HealthyActions[a.Action]++
	}
	if far {
		r.ClearlyOutside++
		if a.Action == Leave {
			r.ClearlyLeft++
		}
	}
}

// clearly is the share of the width of its band by which a level must be outside to be clearly so: ours.
const clearly = 0.1

// clearlyOutside: the level is far outside now, and was so at the last reading, when it could be seen.
func clearlyOutside(register *sootline.Register, point *sootline.Point, truth *Truth, now time.Time) bool {
	if point == nil || len(point.Readings) == 0 || !truth.Outside {
		return false
	}
	sheet := register.Sheet(point.Type)
	if sheet == nil {
		return false
	}
	band := sheet.Band(point.Settings())
	if !band.Complete() {
		return false
	}
	margin := clearly * (*band.High - *band.Low)
	for _, at := range []time.Time{now, point.Readings[len(point.Readings)-1].At} {
		if level := truth.Level(at); level >= *band.Low-margin && level <= *band.High+margin {
			return false
		}
	}
	return true
}

func sinceReset(point *sootline.Point) []sootline.Reading {
	if point == nil {
		return nil
	}
	return point.SinceReset()
}

func readDays(point *sootline.Point) []time.Time {
	var days []time.Time
	if point != nil {
		for i := range point.Readings {
			days = append(days, point.Readings[i].At)
		}
	}
	return days
}

// Add adds the result of another site.
func (r *Result) Add(o *Result) {
	r.Sites, r.Points = r.Sites+o.Sites, r.Points+o.Points
	r.All.Add(&o.All)
	for i := range r.ByReadings {
		r.ByReadings[i].Add(&o.ByReadings[i])
	}
	for i := range r.Calibration {
		b, c := &r.Calibration[i], &o.Calibration[i]
		b.Points, b.Happened, b.Stated = b.Points+c.Points, b.Happened+c.Happened, b.Stated+c.Stated
	}
	for kind, asked := range o.Questions {
		all := r.asked(kind)
		all.Asked, all.Right = all.Asked+asked.Asked, all.Right+asked.Right
		all.Unwritten, all.Found = all.Unwritten+asked.Unwritten, all.Found+asked.Found
	}
	for advice, n := range o.Actions {
		r.Actions[advice] += n
	}
	for action, n := range o.HealthyActions {
		r.HealthyActions[action] += n
	}
	r.Healthy += o.Healthy
	r.ClearlyOutside, r.ClearlyLeft = r.ClearlyOutside+o.ClearlyOutside, r.ClearlyLeft+o.ClearlyLeft
	r.Missing, r.Strange = r.Missing+o.Missing, r.Strange+o.Strange
}
