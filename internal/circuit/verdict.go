package circuit

import "math"

// Standing is what a verdict says of a loop.
type Standing string

// The three standings. Shown is a proof over every state; Failing names a state that was solved; what is neither is
// NotShown, with what stands in the way.
const (
	Shown    Standing = "shown"
	NotShown Standing = "not shown"
	Failing  Standing = "fails"
)

// Limit is what is to be kept.
type Limit string

// The limits. Each is held against every state that it says.
const (
	LeastVolts      Limit = "least working volts"   // of every device that stays fed, in every state
	OutCurrent      Limit = "current of OUT"        // in every state
	InCurrent       Limit = "current of IN"         // in every state
	IsolatorHolds   Limit = "isolator stays closed" // its point's volts, in every state but the start
	IsolatorCarries Limit = "isolator carries"      // its current, in every state
	IsolatorOpens   Limit = "isolator opens"        // its point's volts while a short stands and nothing has opened yet
	IsolatorCloses  Limit = "isolator closes again" // the volts of its fed side while the loop comes back
	OperatingPoint  Limit = "operating point"       // there is one
	Takes           Limit = "what a fault takes"    // by a rule of the site
	PanelAllows     Limit = "what the panel allows" // of cable: ohms end to end, nanofarads
)

// Restarts says what is looked at after an interruption, every device drawing the most that it can.
type Restarts uint8

// The ways to start.
const (
	StartStepwise Restarts = iota // every stage while isolators close one after another from both ends
	StartWhole                    // the closed ring alone
)

// Demand is what a loop is held against.
type Demand struct {
	Alarms  Alarms
	Rules   []Rule
	Start   Restarts
	OneCore bool // a break of one core alone is a single fault too

	quick bool // the first failure will do
}

// Situation is a state of the loop: a fault or none, who is in alarm, and the volts of the supply; or a stage of its start.
type Situation struct {
	Faults   []Fault
	Alarm    []int
	Volts    Volts
	Starting bool
	Stage    Stage
}

// Failure is a limit that a situation does not keep.
type Failure struct {
	Limit Limit
	At    Situation
	Point int // the device or isolator, by index; -1: none
	Rule  *Rule
	By    float64 // in the limit's own unit: volts, amps, devices, share, square metres, floors or zones; infinite without an operating point
	Is    float64 // what was found, in that unit
	Needs float64 // what is to be kept
	Why   string  // of a rule, or of the panel's allowance
}

// Bound is a limit that no state was found to break, and that could not be proved either.
type Bound struct {
	Limit Limit
	Point int
	Fault []Fault
	Past  float64 // by how much the bound lies beyond the limit; infinite where there is none
	Asks  float64 // of IsolatorOpens: amperes that an end would have to give for it, which is more than it Gives; 0: it gives them
	Gives float64
}

// Verdict is what is so of a loop, over all its states.
type Verdict struct {
	Says   Standing
	Fails  *Failure // of Failing: the state that was solved
	Bounds []Bound  // of NotShown: the bounds that stand in the way
	// Missing are the facts that stand in the way, each group a fact of one kind; where one alone settles it, it is the
	// only one. Empty where bounds do.
	Missing []Fact
	Taken   *Verdict // of NotShown with facts missing: what it would be with what was taken for them
	// Nearest is the device nearest to its least working volts, or furthest below it, in a state that was solved; nil where none is judged.
	Nearest *Nearest
	Solved  int // states that were solved one by one
}

// Nearest is the least that is left to a device.
type Nearest struct {
	Point  int
	At     Situation
	Volts  Volts
	Margin Volts
	Floor  Volts // no state leaves less; equal to Margin where that state was proved to be the worst
}

// slack is how far beyond a limit rounding may put what just reaches it, as a share of the supply or of a limit.
const slack = 1e-9

// Verdict holds every limit against every state: healthy, every single open and short, a start, each at the lowest and the
// highest volts of the supply and with every choice of alarms. What is proved by which argument stands in
// docs/methods/circuit.md.
func (c *Circuit) Verdict(d Demand) (*Verdict, error) {
	if err := c.checkAlarms(d.Alarms); err != nil {
		return nil, err
	}
	v := &Verdict{}
	c.taken(v, d.Rules)
	for _, level := range c.levels() {
		for _, look := range []func(){
			func() { level.start(v, d.Start) }, func() { level.lines(v, &d) }, func() { level.opening(v) },
		} {
			if !d.quick || v.Fails == nil {
				look()
			}
		}
	}
	switch {
	case v.Fails != nil:
		v.Says, v.Bounds = Failing, nil
	case len(v.Bounds) > 0:
		v.Says = NotShown
	default:
		v.Says = Shown
	}
	return v, nil
}

