package circuit

import (
	"os"
	"slices"
	"testing"
	"time"

	"sootline/internal/worlds/loops"
)

// fromWorld turns a drawn loop into the engine's words.
func fromWorld(t *testing.T, w *loops.Loop) (Loop, Demand, []Fact) {
	t.Helper()
	end := End{Volts: Volts(w.Supply.Low), High: Volts(w.Supply.High), Plus: Ohms(w.Supply.Source), Minus: Ohms(w.Supply.Source), Limit: Amps(w.Supply.Limit)}
	l := Loop{Out: end, In: end, Return: worldCable(w.Return)}
	for i := range w.Points {
		p := &w.Points[i]
		point := Point{
			Name: p.Name, Cable: worldCable(p.Cable), Junction: p.Junction, Zone: p.Zone, Area: p.M2, Counted: p.Counted,
			Rest: worldLoad(p.Rest), Alarm: worldLoad(p.Alarm), Least: Volts(p.LeastVolts),
		}
		if p.Spur >= 0 {
			point.Spur = w.Points[p.Spur].Name
		}
		if p.Floor != loops.NoFloor {
			level := p.Floor
			point.Floor, point.Level = string(rune('A'+level+20)), &level
		}
		l.Points = append(l.Points, point)
		for side, s := range map[Side]loops.Side{Before: p.Before, After: p.After, Branch: p.Branch} {
			if !s.Opens || side == Branch && !slices.ContainsFunc(w.Points, func(q loops.Point) bool { return q.Spur == i }) {
				continue
			}
			iso := Isolator{Point: p.Name, Side: side, Plus: Ohms(s.Ohm), IsolatorBounds: IsolatorBounds{
				Holds: Volts(p.Bounds.Holds), Opens: Volts(p.Bounds.Opens), Closes: Volts(p.Bounds.Closes), Carries: Amps(p.Bounds.Carries),
			}}
			if s.BothCores {
				iso.Minus = iso.Plus
			}
			l.Isolators = append(l.Isolators, iso)
		}
	}
	d := Demand{Alarms: Alarms{Most: w.AtOnce}, OneCore: w.OneCore, Start: StartWhole}
	if w.Start == loops.StartStepwise {
		d.Start = StartStepwise
	}
	for _, r := range w.Rules {
		d.Rules = append(d.Rules, worldRules[r])
	}
	var facts []Fact
	for _, f := range w.Missing {
		fact := Fact{Kind: worldKinds[f.Kind], Safe: f.Safe, Unsafe: f.Unsafe, Bounded: f.Bounded}
		switch fact.Kind {
		case LowVoltsFact, SourceFact, EndLimitFact, IsolatorOhmsFact:
		default:
			fact.At = []int{f.At}
		}
		facts = append(facts, fact)
	}
	return l, d, facts
}

var worldRules = map[loops.Rule]Rule{
	loops.Rule32:     {Name: string(loops.Rule32), Faults: 1, Counted: 32},
	loops.RuleThird:  {Name: string(loops.RuleThird), Faults: 1, Share: 1.0 / 3},
	loops.RuleArea:   {Name: string(loops.RuleArea), Faults: 1, Area: 2000},
	loops.RuleFloors: {Name: string(loops.RuleFloors), Faults: 1, Floors: 1, Beyond: 5},
	loops.RuleZone:   {Name: string(loops.RuleZone), Faults: 1, Zones: 1},
}

var worldKinds = map[loops.FactKind]FactKind{
	loops.LowVolts: LowVoltsFact, loops.SourceOhms: SourceFact, loops.LimitAmps: EndLimitFact, loops.Metres: MetresFact,
	loops.RestDraw: RestFact, loops.AlarmDraw: AlarmFact, loops.LeastOf: LeastFact, loops.IsolatorOhms: IsolatorOhmsFact,
	loops.ZoneOf: ZoneFact, loops.FloorOf: FloorFact, loops.SquareMetres: AreaFact,
}

var worldLimits = map[Limit]loops.Limit{
	LeastVolts: loops.LeastVolts, OutCurrent: loops.OutLimit, InCurrent: loops.InLimit, IsolatorHolds: loops.Holds,
	IsolatorCarries: loops.Carries, IsolatorCloses: loops.Closes, IsolatorOpens: loops.Opens, OperatingPoint: loops.Operates, Takes: loops.Takes,
}

func worldLoad(l loops.Load) Load {
	return Load{map[loops.LoadKind]LoadKind{loops.Amps: Current, loops.Ohms: Resistance, loops.Watts: Power}[l.Kind], l.Value}
}

