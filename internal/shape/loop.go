package shape

import (
	"math"

	"sootline"
	"sootline/internal/app"
)

// The shapes of `loop --json` and its relatives.

// Loops is the answer of `loop --json`.
type Loops struct {
	Loops   []Loop   `json:"loops"`
	Radials []Radial `json:"radials"`
	Caution string   `json:"caution"`
}

// Loop is one loop as a circuit.
type Loop struct {
	Loop         string       `json:"loop"`
	Stands       string       `json:"stands"`
	Verdict      string       `json:"verdict"`
	Settles      string       `json:"settles"`
	AsTaken      string       `json:"as_taken"`
	Least        string       `json:"least_left"`
	Fails        *LoopFailure `json:"fails"`
	Missing      []LoopFact   `json:"missing"`
	Facts        int          `json:"facts"`
	MayBeOff     []string     `json:"may_be_off"`
	Unjudged     int          `json:"not_judged"`
	Healthy      LoopState    `json:"healthy"`
	Worst        LoopState    `json:"worst"`
	WorstPair    *LoopState   `json:"worst_pair"`
	Asked        *LoopState   `json:"asked"`
	Faults       []LoopFault  `json:"faults"`
	LoadFactor   *float64     `json:"load_factor"`
	StartsAgain  bool         `json:"starts_again"`
	StartsReason string       `json:"starts_reason"`
	Cable        []string     `json:"cable"`
	Broken       []BrokenRule `json:"rules_broken"`
	Kept         []string     `json:"rules_kept"`
	Untold       []string     `json:"rules_untold"`
	Assumed      []string     `json:"assumed"`
	Measured     *LoopMeters  `json:"measured,omitempty"`
}

// LoopFailure is a state that does not keep a limit.
type LoopFailure struct {
	Limit    string   `json:"limit"`
	Faults   []string `json:"faults"`
	InAlarm  []string `json:"in_alarm"`
	Volts    float64  `json:"supply_volts"`
	Starting bool     `json:"starting"`
	Point    *string  `json:"point"`
	Is       float64  `json:"is"`
	Needs    float64  `json:"needs"`
	By       *float64 `json:"by"`
}

// LoopFact is a fact that nobody wrote down, of how many points, cables or ends.
type LoopFact struct {
	Fact   string `json:"fact"`
	Places int    `json:"places"`
	Stands bool   `json:"stands_in_the_way"`
}

// LoopFault is a single fault in a list of all: what it leaves and what it takes, in figures alone.
type LoopFault struct {
	Fault   string   `json:"fault"`
	Exists  bool     `json:"operating_point"`
	Point   *string  `json:"point"`
	Volts   *float64 `json:"volts"`
	Margin  *float64 `json:"margin_volts"`
	Lost    int      `json:"lost"`
	Counted int      `json:"counted"`
	AreaM2  float64  `json:"area_m2"`
}

// LoopState is a loop under some faults.
type LoopState struct {
	Faults   []string `json:"faults"`
	Exists   bool     `json:"operating_point"`
	Point    *string  `json:"point"`
	Volts    *float64 `json:"volts"`
	Margin   *float64 `json:"margin_volts"`
	Floor    *float64 `json:"margin_at_least"`
	Exact    bool     `json:"exact"`
	InAlarm  []string `json:"in_alarm"`
	OutMA    float64  `json:"out_ma"`
	InMA     float64  `json:"in_ma"`
	Sentence string   `json:"sentence"`
	Lost     *Loss    `json:"lost"`
}

// Loss is what the faults of a state take out of use.
type Loss struct {
	Points  []string       `json:"points"`
	Counted int            `json:"counted"`
	Zones   []string       `json:"zones"`
	Floors  map[string]int `json:"floors"`
	AreaM2  float64        `json:"area_m2"`
	Share   float64        `json:"share"`
}

// BrokenRule is a rule that some fault breaks.
type BrokenRule struct {
	Clause string   `json:"clause"`
	Source string   `json:"source"`
	Faults []string `json:"faults"`
	Why    string   `json:"why"`
	Others int      `json:"others"`
}

// OfLoops shapes loops as circuits, with every single fault of each where that was asked for.
func OfLoops(powers []*app.Power, radials []*app.RadialPower, every bool) Loops {
	shape := Loops{Loops: []Loop{}, Radials: shapeRadials(radials), Caution: app.CircuitCaution}
	for _, p := range powers {
		l := shapeLoop(p)
		for i := range p.Singles {
			if every {
				l.Faults = append(l.Faults, shapeFault(p, &p.Singles[i]))
			}
		}
		shape.Loops = append(shape.Loops, l)
	}
	return shape
}

