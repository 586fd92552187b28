package judge

import (
	"cmp"
	"math"
	"slices"

	"sootline/internal/robust"
)

// Judgements of ours, each tried in the simulation of docs/methods/forecast.md.
const (
	// usualDF is how many degrees of freedom the noise of the type sheet or the
	// site is worth beside that of the detectors themselves.
	usualDF = 20
	// medianWorth is the share of its degrees of freedom that a weighed median of
	// variances is worth beside their mean.
	medianWorth = 0.5
	// leastKin is the fewest detectors that a noise or a slope is learned from.
	leastKin = 5
	// leastAreas is the fewest areas that are compared.
	leastAreas = 3
	// areaDF is how many degrees of freedom the spread of slopes in all areas is
	// worth beside that of one area.
	areaDF = 4
	// tellingVisits and tellingYears make a slope that others may learn from. A
	// slope over less than a year may be a season.
	tellingVisits = 4
	tellingYears  = 0.95
	// widest is how far a slope may lie from the middle one of its area before it
	// counts as if it lay there, in spreads.
	widest = 3
	// leastSpread is the least spread of slopes, as a share of their mean: few
	// slopes may agree by chance.
	leastSpread = 0.1
)

// Experience is what the histories of a site teach of one another: the noise of
// each type, and the slopes usual for a type and an area. Add all histories,
// then ask; none may be added after.
type Experience struct {
	histories []history
	types     map[string]int // indices of kins
	kins      []*kin
	settled   bool
	scratch   robust.Scratch
	memory    *robust.Memory // of lines drawn before; may be nil
	work      []float64
}

// Run is the visits to a detector while its drift went on undisturbed: values Y
// at ascending times T, in years since the first of them, which was at Start, in
// years of one calendar for all.
type Run struct {
	Start float64
	T, Y  []float64
}

// Past is the visits to a detector of a type in an area: those since its drift
// last started afresh, and the runs before, oldest first. Usual is the noise
// expected of a visit's value, Least what rounding makes of it in any case.
type Past struct {
	Run
	Earlier      []Run
	Type, Area   string
	Usual, Least float64
}

// history is what is kept of one detector.
type history struct {
	now       drawn
	earlier   []drawn // those of which a slope can be told
	kin, area int
	usual     float64 // noise expected before anything is learned
	least     float64 // noise that rounding makes in any case
	weight    float64 // in the mean slope of the area; 0: not usable for others
	lent      float64 // the slope as it counts there
}

// drawn is a run with the line through it by itself. Once its area has a season,
// y is free of that.
type drawn struct {
	Run
	sen      robust.SenLine
	fitted   bool // sen, slope, sxx, sse and df are known
	slope    float64
	sxx, sse float64
	df       int
}

// kin is what is known of one type.
type kin struct {
	areas   map[string]int
	members []int // histories
	groups  []area
	learned float64 // noise variance learned from its members
	worth   float64 // degrees of freedom of that
	within  float64 // variance of slopes in one area, all areas together
	between float64 // variance of the areas' means, or unknown
	weight  float64 // of all areas in the mean of the type
	sum     float64 // of mean slopes times their weights
	usable  int     // slopes in all areas
	again   float64 // variance of slopes from run to run of one detector, or unknown
	span    float64 // years over which those were read, the middle one
}

// unknown is a variance while there are too few to tell it from.
const unknown = -1

// area is what is known of one type in one area.
type area struct {
	season Season
	slopes []slope
	within float64 // variance of slopes about their mean
	weight float64 // sum of weights
	sum    float64 // of slopes times their weights
	share  float64 // weight of its mean in the mean of the type
}

// slope is the slope of one history, with its squared error.
type slope struct {
	history int
	b, v    float64
}

// hand gives the same experience with a working space of its own, for a goroutine
// that asks and adds nothing.
func (e *Experience) hand() Experience {
	same := *e
	same.scratch, same.work = robust.Scratch{}, nil
	return same
}

