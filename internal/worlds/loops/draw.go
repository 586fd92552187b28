package loops

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// Taste says what loops are drawn. Its zero value draws what the vocabulary has today: no bounds of isolators, one
// supply voltage, the closed ring alone at a start, no missing facts.
type Taste struct {
	Points   int     // 0: 1 to 9
	Bounds   bool    // isolators have bounds
	Stepwise bool    // starts are looked at stage by stage
	Range    bool    // the supply has a low and a high voltage
	OneCore  bool    // a break of one core is a single open
	Missing  bool    // one loop in two lacks facts
	Amps     bool    // constant currents alone
	NoRules  bool    // nothing is asked of what a fault takes
	BaseTo   float64 // share of a base's ohms that lies before its device; the rest lies behind it
}

// Draw draws a loop; the same seed draws the same one. About half of them keep every limit.
func Draw(seed uint64, t Taste) *Loop {
	rng := rand.New(rand.NewPCG(seed, 20))
	n := t.Points
	if n == 0 {
		n = 1 + rng.IntN(Most)
	}
	m := maker{rng, t, &Loop{AtOnce: -1, Start: StartWhole, OneCore: t.OneCore}}
	l := m.loop
	if t.Stepwise {
		l.Start = StartStepwise
	}
	m.supply()
	m.points(n)
	l.Return = m.cable()
	m.isolators()
	m.places()
	if rng.IntN(5) < 2 {
		l.AtOnce = rng.IntN(n + 1)
	}
	m.scale()
	m.limit()
	if t.Missing && rng.IntN(2) == 0 {
		m.forget()
	}
	return l
}

type maker struct {
	*rand.Rand
	taste Taste
	loop  *Loop
}

// between draws a number from low to high, in steps of a ten-thousandth of high.
func (m maker) between(low, high float64) float64 {
	step := high / 1e4
	return math.Round((low+(high-low)*m.Float64())/step) * step
}

func (m maker) supply() {
	volts := []float64{18, 24, 28, 30, 40}[m.IntN(5)]
	m.loop.Supply = Supply{Low: volts, High: volts, Source: m.between(0, 2)}
	if m.IntN(4) == 0 {
		m.loop.Supply.Source = 0
	}
	if m.taste.Range {
		m.loop.Supply.High = math.Round(volts * m.between(1, 1.3))
	}
}

func (m maker) cable() Cable {
	sections := []float64{0.5, 0.75, 1, 1.5, 1.5, 1.5, 2.5, 4}
	c := Cable{Metres: math.Round(2 + 98*m.Float64()*m.Float64()), Celsius: []float64{20, 20, 30, 40, 50}[m.IntN(5)]}
	c.OhmsPerKm = OhmsPerKm[sections[m.IntN(len(sections))]]
	if m.IntN(8) == 0 { // cores that differ, as joints make them
		c.Plus = m.between(0.1, 3)
		c.Minus = m.between(0.1, 3)
	}
	return c
}

func (m maker) points(n int) {
	ring := []int{}
	spur := -1
	for i := range n {
		switch {
		case i == 0 || m.IntN(4) > 0:
			spur = -1
		case spur < 0:
			spur = ring[m.IntN(len(ring))]
		}
		p := Point{Name: fmt.Sprint(i + 1), Cable: m.cable(), Spur: spur, Floor: NoFloor}
		if spur < 0 {
			ring = append(ring, i)
		}
		if i > 0 && n > 2 && m.IntN(15) == 0 {
			p.Junction = true
		} else {
			m.device(&p)
		}
		m.loop.Points = append(m.loop.Points, p)
	}
}

// device draws currents of the sizes that detectors, indicators and sounders have: common practice, no source.
func (m maker) device(p *Point) {
	rest, alarm := m.between(0.0002, 0.0008), m.between(0.001, 0.006)
	p.Counted = true
	if m.IntN(3) == 0 {
		alarm, p.Counted = m.between(0.004, 0.03), false
	}
	p.Rest, p.Alarm = m.load(rest), m.load(alarm)
	switch m.IntN(20) {
	case 0:
		p.Alarm = p.Rest // an isolator alone, a call point: nothing more in alarm
	case 1:
		p.Rest, p.Alarm = m.load(alarm), m.load(rest) // what is released in alarm draws less
	}
	p.LeastVolts = math.Round(m.loop.Supply.Low * m.between(0.55, 0.85))
	if m.IntN(20) == 0 {
		p.LeastVolts = 0
	}
}

// load draws a load that draws so many amps at the lowest supply.
func (m maker) load(amps float64) Load {
	volts := m.loop.Supply.Low
	kind := m.IntN(3)
	if m.taste.Amps {
		kind = 0
	}
	switch kind {
	case 1:
		return Load{Watts, amps * volts}
	case 2:
		return Load{Ohms, volts / amps}
	}
	return Load{Amps, amps}
}

