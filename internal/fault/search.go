package fault

import (
	"math"
	"slices"
)

// secondVisit is the minutes that a wrong verdict costs: another attendance, and the loop out of order meanwhile. Common
// practice, no source.
const secondVisit = 300

// forgotten is the chance below which a cause is not thought of when the next step is chosen; it may come back.
const forgotten = 1e-5

// Search is one hunt for a fault.
type Search struct {
	ring   Ring
	means  Means
	causes []Cause
	asked  []Asked
	stands standing
	panel  Answer  // what the panel said first
	beyond float64 // the odds that no single cause here explains what was told, as a logarithm
	tally  *tally
}

// Verdict is where it is, and how sure, as a share.
type Verdict struct {
	Kind  Kind
	At    int // a stretch or a device, by kind
	Other int // of Double: the device whose number it has; else None
	Sure  float64
	// Contradicted: even so, much of what was told would be wrong. It fits no single fault.
	Contradicted bool
}

// mostWrong is how many wrong parts of answers a verdict may rest on without more ado: one slip happens.
const mostWrong = 1

// New begins a search on what the panel says with both ends plugged in.
func New(ring Ring, panel Answer, means Means) (*Search, error) {
	if err := ring.sum(); err != nil {
		return nil, err
	}
	twice := None
	if panel.Message == SaysDouble {
		twice = panel.Twice
	}
	means.Currents = means.Currents || panel.tellsCurrents()
	s := &Search{ring: ring, means: means, causes: causes(&ring, twice), stands: begins(), panel: panel, beyond: math.Log(beyondWeight), tally: newTally()}
	s.weigh(Asked{Step{OpenAt: None, Feed: Both, Look: AtPanel}, panel})
	return s, nil
}

// Record takes the answer to a step. An answer with currents shows that the panel tells them.
func (s *Search) Record(a Asked) {
	s.means.Currents = s.means.Currents || a.Answer.tellsCurrents()
	s.asked = append(s.asked, a)
	_, s.stands = s.ring.minutes(&a.Step, s.stands)
	s.weigh(a)
}

func (s *Search) weigh(a Asked) {
	most := math.Inf(-1)
	broad := s.ring.unforetold(&a)
	for i := range s.causes {
		if c := &s.causes[i]; c.Kind.Gone() && len(s.asked) == 0 { // it was there when the panel said so
			c.weight += broad
		} else {
			s.ring.weigh(c, &a)
		}
		if s.causes[i].odd {
			s.causes[i].odds |= 1 << min(len(s.asked), 63)
		}
		most = max(most, s.causes[i].weight)
	}
	sum := 0.0
	for i := range s.causes {
		s.causes[i].weight -= most
		sum += math.Exp(s.causes[i].weight)
	}
	for i := range s.causes {
		s.causes[i].weight -= math.Log(sum)
	}
	s.beyond += broad - most - math.Log(sum)
}

// likely lists the causes that are worth a thought, with chances that add up to one.
func (s *Search) likely() []likely {
	var some []likely
	sum := 0.0
	for i := range s.causes {
		if chance := math.Exp(s.causes[i].weight); chance > forgotten {
			some = append(some, likely{&s.causes[i], chance})
			sum += chance
		}
	}
	for i := range some {
		some[i].chance /= sum
	}
	return some
}

// Next gives the step that tells most for its minutes, or the verdict.
func (s *Search) Next() (Step, *Verdict) {
	causes := s.likely()
	best := likeliest(causes, 1)[0]
	verdict := s.verdict(&best)
	var next Step
	most, worth := 0.0, false
	doubtful := s.Doubtful()
	if len(s.asked) > 0 && s.Beyond() > hopeless {
		return s.end(&best, verdict, doubtful)
	}
	for _, step := range s.ring.candidates(causes, s.stands, s.means) {
		if s.settled(step, doubtful) {
			continue
		}
		minutes, _ := s.ring.minutes(&step, s.stands)
		tells := s.ring.tells(&step, causes, s.means, s.tally)
		if rate := tells.nats / minutes; rate > most {
			most, next = rate, step
		}
		worth = worth || (tells.best-best.chance)*secondVisit > minutes
	}
	if len(s.asked) > 0 && !worth && best.chance > enough(&best) || most <= 0 || len(s.asked) > 60 {
		return s.end(&best, verdict, doubtful)
	}
	return next, nil
}

// enough is how sure a verdict is to be. That nothing is wrong now costs no mending, so it takes less.
func enough(best *likely) float64 {
	if best.Kind.Gone() {
		return 0.8
	}
	return 0.9
}

// end gives the verdict, unless it rests on wrong answers that were not asked again.
func (s *Search) end(best *likely, verdict *Verdict, doubtful []int) (Step, *Verdict) {
	wrongs := mostWrong + 1
	for i := range s.causes {
		if c := &s.causes[i]; !differ(c, best.Cause) && c.weight > math.Log(forgotten) {
			wrongs = min(wrongs, c.wrongs)
		}
	}
	if wrongs <= mostWrong && s.Beyond() < 0.5 {
		return Step{}, verdict
	}
	for _, i := range doubtful {
		step := Step{OpenAt: None, Feed: Both, Look: AtPanel}
		if i > 0 {
			step = s.asked[i-1].Step
		}
		if !s.settled(step, doubtful) {
			return step, nil
		}
	}
	verdict.Contradicted = true
	return Step{}, verdict
}

// settled says whether a step was asked and needs no second time: what is off stays off, and what was misread shows by
// what is told otherwise. An answer that is doubted is asked once more.
func (s *Search) settled(step Step, doubtful []int) bool {
	times, doubted := 0, false
	if step == (Step{OpenAt: None, Feed: Both, Look: AtPanel}) && s.panel.Answers != nil && s.panel.Message != Unread {
		times, doubted = 1, slices.Contains(doubtful, 0)
	}
	for i := range s.asked {
		if s.asked[i].Step == step {
			times++
			doubted = doubted || slices.Contains(doubtful, i+1)
		}
	}
	return times > 1 || times == 1 && !doubted
}

// Doubtful lists the answers that hardly any likely cause foretells: they are wrong, or there is more than one fault. The
// panel's first word is number 0, the first step number 1.
func (s *Search) Doubtful() []int {
	var doubtful []int
	causes := s.likely()
	for i := range min(len(s.asked)+1, 63) {
		share := 0.0
		for _, c := range causes {
			if c.odds>>i&1 == 1 {
				share += c.chance
			}
		}
		if share > 0.5 {
			doubtful = append(doubtful, i)
		}
	}
	return doubtful
}

// Likeliest gives the likeliest verdicts, each with its chance.
func (s *Search) Likeliest(n int) []Verdict {
	var verdicts []Verdict
	for _, c := range likeliest(s.likely(), n) {
		verdicts = append(verdicts, *s.verdict(&c))
	}
	return verdicts
}

// Minutes is what a step is expected to take from how things stand now.
func (s *Search) Minutes(step Step) float64 {
	minutes, _ := s.ring.minutes(&step, s.stands)
	return minutes
}

func (a *Answer) tellsCurrents() bool { return a.OutMA > 0 || a.InMA > 0 }
