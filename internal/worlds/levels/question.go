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
// after it began. Each event answers one question; what befell many points at once is one event.
type hearing struct {
	result *Result
	found  map[occasion]bool
}

// occasion names an event: at a point, or, where many points share it, on the site.
type occasion struct {
	point sootline.ID
	kind  string
	day   time.Time
}

func occasionOf(truth *Truth, e *Happened) occasion {
	if e.Kind == Rescaled || e.Kind == Works || e.Kind == InstrumentOffset {
		return occasion{kind: e.Kind, day: dayOf(e.Day)}
	}
	return occasion{truth.Point, e.Kind, e.Day}
}

func (h *hearing) count(truth *Truth, a *Answer, readings []time.Time) {
	for i := range truth.Events {
		if o := occasionOf(truth, &truth.Events[i]); !truth.Events[i].Noted && !h.found[o] {
			h.found[o] = false
		}
	}
	for _, q := range a.Questions {
		asked := h.result.asked(q.Kind)
		asked.Asked++
		for i := range truth.Events {
			e := &truth.Events[i]
			if o := occasionOf(truth, e); !e.Noted && !h.found[o] && answers(q, e, readings) {
				h.found[o] = true
				asked.Right++
				break
			}
		}
	}
}

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