// isolators draws where there are any: in every device, now and then one, in the panel alone; of one kind a loop.
func (m maker) isolators() {
	share := []float64{0, 0.2, 0.5, 1}[m.IntN(4)]
	ohm, both := m.between(0.05, 0.4), m.IntN(3) == 0
	low := m.loop.Supply.Low
	bounds := Bounds{}
	if m.taste.Bounds {
		bounds = m.bounds(low)
	}
	for i := range m.loop.Points {
		p := &m.loop.Points[i]
		if m.Float64() >= share {
			continue
		}
		side := Side{Opens: true, Ohm: ohm, BothCores: both}
		p.Bounds = bounds
		switch m.IntN(5) {
		case 0:
			p.Before = side
		case 1:
			p.After = side
		case 2:
			if p.Spur >= 0 {
				p.Before = side
			} else {
				p.Branch = side
			}
		default:
			p.Before, p.After = side, side
			p.Before.Ohm, p.After.Ohm = ohm*m.taste.BaseTo, ohm*(1-m.taste.BaseTo)
		}
	}
}

// bounds draws what isolators keep, each known in two of three loops. They surely open only below where they surely hold.
func (m maker) bounds(low float64) Bounds {
	b := Bounds{Holds: low * m.between(0.4, 0.8), Closes: low * m.between(0.5, 0.95)}
	b.Opens = b.Holds * m.between(0.6, 1)
	b.Carries = m.most() * m.between(0.8, 2)
	for _, x := range []*float64{&b.Holds, &b.Closes, &b.Opens, &b.Carries} {
		if m.IntN(3) == 0 {
			*x = 0
		}
	}
	return b
}

// places draws zones, floors and square metres, and the rules of the site.
func (m maker) places() {
	zone, floor := 1, 0
	for i := range m.loop.Points {
		p := &m.loop.Points[i]
		if m.IntN(4) == 0 {
			zone++
			floor += m.IntN(2)
		}
		if p.Junction {
			continue
		}
		p.Zone, p.Floor = fmt.Sprint("zone ", zone), floor
		if p.Counted {
			p.M2 = math.Round(m.between(20, 100))
			if m.IntN(4) == 0 {
				p.M2 *= 10 // a hall
			}
		}
	}
	if m.taste.NoRules {
		return
	}
	for _, r := range []Rule{Rule32, RuleThird, RuleArea, RuleFloors, RuleZone} {
		if m.IntN(5) == 0 {
			m.loop.Rules = append(m.loop.Rules, r)
		}
	}
}

// scale makes the cables so long that what hangs on volts is near to failing: from 0.5 to 1.3 times what is left; but
// not more than 30 times as long.
func (m maker) scale() {
	want, longer := m.between(0.5, 1.3), 1.0
	for range 4 {
		used := m.used()
		if used <= 0 {
			return
		}
		f := min(max(want/used, 0.05), 30/longer)
		longer *= f
		for s := range m.loop.Stretches() {
			c := &m.loop.Return
			if s < len(m.loop.Points) {
				c = &m.loop.Points[s].Cable
			}
			c.Metres = max(1, math.Round(c.Metres*f))
			c.Plus, c.Minus = c.Plus*f, c.Minus*f
		}
	}
}

// used is the largest share of what a device may lose on the way that it loses, with the ring broken at either end and
// all devices drawing most.
func (m maker) used() float64 {
	worst := 0.0
	low := m.loop.Supply.Low
	for _, stretch := range []int{0, m.loop.Stretches() - 1} {
		s := State{Fault: Open, Stretch: stretch, Volts: low}
		op, ok := newNet(m.loop, low, m.loop.cut(s)).operate(func(i int, v float64) (float64, float64) { return m.loop.Points[i].most(v) })
		if !ok {
			return 3
		}
		for i, v := range op.Volts {
			if least := m.loop.Points[i].LeastVolts; least > 0 && !math.IsNaN(v) {
				worst = max(worst, (low-v)/(low-least))
			}
		}
	}
	return worst
}

// limit draws what an end can give, about what it has to.
func (m maker) limit() {
	if m.IntN(6) == 0 {
		return
	}
	m.loop.Supply.Limit = math.Round(m.most()*m.between(0.9, 2)*1e4)/1e4 + 1e-4
}

// most gives the amps of all devices together, each drawing most, at the lowest supply.
func (m maker) most() float64 {
	sum := 0.0
	for i := range m.loop.Points {
		amps, _ := m.loop.Points[i].most(m.loop.Supply.Low)
		sum += amps
	}
	return sum
}
