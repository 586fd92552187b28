package circuit

import (
	"fmt"
	"math"

	"sootline"
)

// ShortReading is what was measured of a short between the two cores, with the devices out, the isolators bridged, and
// the other end open.
type ShortReading struct {
	FromOut, FromIn Ohms // across the pair, at each end
	// EndToEnd is the resistance of both cores in series from end to end, measured; 0: taken from the cable's table.
	// Measured, it takes temperature and tolerance out of the answer.
	EndToEnd Ohms
	Meter    Ohms    // the largest error of one reading, test leads included
	Cable    float64 // the largest error of the tabulated resistance, as a share
	Kelvin   float64 // the largest error of the assumed temperature
}

// Location is where along the ring a fault lies.
type Location struct {
	Segment     Segment
	From        Metres // from the point before it
	Metres      Metres // along the ring from OUT
	Low, High   Metres // it lies between these
	First, Last Segment
	Fault       Ohms // resistance of the short itself
	Sentence    string
}

// LocateShort finds a short between the cores. With R1 = rho(x) + Rf and R2 = R - rho(x) + Rf the resistance Rf of the
// short itself cancels: rho(x) = (R1 - R2 + R)/2. Every cable needs its metres.
func (c *Circuit) LocateShort(reading ShortReading) (Location, error) {
	for _, r := range []float64{float64(reading.FromOut), float64(reading.FromIn), float64(reading.EndToEnd), float64(reading.Meter), reading.Cable, reading.Kelvin} {
		if !notNegative(r) {
			return Location{}, invalid("a reading and its error are numbers from 0, found %g", r)
		}
	}
	way, err := c.way(BothCores)
	if err != nil {
		return Location{}, err
	}
	total := way.ohms[len(way.ohms)-1]
	scale, spread := 1.0, reading.Cable+alpha20*reading.Kelvin
	if reading.EndToEnd > 0 {
		scale = float64(reading.EndToEnd) / total
		spread = float64(reading.Meter / reading.EndToEnd)
	}
	difference := float64(reading.FromOut - reading.FromIn)
	at := func(difference, scale float64) float64 { return (difference/scale + total) / 2 }
	low, high := math.Inf(1), math.Inf(-1)
	for _, d := range []float64{difference - 2*float64(reading.Meter), difference + 2*float64(reading.Meter)} {
		for _, s := range []float64{scale * (1 - spread), scale * (1 + spread)} {
			low, high = min(low, at(d, s)), max(high, at(d, s))
		}
	}
	if spread >= 1 || high < 0 || low > total {
		return Location{}, sootline.Errorf(sootline.Invalid, "measure again with every device out and every isolator bridged",
			"%s from OUT and %s from IN do not fit a loop of %s", reading.FromOut, reading.FromIn, Ohms(scale*total))
	}
	loc := c.location(way, at(difference, scale), low, high)
	loc.Fault = Ohms((float64(reading.FromOut+reading.FromIn) - scale*total) / 2)
	if loc.Fault < -reading.Meter-Ohms(spread*scale*total) {
		return Location{}, sootline.Errorf(sootline.Invalid, "measure the resistance from end to end",
			"the readings leave %s for the short itself, so the cable is not what it was taken for", loc.Fault)
	}
	loc.Sentence = c.locationText(&loc) + fmt.Sprintf("; the short itself has %s", Ohms(math.Max(float64(loc.Fault), 0)))
	return loc, nil
}

