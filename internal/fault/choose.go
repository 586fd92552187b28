package fault

import (
	"slices"
)

// Means is what is at hand.
type Means struct {
	Currents bool // the panel tells what each end gives; known once it did
	Meter    bool // volts and ohms
}

// spots picks devices to think of: those beside the likeliest causes, and those that divide what is left evenly.
func spots(r *Ring, causes []likely) []int {
	at := make([]float64, len(r.Devices))
	for _, c := range causes {
		at[min(c.At, len(at)-1)] += c.chance
	}
	var picked []int
	add := func(k int) {
		if k >= 0 && k < len(at) && !slices.Contains(picked, k) {
			picked = append(picked, k)
		}
	}
	for _, c := range likeliest(causes, 4) {
		add(c.At - 1)
		add(c.At)
		add(c.At + 1)
	}
	whole, next := 0.0, 1.0/16
	for k, chance := range at {
		if whole += chance; whole >= next {
			add(k)
			r.addIsolators(k, add)
			next = whole + 1.0/16
		}
	}
	add(0)
	add(len(at) - 1)
	return picked
}

// addIsolators adds the isolators on either side of a device.
func (r *Ring) addIsolators(k int, add func(int)) {
	for j := k; j >= 0; j-- {
		if r.Devices[j].Before || r.Devices[j].After {
			add(j)
			add(j - 1)
			break
		}
	}
	for j := k + 1; j < len(r.Devices); j++ {
		if r.Devices[j].Before || r.Devices[j].After {
			add(j)
			add(j - 1)
			break
		}
	}
}

// likeliest lists the likeliest causes of different classes.
func likeliest(causes []likely, n int) []likely {
	var classes []likely
	for i, c := range causes {
		if i > 0 && !differ(causes[i-1].Cause, c.Cause) {
			classes[len(classes)-1].chance += c.chance
			continue
		}
		classes = append(classes, c)
	}
	slices.SortStableFunc(classes, func(a, b likely) int {
		switch {
		case a.chance > b.chance:
			return -1
		case a.chance < b.chance:
			return 1
		}
		return 0
	})
	return classes[:min(n, len(classes))]
}

// candidates lists the steps that are worth a thought.
func (r *Ring) candidates(causes []likely, now standing, means Means) []Step {
	var steps []Step
	for _, feed := range []Feed{Both, FromOut, FromIn} {
		steps = append(steps, Step{OpenAt: None, Feed: feed, Look: AtPanel})
	}
	places := spots(r, causes)
	for _, k := range places {
		for _, feed := range []Feed{FromOut, FromIn} {
			steps = append(steps, Step{OpenAt: k, Feed: feed, Look: AtPanel})
		}
	}
	if means.Meter {
		steps = append(steps, r.metered(places, now)...)
	}
	lookFeed, lookOpen := now.feed, now.openAt
	if lookFeed == Off {
		lookFeed, lookOpen = Both, None
	}
	for _, c := range likeliest(causes, 6) {
		s := Step{OpenAt: lookOpen, Feed: lookFeed, At: c.At, Look: AtDevice}
		switch {
		case c.Kind.Gone():
			continue
		case c.Kind == Contact:
			for k := max(c.At-1, 0); k <= min(c.At, len(r.Devices)-1); k++ {
				s.At = k
				steps = append(steps, s)
			}
			s.At, s.Look = c.At, AtStretch
		case c.Kind.OfCable():
			s.Look = AtStretch
		}
		steps = append(steps, s)
	}
	return steps
}

// metered lists the steps that take a meter.
func (r *Ring) metered(places []int, now standing) []Step {
	var steps []Step
	leads := func(open int) {
		for _, toIn := range []bool{false, true} {
			for _, leads := range []Leads{Cores, PlusEarth, MinusEarth} {
				steps = append(steps, Step{OpenAt: open, Feed: Off, Look: AtOhms, ToIn: toIn, Leads: leads})
			}
		}
	}
	leads(None)
	for _, k := range places {
		leads(k)
		for _, feed := range []Feed{Both, FromOut, FromIn} {
			for _, toIn := range []bool{false, true} {
				steps = append(steps, Step{OpenAt: None, Feed: feed, Look: AtVolts, At: k, ToIn: toIn})
			}
		}
		if now.openAt != None && now.feed != Off {
			steps = append(steps, Step{OpenAt: now.openAt, Feed: now.feed, Look: AtVolts, At: k})
		}
	}
	return steps
}
