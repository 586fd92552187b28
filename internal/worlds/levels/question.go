package levels

import (
	"time"

	"sootline"
)

// near is how far from the day of an event a question may lie, where readings are close together.
const near = 31 * 24 * time.Hour

// hearing holds the questions about a site against what happened there. A question is right where something
// of its family happened that the log does not tell of, and no more than one reading lies between the two
// days: nobody can date it closer than from one visit to the next. What lasts may be asked about at any time
// after it began. Each event answers one question; what befell many points at once is one event. A question
// about several points finds what happened at each, and is right where something did at half of them at least.
type hearing struct {
	result   *Result
	register *sootline.Register
	truths   map[sootline.ID]*Truth
	found    map[occasion]bool
}

func newHearing(r *Result, site *Site, register *sootline.Register) *hearing {
	h := &hearing{r, register, map[sootline.ID]*Truth{}, map[occasion]bool{}}
	for i := range site.Points {
		truth := &site.Points[i]
		h.truths[truth.Point] = truth
		for k := range truth.Events {
			if e := &truth.Events[k]; !e.Noted {
				h.found[occasionOf(truth, e)] = false
			}
		}
	}
	return h
}

// occasion names an event: at a point, or, where many points share it, on the site.
type occasion struct {
	point sootline.ID
	kind  string
	day   time.Time
}

func occasionOf(truth *Truth, e *Happened) occasion {
	if shared(e.Kind) {
		return occasion{kind: e.Kind, day: dayOf(e.Day)}
	}
	return occasion{truth.Point, e.Kind, e.Day}
}

// count hears the questions of one answer.
func (h *hearing) count(a *Answer) {
	for _, q := range a.Questions {
		asked := h.result.asked(q.Kind)
		asked.Asked++
		points := append([]sootline.ID{a.Point}, q.With...)
		so, first := 0, 0
		for _, point := range points {
			happened, anew := h.hear(q, point)
			so, first = so+happened, first+anew
		}
		if first > 0 && (2*so >= len(points) || shared(q.Kind)) {
			asked.Right++
		}
	}
}

// hear gives one where something happened at a point as a question asks, and one where it had not been asked
// about yet, which it now has.
func (h *hearing) hear(q Question, point sootline.ID) (happened, anew int) {
	truth := h.truths[point]
	if truth == nil {
		return 0, 0
	}
	readings := readDays(h.register.Point(point))
	for i := range truth.Events {
		e := &truth.Events[i]
		if e.Noted || !answers(q, e, readings) {
			continue
		}
		happened = 1
		if o := occasionOf(truth, e); !h.found[o] {
			h.found[o] = true
			return 1, 1
		}
	}
	return happened, 0
}

// shared reports whether what is asked about befalls many points at once, and is one event.
func shared(kind string) bool { return kind == Rescaled || kind == Works || kind == InstrumentOffset }

// close counts what there was to ask about, and what of it was found.
func (h *hearing) close() {
	for o, found := range h.found {
		asked := h.result.asked(o.kind)
		asked.Unwritten++
		if found {
			asked.Found++
		}
	}
}

func (r *Result) asked(kind string) *Asked {
	if r.Questions[kind] == nil {
		r.Questions[kind] = &Asked{}
	}
	return r.Questions[kind]
}

// answers reports whether an event is what a question asks about.
func answers(q Question, e *Happened, readings []time.Time) bool {
	if family(q.Kind) != family(e.Kind) {
		return false
	}
	if lasts(e.Kind) && q.Day.After(e.Day) {
		return true
	}
	from, to := e.Day, q.Day
	if to.Before(from) {
		from, to = to, from
	}
	if to.Sub(from) <= near {
		return true
	}
	between := 0
	for _, at := range readings {
		if dayOf(at).After(dayOf(from)) && dayOf(at).Before(dayOf(to)) {
			between++
		}
	}
	return between <= 1
}

// family puts kinds together that one question asks about.
func family(kind string) string {
	switch kind {
	case HalfCleaned:
		return Cleaned
	case Neighbour:
		return Slip
	}
	return kind
}

func lasts(kind string) bool { return kind == Stuck || kind == Noisy || kind == CompensationUsed }
