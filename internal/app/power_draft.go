package app

import (
	"cmp"
	"slices"

	"sootline"
	"sootline/internal/circuit"
)

// assumed is what is taken of a loop where neither its supply nor its type sheets
// say. Judgements of ours, no source; each use is said and counted.
func assumed(s sootline.Supply) circuit.Default {
	return circuit.Default{
		DraftBounds: circuit.DraftBounds{Holds: known(s.Holds), Opens: known(s.Opens), Closes: known(s.Closes), Carries: known(s.CarriesMA)},
		Volts:       24, MM2: 1.5, Celsius: s.Celsius, Metres: cmp.Or(s.UsualMetres, 10),
		RestMA: 0.5, AlarmMA: 5, LeastVolts: s.LeastVolts,
	}
}

// drafted is what is known of a loop as a circuit, with what nobody wrote down.
type drafted struct {
	name   string
	id     sootline.LoopID
	r      *sootline.Register
	supply sootline.Supply
	draft  *circuit.Draft
	gaps   []circuit.Gap
	what   WhatIf

	said    circuit.Default // by somebody, for all points and cables alike
	missing []circuit.Fact  // of the loop as it would be
	facts   int             // that the verdict rests on
	rules   bool            // somebody said by which the site goes
}

// draftOf makes a draft of what the register says of a loop.
func draftOf(r *sootline.Register, id sootline.LoopID, what WhatIf) (*drafted, error) {
	var on []*sootline.Point
	for _, p := range r.Points() {
		if p.LoopID() == id {
			on = append(on, p)
		}
	}
	if len(on) == 0 {
		return nil, sootline.Errorf(sootline.NotFound, "see which loops there are", "there is no point on loop %s", id).Do(sootline.ShowSite)
	}
	slices.SortStableFunc(on, func(x, y *sootline.Point) int { return x.Order - y.Order })
	d := &drafted{name: id.String(), id: id, r: r, what: what, draft: &circuit.Draft{Name: id.String()}}
	d.feed(r.Supply(id))
	names := pointNames(on)
	shares := areaShares(r)
	for _, p := range on {
		point := d.device(names[p.ID], p.Type)
		point.DraftCable = d.cable(p.Metres)
		point.Isolator, point.IsolatorOhm = r.IsolatorAt(p), known(d.supply.IsolatorOhms)
		if p.Place.Spur != 0 {
			point.Spur = sootline.Ref{Panel: id.Panel, Loop: id.Name, Number: p.Place.Spur}.String()
			if from := r.SpurFrom(p); from != nil {
				point.Spur = cmp.Or(names[from.ID], from.Ref().String())
			}
		}
		d.place(&point, p, shares)
		d.draft.Points = append(d.draft.Points, point)
	}
	if err := d.isolate(what.Base); err != nil {
		return nil, err
	}
	d.draft.Return = d.cable(d.supply.ReturnMetres)
	return d, nil
}

// isolate puts one more isolator in the base of a point.
func (d *drafted) isolate(name string) error {
	if name == "" {
		return nil
	}
	for i := range d.draft.Points {
		if point := &d.draft.Points[i]; point.Name == name {
			point.Isolator = "base"
			return nil
		}
	}
	return sootline.Errorf(sootline.NotFound, "points are named as the answer names them, for example 1.1.004", "there is no point %q on loop %s", name, d.id)
}

// feed takes what feeds the loop, and what its cable is.
func (d *drafted) feed(s *sootline.Supply) {
	if s == nil {
		s = &sootline.Supply{}
		d.miss("", "what feeds the loop is", "no resistance and no limit in the panel, all devices in alarm at once")
	}
	d.supply = *s
	d.draft.Default = assumed(*s)
	d.said = circuit.Default{Celsius: s.Celsius, LeastVolts: s.LeastVolts, DraftBounds: d.draft.Default.DraftBounds}
	d.draft.Out = circuit.DraftEnd{
		Volts: known(cmp.Or(d.what.Volts, s.Volts)), LowVolts: known(s.LowVolts), HighVolts: known(s.HighVolts),
		PlusOhms: s.SourceOhms, MinusOhms: s.SourceOhms, LimitMA: s.LimitMA,
	}
	if d.what.Volts != 0 { // the one voltage that is asked about
		d.draft.Out.LowVolts, d.draft.Out.HighVolts = &d.what.Volts, &d.what.Volts
	}
	d.draft.Rules = circuit.RulesIn(d.r.Site.Follows)
	d.draft.AlarmsAtOnce = s.AlarmsAtOnce
	if d.what.MM2 != 0 {
		d.supply.MM2, d.supply.AWG = d.what.MM2, 0
	}
}

func (d *drafted) miss(where, what, taken string) {
	d.gaps = append(d.gaps, circuit.Gap{Where: where, What: what, Taken: taken})
}

// known is nil for a figure of 0, which means that nobody said.
func known(figure float64) *float64 {
	if figure == 0 {
		return nil
	}
	return &figure
}

func (d *drafted) cable(metres *float64) circuit.DraftCable {
	return circuit.DraftCable{Metres: metres, MM2: known(d.supply.MM2), AWG: d.supply.AWG}
}

