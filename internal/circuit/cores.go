package circuit

// Ends are what a meter finds of a sound loop, unless there is more than is written down.
type Ends struct {
	Plus, Minus Ohms  // of each core from OUT to IN, closed isolators included, the panel's own resistance not
	Drop        Volts // from OUT to the end of the cable at IN, fed from OUT alone, nobody in alarm
	Rest        Amps  // of the whole loop, both ends plugged in, nobody in alarm
	Exists      bool  // fed from OUT alone, the loop works
}

// Ends solves what a meter finds at the ends of the loop with all its cable at one temperature, and some times as long as it is
// written down. Cable whose ohms were measured stays as it was measured.
func (c *Circuit) Ends(at Celsius, times float64) (Ends, error) {
	loop := c.loop.scaled(times)
	alter := func(cable *Cable, was Cable) {
		cable.Celsius, cable.Plus, cable.Minus = at, was.Plus, was.Minus
	}
	for i := range loop.Points {
		alter(&loop.Points[i].Cable, c.loop.Points[i].Cable)
	}
	alter(&loop.Return, c.loop.Return)
	other, err := New(loop)
	if err != nil {
		return Ends{}, err
	}
	return other.ends()
}

// Warming is the factor by which copper's resistance grows from one temperature to another.
func Warming(from, to Celsius) float64 {
	return (1 + alpha20*float64(to-20)) / (1 + alpha20*float64(from-20))
}

// Coldest and Hottest are the temperatures between which a cable's lies.
const Coldest, Hottest Celsius = coldest, hottest

func (c *Circuit) ends() (Ends, error) {
	var e Ends
	for k := range c.branch {
		e.Plus += Ohms(c.branch[k].plus)
		e.Minus += Ohms(c.branch[k].minus)
	}
	e.Plus -= c.loop.Out.Plus + c.loop.In.Plus
	e.Minus -= c.loop.Out.Minus + c.loop.In.Minus
	healthy, err := c.Solve(State{})
	if err != nil {
		return e, err
	}
	e.Rest = healthy.Out + healthy.In
	open, err := c.Solve(State{Faults: []Fault{{Kind: Open, Segment: c.loop.ReturnSegment()}}})
	if err != nil || !open.Exists || !healthy.Exists {
		return e, err
	}
	e.Exists = true
	e.Drop = c.loop.Out.Volts - open.Volts[c.ring[len(c.ring)-1]]
	return e, nil
}
