package sootline

// FittedKind is the kind of [Fitted].
const FittedKind Kind = "fitted"

// Fitted says that a device is in place at a point; it makes the point. Its
// instant is [LongAgo] when nobody wrote down the day.
type Fitted struct {
	Place
	Type string `json:"type,omitempty"`
	Unit
}

// Place says where a point is.
type Place struct {
	Panel    string   `json:"panel"`
	Loop     string   `json:"loop"`
	Order    int      `json:"order,omitempty" form:"turn along the cable"`       // its turn along the cable
	Metres   *float64 `json:"metres,omitempty" form:"metres of cable before it"` // cable from the previous point
	Spur     int      `json:"spur,omitempty" form:"spur from number"`            // the spur from number; 0: on the ring
	Zone     string   `json:"zone,omitempty"`
	Area     string   `json:"area,omitempty"`
	Location string   `json:"location,omitempty" form:"location, in words"`
	Floor    string   `json:"floor,omitempty"`
	X        *float64 `json:"x,omitempty" form:"metres across the plan"` // metres on a plan of the floor, from a corner of your choice
	Y        *float64 `json:"y,omitempty" form:"metres along the plan"`
}

// Unit is the physical device at a point.
type Unit struct {
	Serial string `json:"serial,omitempty"`
	Batch  string `json:"batch,omitempty"`
	Made   string `json:"made,omitempty" form:"made, as marked on the device"` // as marked on the device
}

func (u Unit) say() string {
	return Joined(labelledText("serial", u.Serial), labelledText("batch", u.Batch), labelledText("made", u.Made))
}

// Kind is FittedKind.
func (Fitted) Kind() Kind { return FittedKind }

func (f Fitted) say() string {
	return Joined("fitted", f.Type, f.Unit.say(), f.Location, rest(f, "panel", "loop", "type", "serial", "batch", "made", "location"))
}

func (f Fitted) check() error { return f.Place.check() }

func (p Place) check() error {
	if p.Panel == "" || p.Loop == "" {
		return Errorf(Invalid, "", "a place needs its panel and loop")
	}
	if p.Metres != nil && (!finite(*p.Metres) || *p.Metres < 0) {
		return Errorf(Invalid, "", "metres of cable are a number from 0, found %v", *p.Metres)
	}
	if p.Spur < 0 || p.Spur > 9999 {
		return Errorf(Invalid, "", "a spur hangs from the number of a point, from 1 to 9999, found %d", p.Spur)
	}
	for _, at := range [...]*float64{p.X, p.Y} {
		if at != nil && !finite(*at) {
			return Errorf(Invalid, "", "a place on a plan is a number of metres, found %v", *at)
		}
	}
	if (p.X == nil) != (p.Y == nil) {
		return Errorf(Invalid, "", "a place on a plan has both x and y")
	}
	return nil
}

func (f Fitted) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Placed, p.Since, p.placed = true, e.At, e.At
	p.Place, p.Type, p.Unit, p.UnitSince = f.Place, f.Type, f.Unit, e.At
	p.Removed = nil
	r.sawUnit(p)
	p.refer(e)
	p.reset(e, "fitted")
}

func (f Fitted) facts() []FactSaid { return Moved{f.Place}.facts() }
