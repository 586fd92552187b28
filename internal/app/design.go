package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"sootline"
	"sootline/internal/circuit"
	"sootline/internal/design"
)

// DesignChoice is what is chosen of a design. What is zero is chosen by the program, and said.
type DesignChoice struct {
	Panel  string     // whose loops they are to be; empty: the first one's
	Like   string     // the loop whose supply feeds them; empty: the first of the panel that has one
	Most   int        // numbers that a loop may have; 0: as its span allows
	Spare  float64    // share of those kept for later, in per cent; below 0: the usual share
	Loops  int        // how many; 0: as few as do
	MM2    float64    // cross-section of the cable; 0: the smallest that does
	Every  bool       // an isolator in every base, instead of the fewest
	At     [3]float64 // where the panel is: across, along in metres, floor
	Risers [][2]float64
	Storey float64 // metres from floor to floor
	Slack  float64 // metres of cable a device besides; below 0: the usual
}

// What is taken where nobody says, all on the side of more cable or fewer devices.
const (
	usualSpare  = 20.0 // per cent
	usualStorey = 4.0  // metres
	usualSlack  = 2.0  // metres
)

// designSizes are the cross-sections that a design tries, in square millimetres: conductors of 1 mm2 at least (BS 5839-1
// clause 26, from memory).
var designSizes = []float64{1, 1.5, 2.5, 4}

// Design is loops through a building, each held against every limit.
type Design struct {
	Loops   []*DesignedLoop
	Choice  DesignChoice // as it was filled
	MM2     float64
	Metres  float64
	Drains  []Drain // what stands on the loops
	Assumed []Assumption
	Sure    bool // whoever writes it is certain that the same places are meant once more
	brief   *DesignBrief
	uneven  string // what even shares of the devices would take more; empty where they are even
	guessed bool   // what some devices draw, of which the battery is sized
}

// DesignedLoop is a loop of a design.
type DesignedLoop struct {
	sootline.LoopID
	Points    []DesignedPoint
	Metres    float64 // of the whole loop
	Return    float64
	Left      int // numbers that it has left
	Isolators *circuit.IsolatorSet
	Power     *Power
	Longest   float64 // how many times as long all its cable may be with the verdict still shown; 0: it is not shown
	supply    sootline.Supply
}

// DesignedPoint is a place of a designed loop, with the number that is wanted there.
type DesignedPoint struct {
	Number         int
	Type           string
	Zone, Area     string
	Floor          int
	Location       string
	X, Y, Metres   float64
	Isolator       bool
	share          float64 // of the square metres of its area
	takes, atPlace int
}

// DesignLoops makes loops of a brief: as few as hold the devices with their spare, the smallest cross-section, the fewest
// isolators, of which the verdict is shown; where none is, the design that comes furthest.
func DesignLoops(r *sootline.Register, brief *DesignBrief, choice DesignChoice) (*Design, error) {
	m := &designing{r: r, brief: brief, choice: choice, assumed: slices.Clone(brief.Assumed)}
	if err := m.fill(); err != nil {
		return nil, err
	}
	usable := int(math.Floor(float64(m.choice.Most) * (1 - m.choice.Spare/100)))
	fewest := design.Fewest(brief.places, max(usable, 1))
	if usable < 1 || m.choice.Loops > 0 && m.choice.Loops < fewest {
		return nil, sootline.Errorf(sootline.Invalid, "keep less to spare, or take more loops", "%d devices do not go on %d loops of %d numbers with %g %% to spare", len(brief.places), m.choice.Loops, m.choice.Most, m.choice.Spare)
	}
	var best *Design
	for loops := cmp.Or(m.choice.Loops, fewest); loops <= cmp.Or(m.choice.Loops, fewest+moreLoops); loops++ {
		d, err := m.shared(loops, usable)
		if err != nil {
			return nil, err
		}
		if d != nil && (best == nil || d.rank() > best.rank()) {
			best = d
		}
		if best != nil && (best.Shown() || best.lacksFacts()) {
			return m.finish(best)
		}
	}
	if best == nil {
		return nil, sootline.Errorf(sootline.Invalid, "keep less to spare, or take more loops", "no way was found to share %d devices among the loops", len(brief.places))
	}
	return m.finish(best)
}

// moreLoops is how many loops more than hold the devices are tried.
const moreLoops = 2

// designing is a design in the making.
type designing struct {
	r       *sootline.Register
	brief   *DesignBrief
	choice  DesignChoice
	supply  sootline.Supply
	ids     []sootline.LoopID // free loops of the panel
	assumed []Assumption
	rules   []string // instead of those that the site goes by; nil: those
}

func (m *designing) assume(source, format string, args ...any) {
	m.assumed = append(m.assumed, Assumption{fmt.Sprintf(format, args...), source})
}

// sized tries cross-sections from the smallest.
func (m *designing) sized(laid [][]int) (*Design, error) {
	b := m.building()
	sizes := designSizes
	if m.choice.MM2 > 0 {
		sizes = []float64{m.choice.MM2}
	}
	var best *Design
	for _, mm2 := range sizes {
		d, err := m.judged(b, laid, mm2)
		if err != nil {
			return nil, err
		}
		if best == nil || d.rank() > best.rank() {
			best = d
		}
		if best.Shown() || best.lacksFacts() {
			break
		}
	}
	return best, nil
}

// designSeed lets the same brief make the same design.
const designSeed = 1

