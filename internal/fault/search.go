package fault

import "math"

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
	tally  *tally
}

// Verdict is where it is, and how sure, as a share.
type Verdict struct {
	Kind Kind
	At   int // a stretch or a device, by kind
	Sure float64
}

// New begins a search on what the panel says with both ends plugged in.
func New(ring Ring, panel Answer, means Means) (*Search, error) {
	if err := ring.sum(); err != nil {
		return nil, err
	}
	twice := None
	if panel.Message == SaysDouble {
		twice = panel.Twice
	}
	s := &Search{ring: ring, means: means, causes: causes(&ring, twice), stands: begins(), tally: newTally()}
	s.weigh(Asked{Step{OpenAt: None, Feed: Both, Look: AtPanel}, panel})
	return s, nil
}

// Record takes the answer to a step.
func (s *Search) Record(a Asked) {
	s.asked = append(s.asked, a)
	_, s.stands = s.ring.minutes(&a.Step, s.stands)
	s.weigh(a)
}

func (s *Search) weigh(a Asked) {
	most := math.Inf(-1)
	for i := range s.causes {
		s.ring.weigh(&s.causes[i], &a)
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
	verdict := &Verdict{best.Kind, best.At, best.chance}
	var next Step
	most, worth := 0.0, false
	for _, step := range s.ring.candidates(causes, s.stands, s.means) {
		if s.times(step) >= 2 { // what is off stays off: asked a third time, it tells nothing new
			continue
		}
		minutes, _ := s.ring.minutes(&step, s.stands)
		tells := s.ring.tells(&step, causes, s.tally)
		if rate := tells.nats / minutes; rate > most {
			most, next = rate, step
		}
		worth = worth || (tells.best-best.chance)*secondVisit > minutes
	}
	if len(s.asked) > 0 && !worth && best.chance > 0.9 || most <= 0 || len(s.asked) > 60 {
		return Step{}, verdict
	}
	return next, nil
}

// times counts how often a step was asked.
func (s *Search) times(step Step) int {
	n := 0
	for i := range s.asked {
		if s.asked[i].Step == step {
			n++
		}
	}
	return n
}