// LocateBreak finds an interrupted core by the capacitance that each end sees, the other end open: capacitance goes with
// length, so x = L C_out/(C_out + C_in). Resistance cannot place a clean break, for no current passes it. Share is the
// largest error of one reading. Spurs and devices must be off.
func (c *Circuit) LocateBreak(fromOut, fromIn, share float64) (Location, error) {
	if !notNegative(fromOut) || !notNegative(fromIn) || !positive(fromOut+fromIn) || !(share >= 0 && share < 1) {
		return Location{}, invalid("two capacitances from 0, not both 0, with an error below their size are needed, found %g and %g", fromOut, fromIn)
	}
	way, err := c.way(BothCores)
	if err != nil {
		return Location{}, err
	}
	length := float64(way.metres[len(way.metres)-1])
	at := func(a, b float64) float64 { return length * a / (a + b) }
	flat := route{metres: way.metres, ohms: make([]float64, len(way.metres))}
	for k, m := range way.metres {
		flat.ohms[k] = float64(m)
	}
	loc := c.location(flat, at(fromOut, fromIn), at(fromOut*(1-share), fromIn*(1+share)), at(fromOut*(1+share), fromIn*(1-share)))
	loc.Sentence = c.locationText(&loc)
	return loc, nil
}

// route is the cable alone, from OUT to the end of each ring branch: metres, and ohms of a core or of both.
type route struct {
	metres []Metres
	ohms   []float64
}

func (c *Circuit) way(core Core) (route, error) {
	r := route{make([]Metres, 1, len(c.branch)+1), make([]float64, 1, len(c.branch)+1)}
	for k := range c.branch {
		cable := c.loop.Return
		if k < len(c.ring) {
			cable = c.loop.Points[c.ring[k]].Cable
		}
		if cable.Metres <= 0 {
			return r, sootline.Errorf(sootline.Invalid, "give the metres of every cable of the ring", "the cable %s has no length, so no place on it can be told", c.Between(c.segment(k)))
		}
		plus, minus, err := cable.Cores()
		if err != nil {
			return r, err
		}
		r.metres = append(r.metres, r.metres[k]+cable.Metres)
		switch core {
		case PlusCore:
			minus = 0
		case MinusCore:
			plus = 0
		}
		r.ohms = append(r.ohms, r.ohms[k]+float64(plus+minus))
	}
	return r, nil
}

// location turns ohms along the route into places.
func (c *Circuit) location(way route, at, low, high float64) Location {
	var loc Location
	var k int
	k, loc.Metres = way.place(at)
	loc.Segment = c.segment(k)
	loc.From = loc.Metres - way.metres[k]
	k, loc.Low = way.place(low)
	loc.First = c.segment(k)
	k, loc.High = way.place(high)
	loc.Last = c.segment(k)
	return loc
}

// place finds the branch and the metres at which the route has so many ohms; beyond its ends, the ends.
func (r route) place(ohms float64) (branch int, at Metres) {
	last := len(r.ohms) - 2
	for branch < last && ohms > r.ohms[branch+1] {
		branch++
	}
	share := (ohms - r.ohms[branch]) / (r.ohms[branch+1] - r.ohms[branch])
	share = min(max(share, 0), 1)
	return branch, r.metres[branch] + Metres(share)*(r.metres[branch+1]-r.metres[branch])
}

func (c *Circuit) locationText(loc *Location) string {
	from := c.Between(loc.Segment)
	text := fmt.Sprintf("%s, about %s from %s", from, loc.From, c.startOf(loc.Segment))
	switch low, high := loc.Low.String(), loc.High.String(); {
	case low != high:
		text += fmt.Sprintf("; between %s and %s from OUT along the cable", low, high)
	case loc.High == 0:
		text += "; at OUT itself, or before it: the readings leave no cable in between"
	default:
		text += fmt.Sprintf("; %s from OUT along the cable, as near as the readings tell", low)
	}
	if loc.First != loc.Last {
		text += ", so perhaps as near as " + c.Between(loc.First) + " or as far as " + c.Between(loc.Last)
	}
	return text
}

// startOf names the point at which a ring cable begins.
func (c *Circuit) startOf(s Segment) string {
	k := len(c.ring)
	if s < c.loop.ReturnSegment() {
		k = c.nodes[s].pos
	}
	if k == 0 {
		return "OUT"
	}
	return c.loop.Points[c.ring[k-1]].Name
}