// judged plans the isolators of loops of a cross-section and holds them against every limit.
func (m *designing) judged(b *design.Building, loops [][]int, mm2 float64) (*Design, error) {
	d := &Design{Choice: m.choice, MM2: mm2, brief: m.brief}
	for i, order := range loops {
		l := m.loop(b, order, m.id(i), mm2)
		if err := m.isolate(l); err != nil {
			return nil, err
		}
		d.Loops, d.Metres = append(d.Loops, l), d.Metres+l.Metres
	}
	return d, nil
}

// loop makes a loop of places in cable order.
func (m *designing) loop(b *design.Building, order []int, id sootline.LoopID, mm2 float64) *DesignedLoop {
	stretches := b.Stretches(m.brief.places, order)
	for k := range stretches {
		stretches[k] = math.Round(stretches[k]*10) / 10
	}
	l := &DesignedLoop{LoopID: id, supply: m.supply, Return: stretches[len(order)], Metres: stretches[len(order)]}
	l.supply.Panel, l.supply.Loop, l.supply.MM2, l.supply.AWG = id.Panel, id.Name, mm2, 0
	l.supply.ReturnMetres = &l.Return
	span := m.r.Loop(id)
	number := span.First
	for k, at := range order {
		place := &m.brief.places[at]
		area := &b.Areas[place.Area]
		for reservedIn(span.Reserved, number, max(place.Takes, 1)) {
			number++
		}
		l.Points = append(l.Points, DesignedPoint{
			Number: number, Type: place.Type, Zone: m.brief.zones[place.Area], Area: area.Name, Floor: place.Floor,
			Location: m.brief.where[at], X: place.X, Y: place.Y, Metres: stretches[k], share: m.share(place.Area), takes: max(place.Takes, 1), atPlace: at,
		})
		l.Metres += stretches[k]
		number += max(place.Takes, 1)
	}
	l.Left = m.choice.Most - m.taken(l)
	return l
}

func (m *designing) taken(l *DesignedLoop) int {
	sum := 0
	for i := range l.Points {
		sum += l.Points[i].takes
	}
	return sum
}

// share is what of the square metres of an area each of its detectors protects.
func (m *designing) share(area int) float64 {
	n := 0
	for i := range m.brief.places {
		if p := &m.brief.places[i]; p.Area == area && detectsType(m.r, p.Type) {
			n++
		}
	}
	return m.brief.m2[area] / float64(max(n, 1))
}

func detectsType(r *sootline.Register, name string) bool {
	sheet := r.Sheet(name)
	return sheet == nil || sheet.Kind.Judged()
}

// isolate puts isolators into bases: into all, or as few as keep the rules.
func (m *designing) isolate(l *DesignedLoop) error {
	bare, err := m.drafted(l, nil)
	if err != nil {
		return err
	}
	loop, demand, err := bare.loop()
	if err != nil {
		return err
	}
	judge := func(at []int) (*circuit.Loop, *circuit.Verdict, error) {
		d, err := m.drafted(l, at)
		if err != nil {
			return nil, nil, err
		}
		with, demand, err := d.loop()
		if err != nil {
			return nil, nil, err
		}
		v, err := circuit.Judge(&with, demand, d.missing)
		return &with, v, err
	}
	if m.choice.Every {
		all := make([]int, len(l.Points))
		for i := range all {
			all[i] = i
		}
		with, v, err := judge(all)
		if err != nil {
			return err
		}
		if l.Isolators, err = circuit.EveryIsolator(with, all, v); err != nil {
			return err
		}
	} else if l.Isolators, err = loop.IsolatorSet(demand.Rules, bare.isolator(), judge); err != nil {
		return err
	}
	for _, at := range l.Isolators.At {
		l.Points[at].Isolator = true
	}
	return nil
}

// drafted is the loop as a circuit, with isolators in the bases of some points.
func (m *designing) drafted(l *DesignedLoop, isolators []int) (*drafted, error) {
	d := &drafted{name: l.String(), id: l.LoopID, r: m.r, draft: &circuit.Draft{Name: l.String()}}
	d.feed(&l.supply)
	for i := range l.Points {
		p := &l.Points[i]
		point := d.device(sootline.Ref{Panel: l.Panel, Loop: l.Name, Number: p.Number}.String(), p.Type)
		point.DraftCable = d.cable(&p.Metres)
		point.Zone, point.Floor = p.Zone, strconv.Itoa(p.Floor)
		if detectsType(m.r, p.Type) {
			point.AreaM2 = p.share
		}
		if slices.Contains(isolators, i) {
			point.Isolator, point.IsolatorOhm = "base", known(d.supply.IsolatorOhms)
		}
		d.draft.Points = append(d.draft.Points, point)
	}
	d.draft.Return = d.cable(&l.Return)
	if m.rules != nil {
		d.draft.Rules = m.rules
	}
	return d, nil
}

// Shown reports whether the verdict of every loop is shown.
func (d *Design) Shown() bool {
	return !slices.ContainsFunc(d.Loops, func(l *DesignedLoop) bool { return l.Isolators.Verdict.Says != circuit.Shown })
}

// lacksFacts reports whether no loop fails, and some verdict waits for facts that no other design would bring.
func (d *Design) lacksFacts() bool {
	return !slices.ContainsFunc(d.Loops, func(l *DesignedLoop) bool {
		v := l.Isolators.Verdict
		return v.Says == circuit.Failing || v.Says == circuit.NotShown && len(v.Missing) == 0
	})
}

// rank counts loops that are shown, and those that at least do not fail.
func (d *Design) rank() int {
	sum := 0
	for _, l := range d.Loops {
		switch l.Isolators.Verdict.Says {
		case circuit.Shown:
			sum += 2
		case circuit.NotShown:
			sum++
		}
	}
	return 1000 * sum / len(d.Loops)
}
