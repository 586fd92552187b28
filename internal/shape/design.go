package shape

import (
	"sootline/internal/app"
)

// Design is the answer of `loop design --json`.
type Design struct {
	Stands   string         `json:"stands"`
	Headline string         `json:"headline"`
	MM2      float64        `json:"mm2"`
	Metres   float64        `json:"metres"`
	Loops    []DesignedLoop `json:"loops"`
	Assumed  []Assumption   `json:"assumed"`
	Caution  string         `json:"caution"`
}

// DesignedLoop is a loop of a design. Longest is how many times as long all its cable may be with the verdict still shown; null
// where it is not.
type DesignedLoop struct {
	Loop      string          `json:"loop"`
	Stands    string          `json:"stands"`
	Verdict   string          `json:"verdict"`
	Settles   string          `json:"settles"`
	Least     string          `json:"least_left"`
	Metres    float64         `json:"metres"`
	Return    float64         `json:"return_metres"`
	Left      int             `json:"numbers_left"`
	Longest   *float64        `json:"longest_factor"`
	Worst     int             `json:"worst_short_takes"`
	Isolators string          `json:"isolators"`
	Points    []DesignedPoint `json:"points"`
}

// DesignedPoint is a place in the order of the cable.
type DesignedPoint struct {
	Number   int     `json:"number"`
	Type     string  `json:"type"`
	Zone     string  `json:"zone"`
	Area     string  `json:"area"`
	Floor    int     `json:"floor"`
	Location string  `json:"location"`
	X        float64 `json:"x"`
	Y        float64 `json:"y"`
	Metres   float64 `json:"metres"`
	Isolator bool    `json:"isolator"`
}

// Assumption is something that was taken, with its source.
type Assumption struct {
	What   string `json:"what"`
	Source string `json:"source"`
}

// OfDesign gives the shape of a design.
func OfDesign(d *app.Design) Design {
	shape := Design{Stands: string(d.Says()), Headline: d.Headline(), MM2: d.MM2, Metres: *rounded(&d.Metres), Loops: []DesignedLoop{}, Assumed: []Assumption{}, Caution: app.CircuitCaution}
	for _, l := range d.Loops {
		one := DesignedLoop{
			Loop: l.String(), Stands: string(l.Power.Stands.Says), Verdict: l.Power.Verdict(), Settles: l.Power.Settles(), Least: l.Power.Least(),
			Metres: *rounded(&l.Metres), Return: *rounded(&l.Return), Left: l.Left, Worst: l.Isolators.Worst, Isolators: l.Isolators.Reason, Points: []DesignedPoint{},
		}
		if l.Longest > 0 {
			one.Longest = rounded(&l.Longest)
		}
		for i := range l.Points {
			p := &l.Points[i]
			one.Points = append(one.Points, DesignedPoint{p.Number, p.Type, p.Zone, p.Area, p.Floor, p.Location, *rounded(&p.X), *rounded(&p.Y), p.Metres, p.Isolator})
		}
		shape.Loops = append(shape.Loops, one)
	}
	for _, a := range d.Assumed {
		shape.Assumed = append(shape.Assumed, Assumption{a.What, a.Source})
	}
	return shape
}
