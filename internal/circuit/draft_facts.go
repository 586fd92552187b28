package circuit

import (
	"strconv"
	"strings"

	"sootline"
)

// Sides beyond which no loop lies; whatever hangs on a fact at its unsafe side fails.
const (
	farMetres   = 1e5
	farOhms     = 1e5
	farPerKm    = 1e3
	farVolts    = 1e4
	farAmps     = 1e3
	farArea     = 1e9
	leastSpeck  = 1e-9
	leastMetres = 0.1
	safePerKm   = 0.1 // ohms of a core thicker than any on a loop
)

// The temperatures between which a cable's lies: 70 C is the most that common insulation is made for (from memory), and
// colder is less resistance. These are bounds and no guess.
const (
	coldest = -40
	hottest = 70
)

// bounds gives the bounds as the loop has them.
func (b DraftBounds) bounds() IsolatorBounds {
	return IsolatorBounds{Holds: Volts(given(b.Holds)), Opens: Volts(given(b.Opens)), Closes: Volts(given(b.Closes)), Carries: Amps(given(b.Carries) / 1000)}
}

// levelOf reads a floor named by a whole number, counted upwards; what lies beside other floors is not known.
func levelOf(floor string) *int {
	level, err := strconv.Atoi(strings.TrimSpace(floor))
	if err != nil {
		return nil
	}
	return &level
}

// Asked gives what the draft is held against. Where it names no rules, all are: which of them bind is then a fact that is
// missing.
func (d *Draft) Asked() (Demand, error) {
	alarms, err := d.Alarms()
	if err != nil {
		return Demand{}, err
	}
	demand := Demand{Alarms: alarms, Rules: Rules()}
	if d.Rules != nil {
		demand.Rules, err = rulesNamed(d.Rules)
	}
	return demand, err
}

// rulesNamed finds rules by their names.
func rulesNamed(names []string) ([]Rule, error) {
	list := []Rule{}
	for _, name := range names {
		found := false
		for _, rule := range Rules() {
			if strings.EqualFold(rule.Name, name) {
				list, found = append(list, rule), true
			}
		}
		if !found {
			return nil, sootline.Errorf(sootline.Invalid, "the rules are those of "+and(RuleNames()), "no rule about what a fault takes is named %q", name)
		}
	}
	return list, nil
}

// RuleNames lists the names of [Rules], each once.
func RuleNames() []string {
	var names []string
	for _, rule := range Rules() {
		if len(names) == 0 || names[len(names)-1] != rule.Name {
			names = append(names, rule.Name)
		}
	}
	return names
}

// RulesIn finds the names of rules in what somebody wrote of the codes that a site follows; nil where none is there.
func RulesIn(text string) []string {
	var names []string
	for _, name := range RuleNames() {
		if strings.Contains(strings.ToLower(text), strings.ToLower(name)) {
			names = append(names, name)
		}
	}
	return names
}

// gatherer finds the facts that a draft lacks, a group of each kind.
type gatherer struct {
	said    *Default
	missing []Fact
	total   int
}

// fact counts a fact of a point, cable or end, and notes it where it is not known.
func (g *gatherer) fact(known bool, kind FactKind, at int, safe, unsafe float64) {
	g.total++
	if known {
		return
	}
	for i := range g.missing {
		if f := &g.missing[i]; f.Kind == kind && f.Safe == safe {
			f.At = append(f.At, at)
			return
		}
	}
	g.missing = append(g.missing, Fact{Kind: kind, At: []int{at}, Safe: safe, Unsafe: unsafe})
}

// Facts gives the facts that the draft lacks, of how many in all that a verdict rests on. Said is what somebody said for
// all points and cables alike; what [Draft.Default] has beside it is taken by the program, and said by nobody.
func (d *Draft) Facts(said *Default) (missing []Fact, total int) {
	g := &gatherer{said: said}
	g.end(&d.Out, d.Default.Volts, 0)
	in := d.In
	if in == nil {
		in = &d.Out
	}
	g.end(in, d.Default.Volts, 1)
	for i := range d.Points {
		g.point(d, i)
	}
	g.cable(&d.Return, len(d.Points))
	g.total++
	if d.Rules == nil {
		g.missing = append(g.missing, Fact{Kind: RulesFact})
	}
	return g.missing, g.total
}

// FactsOf gives the facts that one more device lacks, at each of the places where such a one stands, and how many there are.
func (d *Draft) FactsOf(p *DraftPoint, said *Default, at ...int) (missing []Fact, total int) {
	g := &gatherer{said: said}
	for _, i := range at {
		g.device(p, i)
	}
	return g.missing, g.total
}

func (g *gatherer) end(e *DraftEnd, usual float64, at int) {
	volts := usual
	if e.Volts != nil {
		volts = *e.Volts
	}
	low := volts
	if e.LowVolts != nil {
		low = *e.LowVolts
	}
	g.fact(e.LowVolts != nil, LowVoltsFact, at, volts, 0.01)
	g.fact(e.HighVolts != nil, HighVoltsFact, at, low, farVolts)
	g.fact(e.PlusOhms != nil || e.MinusOhms != nil, SourceFact, at, 0, farOhms)
	g.fact(e.LimitMA > 0, EndLimitFact, at, 0, leastSpeck)
}

func (g *gatherer) cable(c *DraftCable, at int) {
	if c.PlusOhms != 0 || c.MinusOhms != 0 {
		g.total++
		return
	}
	g.fact(c.Metres != nil || g.said.Metres > 0, MetresFact, at, leastMetres, farMetres)
	g.fact(c.MM2 != nil || c.AWG != 0 || c.OhmsPerKm != 0 || g.said.MM2 > 0, SectionFact, at, safePerKm, farPerKm)
	g.fact(c.Celsius != nil || g.said.Celsius != nil, WarmthFact, at, coldest, hottest)
	if n := len(g.missing) - 1; n >= 0 && g.missing[n].Kind == WarmthFact {
		g.missing[n].Bounded = true
	}
}

func (g *gatherer) point(d *Draft, i int) {
	p := &d.Points[i]
	g.cable(&p.DraftCable, i)
	if p.Isolator != "" && p.Isolator != "none" {
		g.isolator(p, i)
	}
	if !p.Junction {
		g.device(p, i)
	}
}

func (g *gatherer) device(p *DraftPoint, i int) {
	g.fact(p.Rest != nil || g.said.RestMA > 0, RestFact, i, 0, farAmps)
	g.fact(p.Alarm != nil || g.said.AlarmMA > 0, AlarmFact, i, 0, farAmps)
	g.fact(p.LeastVolts != nil || g.said.LeastVolts > 0, LeastFact, i, 0, farVolts)
	g.fact(p.Zone != "", ZoneFact, i, 0, 0)
	g.fact(p.Floor != "", FloorFact, i, 0, 0)
	if p.Counted && !p.NoArea {
		g.fact(p.AreaM2 > 0, AreaFact, i, 0, farArea)
	}
}

func (g *gatherer) isolator(p *DraftPoint, i int) {
	b := p.DraftBounds.over(g.said.DraftBounds)
	g.fact(p.IsolatorOhm != nil || g.said.IsolatorOhm > 0, IsolatorOhmsFact, i, 0, farOhms)
	g.fact(b.Holds != nil, HoldsFact, i, 0, farVolts)
	g.fact(b.Opens != nil, OpensFact, i, 0, leastSpeck)
	g.fact(b.Closes != nil, ClosesFact, i, 0, farVolts)
	g.fact(b.Carries != nil, CarriesFact, i, 0, leastSpeck)
}