func worldCable(c loops.Cable) Cable {
	return Cable{Metres: Metres(c.Metres), Conductor: Conductor{OhmsPerKm: c.OhmsPerKm}, Celsius: Celsius(c.Celsius), Plus: Ohms(c.Plus), Minus: Ohms(c.Minus)}
}

// toWorld turns a verdict into a claim.
func toWorld(w *loops.Loop, c *Circuit, v *Verdict) loops.Claim {
	claim := loops.Claim{Says: map[Standing]loops.Says{Shown: loops.Shown, NotShown: loops.NotShown, Failing: loops.Fails}[v.Says]}
	for i := range v.Missing {
		for _, f := range w.Missing {
			m := &v.Missing[i]
			if worldKinds[f.Kind] == m.Kind && (m.At == nil || m.At[0] == f.At) {
				claim.Missing = append(claim.Missing, f)
			}
		}
	}
	if f := v.Fails; f != nil {
		claim.Fail = loops.Failure{State: worldState(c, &f.At, w.Start), Limit: worldLimits[f.Limit], Point: f.Point, By: f.By}
		if f.Rule != nil {
			claim.Fail.Rule = loops.Rule(f.Rule.Name)
		}
	}
	return claim
}

// worldState turns a situation into the world's words. Its stages count how far OUT has come, and within that how far IN
// has, from the furthest on; the last is the closed ring. A stage of one end alone stands at its least company.
func worldState(c *Circuit, at *Situation, how loops.Start) loops.State {
	s := loops.State{Fault: loops.Healthy, Alarms: at.Alarm, Volts: float64(at.Volts)}
	if at.Starting {
		if s.Fault = loops.Starting; how == loops.StartWhole {
			return s
		}
		m := len(c.gates())
		i, j := at.Stage.FromOut, at.Stage.FromIn
		if at.Stage.All {
			i, j = m, 0
		}
		for k := range i {
			s.Stage += m - k
		}
		if !at.Stage.All {
			s.Stage += m - 1 - i - j
		}
		return s
	}
	for _, f := range at.Faults {
		s.Stretch = int(f.Segment)
		s.Fault = map[Core]loops.Fault{BothCores: loops.Open, PlusCore: loops.OpenPlus, MinusCore: loops.OpenMinus}[f.Core]
		if f.Kind == Short {
			s.Fault = loops.Short
		}
	}
	return s
}

// tastes are the loops that are drawn, in turn.
var tastes = []loops.Taste{
	{}, {Range: true}, {Bounds: true, Range: true, Stepwise: true}, {OneCore: true}, {Missing: true}, {Missing: true, Range: true, Bounds: true, Stepwise: true}, {Amps: true}, {NoRules: true, BaseTo: 1}, {NoRules: true, Range: true, Bounds: true},
}

// Against every state of small loops, solved one by one by another mind: never shown where a state fails, never fails where
// none does, and what is named as failing or missing is so.
func TestVerdictAgainstEveryState(t *testing.T) {
	number := 300
	if os.Getenv("SOOTLINE_LONG") != "" {
		number = 10_000
	}
	begun := time.Now()
	says, weak, near := map[loops.Says]map[Standing]int{}, 0, 0
	for seed := range number {
		w := loops.Draw(uint64(seed), tastes[seed%len(tastes)])
		truth := loops.Judge(w)
		l, d, facts := fromWorld(t, w)
		v, err := Judge(&l, d, facts)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		c, err := New(l)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		mark := loops.Score(w, truth, toWorld(w, c, v))
		if !mark.Sound {
			t.Errorf("seed %d, %+v: %s, truth %s, %s; %+v", seed, tastes[seed%len(tastes)], v.Says, truth.Says, mark.Why, v.Fails)
		}
		if mark.Weak {
			weak++
			t.Logf("seed %d, %+v: weak %+v %+v, truth %s", seed, tastes[seed%len(tastes)], v.Bounds, v.Missing, truth.Says)
		}
		if truth.Near {
			near++
		}
		if says[truth.Says] == nil {
			says[truth.Says] = map[Standing]int{}
		}
		says[truth.Says][v.Says]++
	}
	t.Logf("%d loops in %v: truth to verdict %v, %d weak, %d near", number, time.Since(begun).Round(time.Second), says, weak, near)
}