// Add takes in the visits to a detector, and keeps them. The result names its
// history in [Experience.Outlook].
func (e *Experience) Add(p Past) int {
	h := history{now: drawn{Run: p.Run}, usual: p.Usual, least: p.Least}
	h.now.draw(e, &h)
	for _, run := range p.Earlier {
		if one := (drawn{Run: run}); one.draw(e, &h) && one.telling() {
			h.earlier = append(h.earlier, one)
		}
	}
	h.kin = e.kinOf(p.Type)
	h.area = e.kins[h.kin].areaOf(p.Area)
	if season := e.kins[h.kin].groups[h.area].season; season != (Season{}) {
		h.flatten(season, e)
	}
	i := len(e.histories)
	e.histories = append(e.histories, h)
	if !e.settled && p.Type != "" {
		e.kins[h.kin].members = append(e.kins[h.kin].members, i)
	}
	return i
}

// draw draws the line of a run by itself, and reports whether there is one.
func (r *drawn) draw(e *Experience, h *history) bool {
	if r.fitted = false; len(r.T) < leastLine {
		return false
	}
	sen, err := e.memory.Sen(&e.scratch, r.T, r.Y)
	if err != nil {
		return false // values too large to be squared: nothing can be said
	}
	drift, err := e.scratch.FitDriftAbout(sen, r.T, r.Y, robust.Noise{SD: max(h.usual, h.least), DF: robust.PriorDF})
	if err != nil {
		return false
	}
	r.sen, r.fitted = sen, true
	r.slope, r.sxx, r.sse, r.df = drift.Line.Slope, drift.Line.Sxx, drift.Line.SSE, drift.Line.DF
	return true
}

// telling reports whether others may learn from the slope of a run.
func (r *drawn) telling() bool {
	return r.fitted && r.df+2 >= tellingVisits && r.T[len(r.T)-1] >= tellingYears
}

// leastLine is the fewest visits a line is drawn through on its own.
const leastLine = 3

func (e *Experience) kinOf(typ string) int {
	k, known := e.types[typ]
	if !known {
		if e.types == nil {
			e.types = map[string]int{}
		}
		k = len(e.kins)
		e.types[typ] = k
		e.kins = append(e.kins, &kin{areas: map[string]int{}, between: unknown, again: unknown})
	}
	return k
}

func (k *kin) areaOf(name string) int {
	i, known := k.areas[name]
	if !known {
		i = len(k.groups)
		k.areas[name] = i
		k.groups = append(k.groups, area{})
	}
	return i
}

// settle learns from all histories.
func (e *Experience) settle() {
	if e.settled {
		return
	}
	e.settled = true
	for _, k := range e.kins {
		e.learnSeasons(k)
		e.learnNoise(k)
		e.learnAgain(k)
		e.learnSlopes(k)
	}
}

// variance is one estimate with its degrees of freedom.
type variance struct{ v, df float64 }

// learnNoise takes the weighed median of the members' residual variances, each
// measured by the median of chi-squared, so that up to half of them may be bad.
func (e *Experience) learnNoise(k *kin) {
	var all []variance
	total := 0.0
	for _, i := range k.members {
		if now := &e.histories[i].now; now.fitted {
			df := float64(now.df)
			all = append(all, variance{now.sse / chiSquaredMedian(df), df})
			total += df
		}
	}
	if len(all) < leastKin {
		return
	}
	slices.SortFunc(all, func(a, b variance) int { return cmp.Compare(a.v, b.v) })
	sum := 0.0
	for _, one := range all {
		if sum += one.df; 2*sum >= total {
			k.learned, k.worth = one.v, medianWorth*total
			return
		}
	}
}

// chiSquaredMedian is the median of chi-squared with df degrees of freedom.
//
// Source: Wilson & Hilferty (1931), Proceedings of the National Academy of
// Sciences 17 (from memory).
func chiSquaredMedian(df float64) float64 {
	root := 1 - 2/(9*df)
	return df * root * root * root
}

// noise is what is expected of a visit's value about its trend.
func (e *Experience) noise(h *history) float64 {
	k := e.kins[h.kin]
	v := (usualDF*h.usual*h.usual + k.worth*k.learned) / (usualDF + k.worth)
	return max(math.Sqrt(v), h.least)
}
