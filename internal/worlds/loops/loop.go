package loops

import "math"

// LoadKind says how what a device draws goes with its volts.
type LoadKind string

// The kinds of load.
const (
	Amps  LoadKind = "amps"  // constant current
	Ohms  LoadKind = "ohms"  // constant resistance
	Watts LoadKind = "watts" // constant power
)

// Load is what a device draws. A value of 0 is none.
type Load struct {
	Kind  LoadKind
	Value float64
}

// draw gives the amps at so many volts, and how they change with the volts.
func (l Load) draw(v float64) (amps, slope float64) {
	switch {
	case l.Value == 0:
		return 0, 0
	case l.Kind == Ohms:
		return v / l.Value, 1 / l.Value
	case l.Kind == Watts:
		return l.Value / v, -l.Value / (v * v)
	}
	return l.Value, 0
}

// scaled gives the load that draws f times as much at every voltage.
func (l Load) scaled(f float64) Load {
	if l.Kind == Ohms {
		return Load{l.Kind, l.Value / f}
	}
	return Load{l.Kind, l.Value * f}
}

// Cable is a stretch of cable of two cores. Measured ohms, where there are any, go before all else.
type Cable struct {
	Metres      float64
	OhmsPerKm   float64 // of one core at 20 C
	Celsius     float64
	Plus, Minus float64 // ohms of each core as measured, 0: not measured
}

// cores gives the ohms of each core.
func (c Cable) cores() (plus, minus float64) {
	if c.Plus > 0 || c.Minus > 0 {
		return c.Plus, c.Minus
	}
	// R(t) = R20 (1 + 0.00393 (t - 20)), copper: NBS Handbook 100, IEC 60028, from memory.
	r := c.Metres * c.OhmsPerKm / 1000 * (1 + 0.00393*(c.Celsius-20))
	return r, r
}

// OhmsPerKm gives IEC 60228:2004, class 1 and 2, plain: the most at 20 C, one conductor, by mm2 (read in four restatements).
var OhmsPerKm = map[float64]float64{0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4: 4.61}

// Side is an isolator on one side of a point.
type Side struct {
	Opens     bool    // towards a short
	Ohm       float64 // closed
	BothCores bool    // the ohms are in each core, not in the plus core alone
}

// Bounds of a point's isolators. What is 0 is not judged. The quantities are those that EN 54-17:2005 has declared (from memory).
type Bounds struct {
	Holds   float64 // volts above which they surely stay closed
	Opens   float64 // volts below which they surely open
	Closes  float64 // volts above which they surely close again
	Carries float64 // amps that they carry closed
}

// NoFloor is the floor of a point of which nobody knows it.
const NoFloor = math.MinInt

// Point is a device, or a joint, and the cable before it.
type Point struct {
	Name       string
	Junction   bool // no device
	Cable      Cable
	Spur       int // the point on the ring from which its spur hangs; -1: on the ring
	Rest       Load
	Alarm      Load
	LeastVolts float64

	Before, After, Branch Side // towards OUT, towards IN, towards its spur
	Bounds                Bounds

	Zone    string  // empty: not known
	Floor   int     // floors are counted upwards
	M2      float64 // square metres that are its own
	Counted bool    // a detector or call point
}

// Supply is what feeds the loop, at either end alike.
type Supply struct {
	Low, High float64 // volts, from the emptiest battery to the highest charge
	Source    float64 // ohms of each core at each end
	Limit     float64 // amps that an end can give; 0: not judged
}

// Start says what must hold after an interruption, every device drawing the most that it can.
type Start string

// The ways to start.
const (
	StartWhole    Start = "whole"    // the closed ring alone is looked at
	StartStepwise Start = "stepwise" // and every stage while the isolators close from both ends
)

// Loop is a loop with every fact that there is. What of it nobody knows stands in Missing, and its number is then of no meaning.
type Loop struct {
	Points  []Point // ring and spurs; the points of a spur stand in the order of its cable
	Return  Cable   // from the last point on the ring to IN
	Supply  Supply
	AtOnce  int // how many may be in alarm; -1: all
	Start   Start
	Rules   []Rule
	OneCore bool // a break of one core alone is a single open too
	Missing []Fact
}

// Places that are no points, as ends of a stretch.
const (
	OUT = -1
	IN  = -2
)

// Stretches is how many there are: one before each point, and the one back to IN, which is the last.
func (l *Loop) Stretches() int { return len(l.Points) + 1 }

// Ends gives the points between which a stretch lies, the one towards OUT first.
func (l *Loop) Ends(stretch int) (a, b int) {
	spur, b := -1, stretch
	if stretch == len(l.Points) {
		b = IN
	} else {
		spur = l.Points[stretch].Spur
	}
	for k := stretch - 1; k >= 0; k-- {
		if l.Points[k].Spur == spur {
			return k, b
		}
	}
	if spur >= 0 {
		return spur, b
	}
	return OUT, b
}

// sides gives the isolators at both ends of a stretch that face it. The panel's terminals always open.
func (l *Loop) sides(stretch int) (atA, atB Side) {
	a, b := l.Ends(stretch)
	atA, atB = Side{Opens: true}, Side{Opens: true}
	switch {
	case a >= 0 && stretch < len(l.Points) && l.Points[stretch].Spur == a:
		atA = l.Points[a].Branch
	case a >= 0:
		atA = l.Points[a].After
	}
	if b >= 0 {
		atB = l.Points[b].Before
	}
	return atA, atB
}

// ohms gives the resistance of each core of a stretch, with its isolators and, at the panel, the source.
func (l *Loop) ohms(stretch int) (plus, minus float64) {
	c := l.Return
	if stretch < len(l.Points) {
		c = l.Points[stretch].Cable
	}
	plus, minus = c.cores()
	atA, atB := l.sides(stretch)
	for _, s := range []Side{atA, atB} {
		plus += s.Ohm
		if s.BothCores {
			minus += s.Ohm
		}
	}
	a, b := l.Ends(stretch)
	if a == OUT {
		plus, minus = plus+l.Supply.Source, minus+l.Supply.Source
	}
	if b == IN {
		plus, minus = plus+l.Supply.Source, minus+l.Supply.Source
	}
	return plus, minus
}

// devices counts the points that are devices.
func (l *Loop) devices() int {
	n := 0
	for i := range l.Points {
		if !l.Points[i].Junction {
			n++
		}
	}
	return n
}