func shapeLoop(p *app.Power) Loop {
	l := Loop{
		Loop: p.Name, Stands: string(p.Stands.Says), Verdict: p.Verdict(), Settles: p.Settles(), AsTaken: p.AsTaken(), Least: p.Least(),
		Fails: shapeFailure(p), Missing: shapeMissing(p), Facts: p.Facts, MayBeOff: orEmpty(p.Turns), Untold: orEmpty(p.Untold),
		Healthy: shapeOutcome(p, &p.Survey.Healthy), Worst: shapeOutcome(p, &p.Survey.Worst),
		WorstPair: shapeState(p, p.Pair), Asked: shapeState(p, p.Given), Faults: []LoopFault{},
		StartsAgain: p.Restart.Starts, StartsReason: p.Restart.Reason,
		Cable: orEmpty(p.Cable), Broken: []BrokenRule{}, Kept: orEmpty(p.Kept), Assumed: orEmpty(p.Assumed),
	}
	l.Measured = shapeMeters(p.Meters)
	l.Unjudged, _ = p.Unjudged()
	if p.Limit.Bounded {
		l.LoadFactor = rounded(&p.Limit.Factor)
	}
	for _, b := range p.Broken {
		one := BrokenRule{Clause: b.Rule.Clause, Source: string(b.Rule.Source), Why: b.Why, Others: b.Others}
		for i := range b.Faults {
			one.Faults = append(one.Faults, p.Circuit.Describe(b.Faults[i:i+1]))
		}
		l.Broken = append(l.Broken, one)
	}
	return l
}

func shapeFailure(p *app.Power) *LoopFailure {
	f := p.Stands.Fails
	if f == nil {
		return nil
	}
	points := p.Circuit.Loop().Points
	s := &LoopFailure{Limit: string(f.Limit), Faults: []string{}, InAlarm: []string{}, Volts: float64(f.At.Volts), Starting: f.At.Starting, Is: *rounded(&f.Is), Needs: *rounded(&f.Needs)}
	for i := range f.At.Faults {
		s.Faults = append(s.Faults, p.Circuit.Describe(f.At.Faults[i:i+1]))
	}
	for _, i := range f.At.Alarm {
		s.InAlarm = append(s.InAlarm, points[i].Name)
	}
	if f.Point >= 0 {
		s.Point = &points[f.Point].Name
	}
	if !math.IsInf(f.By, 1) {
		s.By = &f.By
	}
	return s
}

func shapeMissing(p *app.Power) []LoopFact {
	list := []LoopFact{}
	for i := range p.Missing {
		f := LoopFact{Fact: string(p.Missing[i].Kind), Places: max(len(p.Missing[i].At), 1)}
		for k := range p.Stands.Missing {
			f.Stands = f.Stands || p.Stands.Missing[k].Kind == p.Missing[i].Kind
		}
		list = append(list, f)
	}
	return list
}

func shapeFault(p *app.Power, state *app.State) LoopFault {
	o := shapeOutcome(p, &state.Outcome)
	return LoopFault{
		Fault: p.Circuit.Describe(state.Faults), Exists: o.Exists, Point: o.Point, Volts: o.Volts, Margin: o.Margin,
		Lost: len(state.Loss.Points), Counted: state.Loss.Counted, AreaM2: *rounded(&state.Loss.Area),
	}
}

func orEmpty(texts []string) []string {
	if texts == nil {
		return []string{}
	}
	return texts
}

// shapeOutcome leaves the figures of a state that has none as null.
func shapeOutcome(p *app.Power, o *app.LoopOutcome) LoopState {
	points := p.Circuit.Loop().Points
	s := LoopState{
		Faults: []string{}, Exists: o.Exists, Exact: o.Exact, InAlarm: []string{},
		OutMA: Milli(float64(o.Out)), InMA: Milli(float64(o.In)), Sentence: p.Circuit.Sentence(o),
	}
	for i := range o.Faults {
		s.Faults = append(s.Faults, p.Circuit.Describe(o.Faults[i:i+1]))
	}
	for _, i := range o.Alarm {
		s.InAlarm = append(s.InAlarm, points[i].Name)
	}
	if o.Point < 0 || !o.Exists {
		return s
	}
	volts, margin, floor := float64(o.Volts), float64(o.Margin), float64(o.Floor)
	s.Point, s.Volts = &points[o.Point].Name, rounded(&volts)
	if points[o.Point].Least > 0 {
		s.Margin = rounded(&margin)
		if o.Bounded {
			s.Floor = rounded(&floor)
		}
	}
	return s
}

// Milli gives thousandths, to a thousandth of them.
func Milli(amps float64) float64 { return math.Round(amps*1e6) / 1e3 }

