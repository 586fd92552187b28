package circuit

import "fmt"

// NextIsolator is where one more isolator lowers the loss by a short most.
type NextIsolator struct {
	Point         string  // it would go after this point, towards IN
	Worst, Before int     // devices lost by the worst short, with it and now
	Mean, Now     float64 // devices lost by a short that is as likely at every metre, with it and now
	Reason        string
}

// NextIsolator tries one after every point of the ring that has none on the cable beyond it. What counts first is the
// devices that the worst short takes, then those that a short anywhere takes on average over the metres of cable.
// ok is false where no place is left.
func (l *Loop) NextIsolator() (best NextIsolator, ok bool, err error) {
	c, err := New(*l)
	if err != nil {
		return best, false, err
	}
	before, now := c.shortLoss()
	for k, p := range c.ring {
		if c.branch[k+1].left {
			continue
		}
		wider := l.clone()
		wider.Isolators = append(wider.Isolators, Isolator{Point: l.Points[p].Name})
		with, err := New(wider)
		if err != nil {
			return best, false, err
		}
		worst, mean := with.shortLoss()
		if !ok || worst < best.Worst || worst == best.Worst && mean < best.Mean-1e-12 {
			best, ok = NextIsolator{Point: l.Points[p].Name, Worst: worst, Before: before, Mean: mean, Now: now}, true
		}
	}
	if ok {
		best.Reason = best.reason()
	}
	return best, ok, nil
}

// reason says what the isolator changes, and what it does not.
func (n *NextIsolator) reason() string {
	worst := fmt.Sprintf("the worst short takes %s instead of %d", count(n.Worst, "device"), n.Before)
	if n.Worst == n.Before {
		worst = fmt.Sprintf("the worst short still takes %s", count(n.Worst, "device"))
	}
	with, without := fmt.Sprintf("%.1f", n.Mean), fmt.Sprintf("%.1f", n.Now)
	if with == without {
		return fmt.Sprintf("after %s, %s, and a short anywhere as many as now on average (%s)", n.Point, worst, with)
	}
	return fmt.Sprintf("after %s, %s, and a short anywhere %s on average instead of %s", n.Point, worst, with, without)
}

// shortLoss gives the devices lost by the worst short, and the mean over metres of cable.
func (c *Circuit) shortLoss() (worst int, mean float64) {
	metres := 0.0
	for k := range c.loop.ReturnSegment() + 1 {
		left := c.cutBy(Fault{Kind: Short, Segment: k})
		lost := 0
		for i := range c.loop.Points {
			if !c.loop.Points[i].Junction && !left.holds(c, i) {
				lost++
			}
		}
		cable := c.loop.Return
		if k < c.loop.ReturnSegment() {
			cable = c.loop.Points[k].Cable
		}
		length := float64(cable.Metres)
		worst = max(worst, lost)
		mean += length * float64(lost)
		metres += length
	}
	return worst, mean / max(metres, 1e-9)
}
