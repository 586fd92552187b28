package judge

import (
	"math"
	"slices"
	"strconv"
)

// known is what is known of the drift of now.
type known int

const (
	nothing known = iota // it may go either way, and fast
	hardly               // it may go either way, but slowly
	surely               // its 90 % interval leaves zero out
)

// slowly is the drift below which a level hardly drifts, in bands a year: ten years through the band. Ours, no source.
const slowly = 0.1

// driftKnown says what is known of the drift of now.
func (s *study) driftKnown() known {
	if s.DriftPerYear == nil || s.DriftLow == nil || s.DriftHigh == nil {
		return nothing
	}
	switch low, high := *s.DriftLow, *s.DriftHigh; {
	case low > 0 || high < 0:
		return surely
	case max(-low, high) <= slowly*math.Abs(s.kin.scale.width):
		return hardly
	}
	return nothing
}

// drifting says how the level drifts now, and by what that is known. The order of its own visits tells of all the time
// since the reset, the interval of the drift of now: either may show what the other does not.
func (s *study) drifting() string {
	n, from := 0, max(s.since(), s.onLevel) // of one day two looks may be
	for i := from; i < len(s.looks); i++ {
		if i == from || day(s.looks[i].at) != day(s.looks[i-1].at) {
			n++
		}
	}
	if n == 0 || s.DriftPerYear == nil {
		return ""
	}
	over := visits(n)
	if n > 1 {
		over += " over " + strconv.FormatFloat(s.looks[len(s.looks)-1].t-s.looks[from].t, 'f', 1, 64) + " years"
	}
	course := s.driftKnown()
	alone := course == surely && n == 1 && s.DriftReal == TooFew // one visit shows no drift: others of its type do, and its own before
	text := map[known]string{nothing: "nothing shows yet how it drifts now", hardly: "hardly drifts now"}[course]
	switch {
	case course == surely:
		text = moved(*s.DriftPerYear, "rises", "falls") + " by " + s.rough(math.Abs(*s.DriftPerYear)) + " a year"
	case course == nothing && s.DriftReal == Yes:
		text = moved(*s.DriftPerYear, "rose", "fell") + " more than by chance, and nothing shows yet how it goes on"
	}
	if s.DriftLow != nil && s.DriftHigh != nil {
		wide := *s.DriftHigh - *s.DriftLow
		per := " a year)"
		if course == surely {
			per = ")"
		}
		text += " (90 %: " + roughly(*s.DriftLow, wide) + " to " + roughly(*s.DriftHigh, wide) + per
	}
	if alone {
		return "taken to go on as its type and it did before: it " + text + "; since then " + over + ", which shows none"
	}
	return text + s.ownVisits(course) + ": " + over
}

// ownVisits says what the order of its own visits adds.
func (s *study) ownVisits(course known) string {
	switch {
	case s.DriftReal == Yes && course == surely:
		return ", more than chance"
	case course != surely:
		return ""
	case s.DriftReal == TooFew:
		return ", too few visits of its own to show it"
	}
	return ", which the order of its own visits alone does not show"
}

// moved chooses the word for a drift.
func moved(drift float64, up, down string) string {
	if drift < 0 {
		return down
	}
	return up
}

// happened says what likely happened since the last reset that nobody wrote down.
func (s *study) happened() string {
	at := s.happenedAt()
	if at == 0 || at == len(s.looks)-1 && s.unexplained() != "" {
		return "" // of what may be a slip nobody says that it is a level
	}
	why := "and nobody wrote down why"
	if s.noted(at) {
		why = "and something was written down of that time"
	} else if s.denied(at) {
		why = "and the question why was answered with no"
	}
	return "its level changed at once between " + date(s.looks[at-1].at) + " and " + date(s.looks[at].at) +
		", " + why + ": the visits since then tell its level"
}

// happenedAt is the look before which the level most likely changed at once, whatever made it; 0: none. Before the
// first look since a reset something was written down.
func (s *study) happenedAt() (at int) {
	chances := make([]float64, len(s.looks))
	for e, p := range s.ahead.events() {
		switch e.kind {
		case AskCleaned, AskHalfCleaned, AskOtherDevice, AskWorks:
			chances[e.look] += p
		}
	}
	best := likelySo
	for i := s.since() + 1; i < len(chances); i++ {
		if chances[i] > best && day(s.looks[i-1].at) != day(s.looks[i].at) { // of one day they contradict each other
			at, best = i, chances[i]
		}
	}
	return at
}

// noted reports whether somebody noted works in the area between a look and the one before.
func (s *study) noted(look int) bool {
	if s.area.name == "" {
		return false
	}
	q := Question{From: s.looks[look-1].at, To: s.looks[look].at}
	return s.past.model.told(&q, s.area.members, s.area.name)
}

// denied reports whether a question about what happened between a look and the one before was answered with no.
func (s *study) denied(look int) bool {
	return slices.ContainsFunc(s.refused, func(q Question) bool {
		return q.From.Before(s.looks[look].at) && q.To.After(s.looks[look-1].at) && slices.Contains(q.Points, s.Judgement.Point)
	})
}
