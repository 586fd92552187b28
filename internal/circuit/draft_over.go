package circuit

import (
	"cmp"
	"slices"

	"sootline"
)

// Over lays a what-if over a loop and gives what would be; neither is changed. What the what-if gives replaces what the
// loop had. A point of a known name is changed; another one is added where its "after" says.
func (d *Draft) Over(base *Draft) (*Draft, error) {
	over := *base
	over.Points = slices.Clone(base.Points)
	over.Name = cmp.Or(d.Name, base.Name)
	over.Out = d.Out.over(base.Out)
	if d.In != nil {
		end := over.Out
		if base.In != nil {
			end = *base.In
		}
		end = d.In.over(end)
		over.In = &end
	}
	over.Default = d.Default.Over(base.Default)
	over.Return = d.Return.over(base.Return)
	if d.Rules != nil {
		over.Rules = d.Rules
	}
	if d.AlarmsAtOnce != nil {
		over.AlarmsAtOnce, over.InAlarm = d.AlarmsAtOnce, nil
	}
	if d.InAlarm != nil {
		over.InAlarm = d.InAlarm
	}
	for i := range d.Points {
		if err := over.lay(&d.Points[i]); err != nil {
			return nil, err
		}
	}
	return &over, nil
}

// lay changes one point, or adds it.
func (d *Draft) lay(p *DraftPoint) error {
	if i := d.at(p.Name); i >= 0 {
		d.Points[i] = p.over(d.Points[i])
		return nil
	}
	where := 0
	switch i := d.at(p.After); {
	case p.After == "" && p.Isolator != "":
		return invalid("an isolator is at %q, which is not a point of the loop", p.Name)
	case p.After == "":
		return sootline.Errorf(sootline.Invalid, `a point that is added says the point before it with "after", or OUT`, "%q is not a point of the loop", p.Name)
	case i >= 0:
		where = i + 1
	case p.After != "OUT":
		return invalid("%s comes after %s, which is not a point of the loop", p.Name, p.After)
	}
	d.Points = slices.Insert(d.Points, where, *p)
	return nil
}

func (d *Draft) at(name string) int {
	return slices.IndexFunc(d.Points, func(p DraftPoint) bool { return p.Name == name })
}

func (e *DraftEnd) over(base DraftEnd) DraftEnd {
	return DraftEnd{
		Volts: cmp.Or(e.Volts, base.Volts), LowVolts: cmp.Or(e.LowVolts, base.LowVolts), HighVolts: cmp.Or(e.HighVolts, base.HighVolts), PlusOhms: cmp.Or(e.PlusOhms, base.PlusOhms),
		MinusOhms: cmp.Or(e.MinusOhms, base.MinusOhms), LimitMA: cmp.Or(e.LimitMA, base.LimitMA),
	}
}

// Over gives the defaults with those of base where nothing was given.
func (d Default) Over(base Default) Default {
	return Default{
		Volts: cmp.Or(d.Volts, base.Volts), Metres: cmp.Or(d.Metres, base.Metres), MM2: cmp.Or(d.MM2, base.MM2),
		Celsius: cmp.Or(d.Celsius, base.Celsius), RestMA: cmp.Or(d.RestMA, base.RestMA), AlarmMA: cmp.Or(d.AlarmMA, base.AlarmMA),
		LeastVolts: cmp.Or(d.LeastVolts, base.LeastVolts), IsolatorOhm: cmp.Or(d.IsolatorOhm, base.IsolatorOhm),
		DraftBounds: d.DraftBounds.over(base.DraftBounds),
	}
}

func (b DraftBounds) over(base DraftBounds) DraftBounds {
	return DraftBounds{
		Holds: cmp.Or(b.Holds, base.Holds), Opens: cmp.Or(b.Opens, base.Opens),
		Closes: cmp.Or(b.Closes, base.Closes), Carries: cmp.Or(b.Carries, base.Carries),
	}
}

// over: a conductor is replaced whole, and what was measured holds no longer once the cable is another.
func (c *DraftCable) over(base DraftCable) DraftCable {
	cable := base
	cable.Metres, cable.Celsius = cmp.Or(c.Metres, base.Metres), cmp.Or(c.Celsius, base.Celsius)
	conductor := c.MM2 != nil || c.AWG != 0 || c.OhmsPerKm != 0
	if conductor {
		cable.MM2, cable.AWG, cable.OhmsPerKm = c.MM2, c.AWG, c.OhmsPerKm
		cable.Tinned, cable.Flexible, cable.Stranded = c.Tinned, c.Flexible, c.Stranded
	}
	if measured := c.PlusOhms != 0 || c.MinusOhms != 0; measured || conductor || c.Metres != nil {
		cable.PlusOhms, cable.MinusOhms = c.PlusOhms, c.MinusOhms
	}
	return cable
}

func (p *DraftPoint) over(base DraftPoint) DraftPoint {
	point := base
	point.DraftCable = p.DraftCable.over(base.DraftCable)
	point.Spur, point.Zone, point.Floor = cmp.Or(p.Spur, base.Spur), cmp.Or(p.Zone, base.Zone), cmp.Or(p.Floor, base.Floor)
	point.Junction, point.Counted = p.Junction || base.Junction, p.Counted || base.Counted
	point.Rest, point.Alarm, point.LeastVolts = cmp.Or(p.Rest, base.Rest), cmp.Or(p.Alarm, base.Alarm), cmp.Or(p.LeastVolts, base.LeastVolts)
	point.AreaM2 = cmp.Or(p.AreaM2, base.AreaM2)
	point.DraftBounds = p.DraftBounds.over(base.DraftBounds)
	if p.Isolator != "" {
		point.Isolator, point.IsolatorOhm, point.BothCores = p.Isolator, cmp.Or(p.IsolatorOhm, base.IsolatorOhm), p.BothCores
	}
	return point
}