// pointNames names points by their references; of two devices on one number the
// second has the end of its identity behind it.
func pointNames(points []*sootline.Point) map[sootline.ID]string {
	names, used := map[sootline.ID]string{}, map[string]bool{}
	for _, p := range points {
		name := p.Ref().String()
		if used[name] {
			name += " " + p.ID.String()[24:]
		}
		names[p.ID], used[name] = name, true
	}
	return names
}

// device gives what a device of a type draws and needs.
func (d *drafted) device(name, typeName string) circuit.DraftPoint {
	sheet := d.r.Sheet(typeName)
	if sheet == nil {
		sheet = &sootline.TypeSheet{}
	}
	load := func(ma *float64) *circuit.DraftLoad {
		if ma == nil {
			return nil
		}
		return &circuit.DraftLoad{MA: *ma}
	}
	return circuit.DraftPoint{
		Name: name, Rest: load(sheet.StandbyMA), Alarm: load(sheet.AlarmMA), LeastVolts: sheet.MinVolts,
		Counted: sheet.Kind == sootline.CallPoint || sheet.Kind.Judged(), NoArea: sheet.Kind == sootline.CallPoint,
	}
}

// areaShares counts the detectors of each area over all loops: its square metres
// are shared evenly among them, which is exact where all of them are lost.
func areaShares(r *sootline.Register) map[*sootline.AreaFacts]int {
	shares := map[*sootline.AreaFacts]int{}
	for _, p := range r.Points() {
		if facts := r.Area(p.Area); facts != nil && detects(r, p) {
			shares[facts]++
		}
	}
	return shares
}

func detects(r *sootline.Register, p *sootline.Point) bool {
	sheet := r.Sheet(p.Type)
	return sheet == nil || sheet.Kind.Judged()
}

// place says what is lost with a point.
func (d *drafted) place(point *circuit.DraftPoint, p *sootline.Point, shares map[*sootline.AreaFacts]int) {
	const notCounted = "what a fault takes of them is not counted"
	point.Zone = p.Zone
	facts := d.r.Area(p.Area)
	if facts == nil {
		facts = &sootline.AreaFacts{}
	}
	if point.Floor = d.r.Floor(p); point.Floor == "" {
		d.miss(point.Name, "floors are", notCounted)
	}
	switch {
	case !detects(d.r, p):
	case facts.M2 == 0:
		d.miss(point.Name, "square metres are", notCounted)
	default:
		point.AreaM2 = facts.M2 / float64(shares[facts])
	}
}

// loop fills the gaps and makes the changes of the what-if.
func (d *drafted) loop() (circuit.Loop, circuit.Demand, error) {
	draft := d.draft
	if d.what.File != nil && d.r != nil {
		var err error
		if draft, err = d.what.File.Over(draft); err != nil {
			return circuit.Loop{}, circuit.Demand{}, err
		}
	}
	if d.what.AtOnce != nil {
		draft.AlarmsAtOnce, draft.InAlarm = d.what.AtOnce, nil
	}
	if len(d.what.InAlarm) > 0 {
		draft.InAlarm = d.what.InAlarm
	}
	demand, err := draft.Asked()
	if err != nil {
		return circuit.Loop{}, demand, err
	}
	loop, gaps, err := draft.Loop()
	if err != nil {
		return loop, demand, err
	}
	said := d.said
	if d.what.File != nil {
		said = d.what.File.Default.Over(said)
		gaps = circuit.Unsaid(gaps, &d.what.File.Default)
	}
	d.gaps = append(d.gaps, gaps...)
	d.missing, d.facts = draft.Facts(&said)
	d.rules = draft.Rules != nil
	if d.what.Add == 0 {
		return loop, demand, nil
	}
	device, point, err := d.another(d.what.Type)
	if err != nil {
		return loop, demand, err
	}
	d.add(point, len(loop.Points))
	return loop.With(d.what.Add, device, loop.ReturnSegment()), demand, nil
}

// add counts the facts of devices that were added before the way back, whose cable is now in more pieces than one.
func (d *drafted) add(point *circuit.DraftPoint, before int) {
	var at []int
	for i := range d.what.Add {
		at = append(at, before+i)
	}
	for i := range d.missing {
		if f := &d.missing[i]; f.OfCables() && slices.Contains(f.At, before) {
			for k := range at {
				f.At = append(f.At, before+k+1)
			}
		}
	}
	more, total := d.draft.FactsOf(point, &d.said, at...)
	d.missing, d.facts = append(d.missing, more...), d.facts+total
}

// another gives one more device of a type, to be put somewhere.
func (d *drafted) another(typeName string) (circuit.Point, *circuit.DraftPoint, error) {
	if d.r.Sheet(typeName) == nil {
		return circuit.Point{}, nil, sootline.Errorf(sootline.NotFound, "name a type that has a sheet", "there is no type sheet named %q", typeName).Do(sootline.Give, "type")
	}
	draft := d.device("one more", typeName)
	draft.Metres, draft.MM2, draft.Celsius = known(1), known(1), known(20) // of the cable that it will be put into
	device, gaps := d.draft.Fill(&draft)
	d.gaps = append(d.gaps, gaps...)
	return device, &draft, nil
}
