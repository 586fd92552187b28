package app

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/circuit"
	"sootline/internal/design"
)

// fill chooses what nobody chose, and says so.
func (m *designing) fill() error {
	c := &m.choice
	loops := m.r.Loops()
	if c.Panel == "" {
		c.Panel = "1"
		if len(loops) > 0 {
			c.Panel = loops[0].Panel
		}
	}
	if err := m.feed(); err != nil {
		return err
	}
	m.free()
	span := m.r.Loop(m.id(0))
	if holds := span.Last - span.First + 1 - len(span.Reserved); c.Most == 0 {
		c.Most = holds
	} else if c.Most > holds {
		return sootline.Errorf(sootline.Invalid, "", "a loop of the panel has %d numbers to give, not %d", holds, c.Most)
	}
	if c.Spare < 0 {
		c.Spare = usualSpare
		m.assume(commonUse, "%g %% of the numbers of each loop are kept for later", c.Spare)
	}
	if c.Storey == 0 {
		c.Storey = usualStorey
		m.assume(ownChoice, "%g m of cable from floor to floor", c.Storey)
	}
	if c.Slack < 0 {
		c.Slack = usualSlack
		m.assume(ownChoice, "%g m of cable for each device besides: down and back, and its loops of spare", c.Slack)
	}
	if len(c.Risers) == 0 {
		c.Risers = [][2]float64{{c.At[0], c.At[1]}}
		if m.floors() {
			m.assume(ownChoice, "cable goes from floor to floor at the panel's place alone")
		}
	}
	m.assume(ownChoice, "cable runs along the walls: across and along, never slantwise; the panel is at %g m across and %g m along on floor %g", c.At[0], c.At[1], c.At[2])
	if c.Spare >= 100 || c.Loops < 0 || c.Loops > 250 {
		return sootline.Errorf(sootline.Invalid, "", "a design keeps less than 100 %% to spare and has up to 250 loops")
	}
	if c.MM2 > 0 && !slices.Contains(sootline.MetricSizes(), c.MM2) {
		return sootline.Errorf(sootline.Invalid, "", "no resistance is known for a cross-section of %v mm2", c.MM2)
	}
	return nil
}

// feed finds what feeds the loops: as it was said of one of the panel.
func (m *designing) feed() error {
	for _, id := range m.r.Fed() {
		if m.choice.Like == id.String() || m.choice.Like == id.Name || m.choice.Like == "" && id.Panel == m.choice.Panel {
			m.supply = *m.r.Supply(id)
			m.assume(ownChoice, "each loop is fed as loop %s is", id)
			return nil
		}
	}
	if m.choice.Like != "" {
		return sootline.Errorf(sootline.NotFound, "say what feeds it first", "nobody said what feeds loop %s", m.choice.Like).Do(sootline.ShowSite)
	}
	m.assume("not known", "nobody said what feeds the loops; until somebody does, their cross-section and their cable back to the panel are not written down with them")
	return nil
}

// free lists the loops of the panel that hold no point; beyond those that are known they are numbered on.
func (m *designing) free() {
	last := 0
	for _, loop := range m.r.Loops() {
		if loop.Panel != m.choice.Panel {
			continue
		}
		if n, err := strconv.Atoi(loop.Name); err == nil {
			last = max(last, n)
		}
		if !slices.ContainsFunc(m.r.Points(), func(p *sootline.Point) bool { return p.LoopID() == loop.LoopID }) {
			m.ids = append(m.ids, loop.LoopID)
		}
	}
	for range 250 {
		last++
		m.ids = append(m.ids, sootline.LoopID{Panel: m.choice.Panel, Name: strconv.Itoa(last)})
	}
}

// id is the i-th free loop.
func (m *designing) id(i int) sootline.LoopID { return m.ids[i] }

func (m *designing) floors() bool {
	for i := range m.brief.places {
		if float64(m.brief.places[i].Floor) != m.choice.At[2] {
			return true
		}
	}
	return false
}

// building is the brief's with what was chosen.
func (m *designing) building() *design.Building {
	b := m.brief.building
	b.Risers, b.Storey, b.Slack = m.choice.Risers, m.choice.Storey, m.choice.Slack
	b.Panel = design.Place{X: m.choice.At[0], Y: m.choice.At[1], Floor: int(m.choice.At[2])}
	return &b
}

// reservedIn reports whether one of so many numbers is kept free.
func reservedIn(reserved []int, number, takes int) bool {
	return slices.ContainsFunc(reserved, func(n int) bool { return n >= number && n < number+takes })
}