// Loops of 2 to 250 devices, all facts given: what is said to fail does, what a hunt finds to fail is not shown, and at most
// two in a hundred are left not shown.
func TestVerdictOfLargeLoops(t *testing.T) {
	number := 18
	if os.Getenv("SOOTLINE_LONG") != "" {
		number = 2000
	}
	tastes := []loops.Taste{{}, {Range: true}, {NoRules: true}, {NoRules: true, Range: true, BaseTo: 0.5}, {NoRules: true, Bounds: true, Range: true, Stepwise: true}, {Amps: true, NoRules: true}}
	begun, disputed, says, slowest := time.Now(), 0, map[Standing]int{}, time.Duration(0)
	for seed := range number {
		taste := tastes[seed%len(tastes)]
		taste.Points = 2 + (seed*101)%249
		w := loops.Draw(uint64(seed)+1<<20, taste)
		l, d, facts := fromWorld(t, w)
		at := time.Now()
		v, err := Judge(&l, d, facts)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		slowest = max(slowest, time.Since(at))
		says[v.Says]++
		c := mustNew(t, l)
		switch v.Says {
		case Failing:
			if mark := loops.ScoreFailure(w, toWorld(w, c, v).Fail); !mark.Sound && operates(t, c, v.Fails) {
				disputed++
			} else if !mark.Sound {
				t.Errorf("seed %d, %+v: %s; %+v", seed, taste, mark.Why, v.Fails)
			}
		case Shown:
			if found := loops.Hunt(w, 6, uint64(seed)); found.By > 1e-6 {
				t.Errorf("seed %d, %+v: shown, and %+v", seed, taste, found)
			}
			for _, b := range w.Breaches() {
				if b.By > 1e-9 {
					t.Errorf("seed %d, %+v: shown, and %+v", seed, taste, b)
				}
			}
		default:
			t.Logf("seed %d, %+v, at once %d: not shown: %+v", seed, taste, w.AtOnce, v.Bounds)
		}
	}
	t.Logf("%d loops in %v, the slowest verdict %v: %v; in %d the volts are there and the other solver finds none", number, time.Since(begun).Round(time.Second), slowest, says, disputed)
	if 50*says[NotShown] > number+49 {
		t.Errorf("of %d loops %d are not shown", number, says[NotShown])
	}
}

// operates reports whether a failing state under a break next to the panel has the volts that it is said to have, by the
// loads and the resistances that pairs of points share, to a microvolt. Deep in overload the other solver may find no state.
func operates(t *testing.T, c *Circuit, f *Failure) bool {
	t.Helper()
	if f.Limit != LeastVolts && f.Limit != IsolatorCloses {
		return false
	}
	set := *c
	set.loop.Out.Volts, set.loop.In.Volts = f.At.Volts, f.At.Volts
	set.top = float64(f.At.Volts)
	n := len(set.ring)
	for _, s := range append(set.hardest(&Demand{}), set.stages(&f.At.Stage)...) {
		if f.At.Starting == (len(s.faults) > 0) || len(s.faults) == 1 && s.faults[0] != f.At.Faults[0] {
			continue
		}
		if s.arc.lo == 0 && s.arc.hi == n && s.arc.fromOut && s.arc.fromIn && !f.At.Stage.All {
			continue
		}
		field := set.field(s)
		in := make([]bool, len(field.live))
		for i, p := range field.live {
			in[i] = slices.Contains(f.At.Alarm, p)
			if f.At.Starting {
				in[i] = hungrier(&set.loop.Points[p], float64(f.At.Volts)/2) == field.alarm[i]
			}
		}
		if _, ok := field.w.settle(s.arc, field.draws(in)); !ok {
			return false
		}
		for i, p := range field.live {
			sum := field.none[i]
			for j, q := range field.live {
				load := field.rest[j]
				if in[j] {
					load = field.alarm[j]
				}
				sum -= field.z[i][j] * load.at(field.w.v[q])
			}
			if d := sum - field.w.v[p]; d > 1e-6 || d < -1e-6 || p == f.Point && !f.At.Starting && !(f.Needs-sum > f.By-1e-6) {
				return false
			}
		}
		return true
	}
	return false
}

// stages gives the arc of a stage of the start.
func (c *Circuit) stages(at *Stage) []stood {
	g, n := c.gates(), len(c.ring)
	switch {
	case len(g) == 0 || at.All:
		return []stood{{nil, c.whole(), arc{0, n, true, true, nil}}}
	case at.FromIn > 0:
		return []stood{{nil, cut{}, arc{g[len(g)-1-at.FromIn].branch, n, false, true, nil}}}
	}
	return []stood{{nil, cut{}, arc{0, g[at.FromOut].branch, true, false, nil}}}
}