func shapeState(p *app.Power, state *app.State) *LoopState {
	if state == nil {
		return nil
	}
	s := shapeOutcome(p, &state.Outcome)
	lost := Loss{
		Points: []string{}, Counted: state.Loss.Counted, Zones: orEmpty(state.Loss.Zones),
		Floors: map[string]int{}, AreaM2: *rounded(&state.Loss.Area), Share: *rounded(&state.Loss.Share),
	}
	for _, i := range state.Loss.Points {
		lost.Points = append(lost.Points, p.Circuit.Loop().Points[i].Name)
	}
	for _, f := range state.Loss.Floors {
		lost.Floors[f.Floor] = f.Points
	}
	s.Lost = &lost
	return &s
}

// Advice is the answer of `loop advise --json`.
type Advice struct {
	Loop         string          `json:"loop"`
	LongerFactor float64         `json:"longer_factor"`
	LongerMetres float64         `json:"longer_metres"`
	LongerReason string          `json:"longer_reason"`
	MM2          *float64        `json:"cross_section_mm2"`
	MM2Reason    string          `json:"cross_section_reason"`
	Isolator     *IsolatorAdvice `json:"one_more_isolator"`
	Isolators    IsolatorsAnew   `json:"isolators_as_a_set"`
	Type         string          `json:"type,omitempty"`
	Numbers      *int            `json:"numbers_left"`
	Rooms        []Room          `json:"rooms"`
	Assumed      []string        `json:"assumed"`
	Caution      string          `json:"caution"`
}

// IsolatorsAnew is where the isolators would go if all were planned as a set, each in a base.
type IsolatorsAnew struct {
	At     []string `json:"in_bases_of"`
	Worst  int      `json:"worst_short_takes"`
	Now    int      `json:"isolators_now"`
	Stands string   `json:"stands"`
	Reason string   `json:"reason"`
}

// IsolatorAdvice is where one more isolator helps most.
type IsolatorAdvice struct {
	After  string `json:"after"`
	Worst  int    `json:"worst_short_takes"`
	Before int    `json:"now"`
	Reason string `json:"reason"`
}

// Room is how many more of a device fit.
type Room struct {
	Between string `json:"where"`
	More    int    `json:"more"`
	Reason  string `json:"reason"`
}

// OfAdvice shapes what a person wants to know of a loop.
func OfAdvice(loop sootline.LoopID, advice *app.LoopAdvice) Advice {
	factor, metres := advice.Stretch.Factor, float64(advice.Stretch.Metres)
	shape := Advice{
		Loop: loop.String(), LongerFactor: *rounded(&factor), LongerMetres: *rounded(&metres), LongerReason: advice.Stretch.Reason,
		MM2Reason: advice.CrossSection.Reason, Type: advice.Type, Rooms: []Room{}, Assumed: orEmpty(advice.Assumed), Caution: app.CircuitCaution,
	}
	if mm2 := advice.CrossSection.MM2; mm2 > 0 {
		shape.MM2 = &mm2
	}
	set := advice.Isolators
	shape.Isolators = IsolatorsAnew{orEmpty(set.At), set.Worst, set.Now, string(set.Verdict.Says), set.Sentence()}
	if i := advice.NextIsolator; i != nil {
		shape.Isolator = &IsolatorAdvice{i.Point, i.Worst, i.Before, i.Reason}
	}
	if advice.Type != "" {
		shape.Numbers = &advice.Numbers
	}
	for _, room := range advice.Rooms {
		shape.Rooms = append(shape.Rooms, Room{room.Between, room.More, room.Reason})
	}
	return shape
}

// Location is where a fault lies, the answer of `loop short`, `break` and `earth` with --json.
type Location struct {
	Loop     string   `json:"loop"`
	Metres   float64  `json:"metres"`
	Low      float64  `json:"metres_at_least"`
	High     float64  `json:"metres_at_most"`
	From     float64  `json:"metres_from_point_before"`
	Fault    float64  `json:"fault_ohms"`
	Sentence string   `json:"sentence"`
	Assumed  []string `json:"assumed"`
	Caution  string   `json:"caution"`
}

// OfLocation shapes where a fault lies.
func OfLocation(loop sootline.LoopID, found *app.Located) Location {
	r := func(x float64) float64 { return *rounded(&x) }
	return Location{
		Loop: loop.String(), Metres: r(float64(found.Metres)), Low: r(float64(found.Low)), High: r(float64(found.High)),
		From: r(float64(found.From)), Fault: r(float64(found.Fault)), Sentence: found.Sentence, Assumed: orEmpty(found.Assumed), Caution: app.CircuitCaution,
	}
}