// finish works out what is said beside the verdicts of a design.
func (m *designing) finish(d *Design) (*Design, error) {
	d.Choice = m.choice
	d.Choice.Loops = len(d.Loops)
	for _, l := range d.Loops {
		last := &l.Points[len(l.Points)-1]
		if span := m.r.Loop(l.LoopID); last.Number+last.takes-1 > span.Last {
			return nil, sootline.Errorf(sootline.Invalid, "take more loops", "the numbers of loop %s end at %d, and its last device would have %d", l, span.Last, last.Number)
		}
		var err error
		if l.Power, err = m.power(l); err != nil {
			return nil, err
		}
	}
	d.Drains = m.drains(d)
	d.Assumed = slices.Clone(m.assumed)
	if d.uneven != "" {
		d.Assumed = append(d.Assumed, Assumption{"the loops have uneven shares of the devices: " + d.uneven, ownChoice})
	}
	if m.choice.MM2 == 0 {
		d.Assumed = append(d.Assumed, Assumption{"conductors have 1 mm2 at least: BS 5839-1 clause 26", fromMemory})
	}
	return d, nil
}

// power holds a loop against every limit as `loop` does, and finds how much longer its cable may be.
func (m *designing) power(l *DesignedLoop) (*Power, error) {
	d, err := m.drafted(l, l.Isolators.At)
	if err != nil {
		return nil, err
	}
	p, err := d.power(Ask{})
	if err != nil || !p.Shown() {
		return p, err
	}
	again, err := m.drafted(l, l.Isolators.At)
	if err != nil {
		return nil, err
	}
	loop, demand, err := again.loop()
	if err != nil {
		return nil, err
	}
	l.Longest, err = loop.Longest(demand, again.missing, mostLonger)
	return p, err
}

// mostLonger is how many times as long cable is tried.
const mostLonger = 20

// drains lists what stands on the loops for the battery.
func (m *designing) drains(d *Design) []Drain {
	var all []Drain
	for _, l := range d.Loops {
		var list []Drain
		of := &drafted{r: m.r, draft: &circuit.Draft{Default: assumed(sootline.Supply{})}}
		for i := range l.Points {
			name := l.Points[i].Type + ", loop " + l.String()
			k := slices.IndexFunc(list, func(one Drain) bool { return one.Name == name })
			if k < 0 {
				k = len(list)
				list = append(list, of.drain(name, &sootline.Point{Type: l.Points[i].Type}))
			}
			list[k].Count++
		}
		if l.supply.AlarmsAtOnce != nil {
			list = atOnce(list, *l.supply.AlarmsAtOnce)
		}
		for _, line := range circuit.CountGaps(of.gaps) {
			m.assume(ownChoice, "for the battery, %s", line)
			d.guessed = true
		}
		all = append(all, list...)
	}
	return all
}

// isolator is what is known of an isolator in a base.
func (d *drafted) isolator() circuit.Isolator {
	iso := circuit.Isolator{Side: circuit.Base, Plus: circuit.Ohms(d.supply.IsolatorOhms)}
	iso.Opens = circuit.Volts(d.supply.Opens)
	return iso
}

// Change changes one choice, written as mm2=2.5, spare=30, loops=2, most=99 or isolators=every.
func (c *DesignChoice) Change(text string) error {
	name, value, _ := strings.Cut(text, "=")
	const hint = "a choice is mm2=2.5, spare=30, loops=2, most=99, isolators=every or isolators=fewest"
	if name == "isolators" && (value == "every" || value == "fewest") {
		c.Every = value == "every"
		return nil
	}
	x, err := TypedNumber(value)
	if err != nil || x < 0 || x > 1e4 {
		return sootline.Errorf(sootline.Invalid, hint, "%q is not a choice of a design", text)
	}
	switch name {
	case "mm2":
		c.MM2 = x
	case "spare":
		c.Spare = x
	case "loops":
		c.Loops = int(x)
	case "most":
		c.Most = int(x)
	default:
		return sootline.Errorf(sootline.Invalid, hint, "%q is not a choice of a design", text)
	}
	return nil
}

// Place reads where the panel is, as metres across, along and the floor with commas between, and the risers, each as
// across/along; nothing typed leaves what is usual.
func (c *DesignChoice) Place(at, risers string) error {
	if at != "" {
		x, err := typedPlace(at, ",", 3)
		if err != nil {
			return err
		}
		c.At = [3]float64(x)
	}
	for text := range strings.FieldsSeq(risers) {
		x, err := typedPlace(text, "/", 2)
		if err != nil {
			return err
		}
		c.Risers = append(c.Risers, [2]float64(x))
	}
	return nil
}

// typedPlace reads so many figures with a mark between them.
func typedPlace(text, mark string, n int) ([]float64, error) {
	parts := strings.Split(text, mark)
	if len(parts) != n {
		return nil, sootline.Errorf(sootline.Invalid, "the panel for example at 12,0,0 and a riser at 3/8", "%q is not %d figures with %q between them", text, n, mark)
	}
	var list []float64
	for _, part := range parts {
		x, err := TypedNumber(part)
		if err != nil {
			return nil, err
		}
		if math.Abs(x) > 1e4 {
			return nil, sootline.Errorf(sootline.Invalid, "", "%s is further than a building is large", part)
		}
		list = append(list, x)
	}
	return list, nil
}
