package fault

// foretold is what a cause foretells of the panel's list and message.
type foretold struct {
	upTo, from int // devices before the one and from the other on answer
	silent     int // of these, the one that does not; None: all do
	also       int // one that is not fed answers nevertheless, by another; None
	message    Message
	twice      int
}

// answers says whether a device does.
func (f *foretold) answers(k int) bool {
	return (k < f.upTo || k >= f.from) && k != f.silent || k == f.also
}

// panel foretells the list and the message.
func (r *Ring) panel(c *Cause, s *Step) foretold {
	f := r.reach(c, s)
	n := len(r.Devices)
	t := foretold{upTo: f.upTo(n), from: f.from(n), silent: None, also: None, twice: None}
	if t.from <= t.upTo { // whichever end feeds it, all answer
		t.upTo, t.from = n, n
	}
	t.message = r.says(c, s, &f)
	if c.Kind == Dead || c.Kind == Polarity || c.Kind == Double || c.Kind == Misset {
		t.silent = c.At
	}
	if c.Kind == Double && c.Other != None && f.fed(c.site()) {
		if f.fed(place(c.Other, onDevice)) {
			t.twice = c.Other
		} else {
			t.also = c.Other
		}
	}
	return t
}

// says is the panel's message. What is not fed is not told of.
func (r *Ring) says(c *Cause, s *Step, f *reach) Message {
	whole := s.Feed == Both && s.OpenAt == None
	if s.Feed == Both && s.OpenAt != None {
		return SaysOpen
	}
	switch c.Kind {
	case Open, StuckOpen, Contact:
		if whole {
			return shows[c.Kind]
		}
		return Silent
	case Short, StuckShut:
		if f.shorted {
			return SaysShort
		}
		return Silent
	case Double:
		if f.fed(c.site()) && c.Other != None && !f.fed(place(c.Other, onDevice)) {
			return SaysMissing
		}
	}
	if f.fed(c.site()) {
		return shows[c.Kind]
	}
	return Silent
}
