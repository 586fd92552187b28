package circuit

import "fmt"

// Restart says whether the loop comes up again with its faults in place.
type Restart struct {
	// Starts is proven when true: in whatever order the devices come up, none is left below its least volts and no end
	// is asked for more than it can give. When false it was not shown, which is no proof that it fails.
	Starts  bool
	Out, In Amps // the most that each end may have to give on the way up
	Reason  string
}

// Restart takes every device at the most that it can draw while it works: a constant power at its least working volts,
// a resistance at the supply's. Loads that are no more than this at any moment drop no more than this, so if all have
// their least volts then, they have them on the way up too. What capacitors draw at first is not in it.
func (c *Circuit) Restart(state State) (Restart, error) {
	left, err := c.cut(state.Faults)
	if err != nil {
		return Restart{}, err
	}
	loads, err := c.loads(state)
	if err != nil {
		return Restart{}, err
	}
	w := c.newLadder(&left)
	for i := range loads {
		p := &c.loop.Points[i]
		if loads[i].Kind == Power && loads[i].Value > 0 && p.Least == 0 && left.holds(c, i) {
			return Restart{Reason: p.Name + " draws constant power and its least working volts are not known, so its current on the way up has no bound"}, nil
		}
		loads[i] = In(Amps(w.atMost(loads[i], float64(p.Least))))
	}
	return c.restart(&left, loads), nil
}

func (c *Circuit) restart(left *cut, most []Load) Restart {
	sol := c.solve(left, most)
	if !sol.Exists {
		return Restart{Reason: "with every device at the most that it can draw, the cable leaves some without any volts"}
	}
	r := Restart{Out: sol.Out, In: sol.In}
	for i := range most {
		p := &c.loop.Points[i]
		if sol.Fed[i] && !p.Junction && sol.Volts[i] < p.Least {
			r.Reason = fmt.Sprintf("with every device at the most that it can draw, %s has %s and needs %s", p.Name, sol.Volts[i], p.Least)
			return r
		}
	}
	if over(r.Out, c.loop.Out.Limit) || over(r.In, c.loop.In.Limit) {
		o := Outcome{Out: r.Out, In: r.In}
		r.Reason = "while starting" + c.overLimit(&o)[1:]
		return r
	}
	r.Starts = true
	r.Reason = "with every device at the most that it can draw, all keep their least working volts and the ends can give the current"
	return r
}
