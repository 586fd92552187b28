package instruments

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// World draws sites; see the package.
type World struct{}

// Name is instruments.
func (World) Name() string { return "instruments" }

// Scenarios lists what it can draw.
func (World) Scenarios() []string {
	var names []string
	for _, s := range scenarios() {
		names = append(names, s.name)
	}
	return names
}

// Make draws a site. A scenario that it does not know is a mistake of the caller.
func (World) Make(seed uint64, scenario string) levels.Site {
	for _, s := range scenarios() {
		if s.name == scenario {
			p := usual()
			s.make(&p)
			return draw(seed, scenario, &p).told()
		}
	}
	panic("world instruments has no scenario " + scenario)
}

// premises are a site with everything that is true of it.
type premises struct {
	name     string
	scenario string
	plan     *plan
	cal      calendar
	areas    []area
	firm     *firmware
	devices  []*device
	book     *levels.Book
}

func draw(seed uint64, scenario string, p *plan) *premises {
	name := fnv.New64a()
	name.Write([]byte(scenario))
	stream := name.Sum64()
	r := rand.New(rand.NewPCG(seed, stream))
	s := &premises{name: fmt.Sprintf("Instruments %d", seed), scenario: scenario, plan: p, cal: newCalendar(r, p)}
	s.cal.staff(r, p)
	n := between(r, p.points)
	s.areas = newAreas(r, p, &s.cal, n)
	chosen := chooseScales(r, p)
	if p.rescaled != "" {
		s.firm = newFirmware(r, p, &s.cal, chosen[0])
	}
	s.book = levels.NewBook(seed^stream, s.cal.opened, sootline.Opened{
		Name: s.name, Zone: "UTC", Rules: sootline.Rules{VisitMonths: s.cal.months},
	})
	for i := range n {
		own := rand.New(rand.NewPCG(seed^stream, uint64(i)+1))
		d := s.newDevice(own, i, n, chosen)
		s.devices = append(s.devices, d)
		l := life{device: d, r: own, p: p, cal: &s.cal, firm: s.firm}
		l.unit()
		if !p.known {
			l.drift.dirt = math.Min(0.8, 6*l.drift.pace*own.Float64()) // nobody knows since when
		}
		l.run()
	}
	s.hand(r)
	return s
}

// chooseScales draws the types of a site: up to four, and one of which most are.
func chooseScales(r *rand.Rand, p *plan) []*scale {
	var chosen []*scale
	for _, i := range r.Perm(len(p.types))[:min(len(p.types), 2+r.IntN(3))] {
		chosen = append(chosen, scaleNamed(p.types[i]))
	}
	if chosen[0].kind == sootline.Heat { // of which nothing much can be learned
		chosen[0] = scaleNamed("SM-255")
	}
	return chosen
}

// newFirmware draws a day between two visits after which some readings follow, and another scale: a little
// wider or narrower, or another one altogether.
func newFirmware(r *rand.Rand, p *plan, c *calendar, s *scale) *firmware {
	n := len(c.visits)
	i := n/2 + r.IntN(max(1, n/3))
	f := &firmware{scale: s, from: c.visits[i].at.Add(-time.Duration(3+r.IntN(40)) * dayLong).Truncate(dayLong).Add(7 * time.Hour)}
	f.to = rescaling{gain: []float64{0.8, 1.2, 1.3, 2.5}[r.IntN(4)]}
	f.to.offset = tidy((r.Float64()-0.5)*0.3*math.Abs(s.span()), decimals(s.step))
	switch p.rescaled {
	case "told":
		f.told, f.sheet = true, f.from
	case "late":
		f.sheet = c.visits[n-1].at.Add(26 * time.Hour)
	}
	return f
}

// perLoop is how many points a loop takes: ours.
const perLoop = 60

func (s *premises) newDevice(r *rand.Rand, i, n int, chosen []*scale) *device {
	p := s.plan
	d := &device{loop: i/perLoop + 1, number: i%perLoop + 1, area: &s.areas[i*len(s.areas)/n], fitted: s.cal.opened.Add(time.Hour)}
	if n < 2*perLoop && p.split { // two rounds need two loops
		d.loop, d.number = i*2/n+1, i%((n+1)/2)+1
	}
	d.scale = chosen[0]
	if r.Float64() < 0.45 {
		d.scale = chosen[r.IntN(len(chosen))]
	}
	if r.Float64() < p.joined {
		d.fitted = s.cal.opened.Add(time.Duration(r.Float64() * float64(s.cal.now.Sub(s.cal.opened)))).Truncate(time.Hour)
	}
	d.id = s.book.Point(d.fitted)
	d.noise = p.noise * math.Exp(0.3*r.NormFloat64())
	d.season, d.phase = p.season*2*r.Float64(), 0.3
	d.drift = newDrift(r, s.natureOf(r, d.scale), d.area.pace*math.Exp(p.spread/2*r.NormFloat64()), p.gentle)
	return d
}

func (s *premises) natureOf(r *rand.Rand, of *scale) nature {
	switch of.kind {
	case sootline.Gas:
		return ageing
	case sootline.Heat:
		return still
	}
	return s.plan.natures[r.IntN(len(s.plan.natures))]
}
