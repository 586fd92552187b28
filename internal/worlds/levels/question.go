package levels

import "time"

// near is how far from the day of an event a question may lie, where readings are close together.
const near = 31 * 24 * time.Hour

// countQuestions holds the questions about a point against what happened there. A question is right where
// something of its family happened that the log does not tell of, and no more than one reading lies between
// the two days: nobody can date it closer than from one visit to the next. What lasts may be asked about
// until it ends. Each event answers one question.
func (r *Result) countQuestions(truth *Truth, a *Answer, readings []time.Time) {
	found := make([]bool, len(truth.Events))
	for _, q := range a.Questions {
		asked := r.asked(q.Kind)
		asked.Asked++
		for i := range truth.Events {
			if e := &truth.Events[i]; !found[i] && !e.Noted && answers(q, e, readings) {
				found[i] = true
				asked.Right++
				break
			}
		}
	}
	for i := range truth.Events {
		if e := &truth.Events[i]; !e.Noted {
			asked := r.asked(e.Kind)
			asked.Unwritten++
			if found[i] {
				asked.Found++
			}
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
