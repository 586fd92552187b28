package fault

import "math"

// beyondWeight is how often what is wrong is none of the causes here, or more than one of them, among the weights of the
// kinds. Common practice, no source.
const beyondWeight = 1

// hopeless is the share from which no single fault is looked for any more, once what is doubted was asked again.
const hopeless = 0.95

// Beyond is the share that no single cause explains what was told: two faults at once, or something not thought of here. It
// grows when answers fit every cause badly.
func (s *Search) Beyond() float64 { return 1 / (1 + math.Exp(-s.beyond)) }

// verdict is the likeliest cause, no surer than what lies beyond allows.
func (s *Search) verdict(c *likely) *Verdict {
	v := &Verdict{Kind: c.Kind, At: c.At, Other: None, Sure: c.chance * (1 - s.Beyond())}
	if c.Kind == Double {
		v.Other = c.Other
	}
	return v
}

// unforetold weighs an answer of which nothing is foretold, as several faults at once may give it. Common practice, no source.
func (r *Ring) unforetold(a *Asked) float64 {
	weight := 0.0
	switch a.Step.Look {
	case AtPanel:
		if a.Answer.Message != Unread {
			weight -= math.Log(float64(Unread))
		}
		if a.Answer.Answers != nil {
			weight += r.anyList(a.Answer.Answers)
		}
	case AtDevice, AtStretch:
		if a.Answer.Found == 0 {
			weight += math.Log(0.7)
		} else {
			weight += math.Log(0.3 / float64(len(kindRows)))
		}
	}
	for _, q := range quantities(a.Step.Look) {
		if read := a.Answer.read(q); !math.IsNaN(read) {
			weight += math.Log(r.anyReading(q, read))
		}
	}
	return weight
}

// anyList weighs a list: all, none, or one or more runs of silent devices, wherever each begins and ends.
func (r *Ring) anyList(answers []bool) float64 {
	runs, spoke, silent, all := 0, true, 0, 0
	for k, speaks := range answers {
		if r.Devices[k].Mute {
			continue
		}
		all++
		if !speaks {
			silent++
			if spoke {
				runs++
			}
		}
		spoke = speaks
	}
	switch {
	case silent == 0 || silent == all:
		return math.Log(0.2)
	case runs == 1:
		return math.Log(0.4) - math.Log(float64(all*(all+1)/2))
	}
	return math.Log(0.2) - float64(runs)*math.Log(float64(all*(all+1)/2))
}

// anyReading is the density of a reading: half of the ohms are over the meter's range, and volts are mostly none or nearly
// those of the supply.
func (r *Ring) anyReading(q quantity, read float64) float64 {
	switch {
	case q == ohms && math.IsInf(read, 0):
		return 0.5
	case q == ohms:
		return 0.5 * r.broad(q, read)
	case q == volts && math.Abs(read) < 1:
		return 0.25 / 2
	case q == volts && math.Abs(read-r.Volts) < 2*(1+r.VoltsOff):
		return 0.5 / (4 * (1 + r.VoltsOff))
	}
	return r.broad(q, read)
}