// levels gives the circuit at the lowest volts of its supply and, where that differs, at the highest.
func (c *Circuit) levels() []*Circuit {
	out, in := c.loop.Out.High, c.loop.In.High
	if out <= c.loop.Out.Volts && in <= c.loop.In.Volts {
		return []*Circuit{c}
	}
	high := *c
	high.loop.Out.Volts, high.loop.In.Volts = max(out, c.loop.Out.Volts), max(in, c.loop.In.Volts)
	high.top = max(float64(high.loop.Out.Volts), float64(high.loop.In.Volts))
	return []*Circuit{c, &high}
}

// fail keeps the failure that says most: no operating point, then the one that misses its limit by the largest share.
func (v *Verdict) fail(f Failure) {
	if v.Fails == nil || f.weight() > v.Fails.weight() {
		v.Fails = &f
	}
}

func (f *Failure) weight() float64 {
	if math.IsInf(f.By, 1) {
		return math.Inf(1)
	}
	return f.By / max(math.Abs(f.Needs), 1e-9)
}

// lines holds volts and currents against every fault and choice of alarms.
func (c *Circuit) lines(v *Verdict, d *Demand) {
	for _, s := range c.hardest(d) {
		if d.quick && v.Fails != nil {
			return
		}
		f := c.field(s)
		f.judge(v, d.Alarms)
	}
}

// stood is a fault and one of the arcs that it leaves.
type stood struct {
	faults []Fault
	left   cut
	arc    arc
}

// hardest lists the arcs that stand for all single faults. Under a break next to the panel every device of the ring hangs
// on the other end: no other single fault, and none, leaves a device less volts or asks an end for more. The proof needs
// equal volts at both ends, and, where resistances draw, cores that share alike; without them the closed rings are looked
// at one by one. A ring with one core open is never covered by it.
func (c *Circuit) hardest(d *Demand) []stood {
	n := len(c.ring)
	last, first := Fault{Segment: c.segment(n)}, Fault{Segment: c.segment(0)}
	list := []stood{
		{[]Fault{last}, cut{out: n, in: n}, arc{0, n, true, false, nil}},
		{[]Fault{first}, cut{}, arc{0, n, false, true, nil}},
	}
	if !c.covered() {
		list = append(list, stood{nil, c.whole(), arc{0, n, true, true, nil}})
		for kind := Open; kind <= Short; kind++ {
			for k := range c.loop.ReturnSegment() {
				f := Fault{Kind: kind, Segment: k}
				if left := c.cutBy(f); left.closed && c.nodes[k].spur >= 0 {
					list = append(list, stood{[]Fault{f}, left, arc{0, n, true, true, left.fed}})
				}
			}
		}
	}
	if d.OneCore {
		list = append(list, c.halves()...)
	}
	return list
}

// halves lists the rings with one core of a cable open. Where both cores share alike, which of them makes no difference.
func (c *Circuit) halves() []stood {
	var list []stood
	for k := range c.branch {
		for core := PlusCore; core <= MinusCore; core++ {
			f := Fault{Segment: c.segment(k), Core: core}
			list = append(list, stood{[]Fault{f}, c.cutBy(f), arc{0, len(c.ring), true, true, nil}})
		}
	}
	return list
}

// covered reports whether the breaks next to the panel were proved to be the hardest faults.
func (c *Circuit) covered() bool {
	if c.loop.Out.Volts != c.loop.In.Volts {
		return false
	}
	resistive := false
	for i := range c.loop.Points {
		p := &c.loop.Points[i]
		resistive = resistive || p.Rest.Kind == Resistance && p.Rest.Value > 0 || p.Alarm.Kind == Resistance && p.Alarm.Value > 0
	}
	if !resistive {
		return true
	}
	for k := range c.branch {
		if math.Abs(c.sound.ratio[k]-c.sound.ratio[0]) > 1e-12 {
			return false
		}
	}
	return true
}
