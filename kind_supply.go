package sootline

// SupplyKind is the kind of [Supply].
const SupplyKind Kind = "supply"

// Supply states what feeds a loop and what its cable is. A later one of the same
// loop replaces it whole. Fields that are zero or nil are not known, and what
// then holds is said wherever it is used.
type Supply struct {
	Panel        string   `json:"panel"`
	Loop         string   `json:"loop"`
	Volts        float64  `json:"volts"`                    // at the panel's terminals, either end
	SourceOhms   float64  `json:"source_ohms,omitempty"`    // of each core at each end, inside the panel
	LimitMA      float64  `json:"limit_ma,omitempty"`       // what an end can give
	MM2          float64  `json:"mm2,omitempty"`            // cross-section of a core, copper
	AWG          int      `json:"awg,omitempty"`            // or its gauge
	Celsius      *float64 `json:"celsius,omitempty"`        // temperature of the cable
	UsualMetres  float64  `json:"usual_metres,omitempty"`   // cable between two points where the schedule does not say
	ReturnMetres *float64 `json:"return_metres,omitempty"`  // from the last point back to the panel
	AlarmsAtOnce *int     `json:"alarms_at_once,omitempty"` // how many devices may be in alarm; nil: all
	IsolatorOhms float64  `json:"isolator_ohms,omitempty"`  // of a closed isolator, in the plus core
	LeastVolts   float64  `json:"least_volts,omitempty"`    // of devices whose type sheet does not say
	MostOhms     float64  `json:"most_ohms,omitempty"`      // that the panel allows for both cores in series, end to end
	MostNF       float64  `json:"most_nf,omitempty"`        // nanofarads of cable that the panel allows, spurs included
	NFPerKm      float64  `json:"nf_per_km,omitempty"`      // of the cable, core to core
}

// Kind is SupplyKind.
func (Supply) Kind() Kind { return SupplyKind }

func (s Supply) say() string {
	return Joined("supply of loop "+s.Panel+"."+s.Loop, figure(s.Volts, "V"), rest(s, "panel", "loop", "volts"))
}

func (s Supply) check() error {
	if s.Panel == "" || s.Loop == "" {
		return Errorf(Invalid, "", "a supply needs the name of its panel and loop")
	}
	if !finite(s.Volts) || s.Volts <= 0 {
		return Errorf(Invalid, "", "the volts at the panel are a number above 0, found %v", s.Volts)
	}
	figures := []float64{s.SourceOhms, s.LimitMA, s.MM2, float64(s.AWG), s.UsualMetres, s.IsolatorOhms, s.LeastVolts, s.MostOhms, s.MostNF, s.NFPerKm}
	if s.ReturnMetres != nil {
		figures = append(figures, *s.ReturnMetres)
	}
	for _, x := range figures {
		if !finite(x) || x < 0 {
			return Errorf(Invalid, "", "a figure of a supply is a number from 0, found %v", x)
		}
	}
	if s.Celsius != nil && (!finite(*s.Celsius) || *s.Celsius < -60 || *s.Celsius > 150) {
		return Errorf(Invalid, "", "the temperature of a cable lies between -60 and 150 degrees, found %v", *s.Celsius)
	}
	return nil
}

// checkNew refuses a loop that no reference could name.
func (s Supply) checkNew() error { return checkLoopNamed(s.Panel, s.Loop) }

func (s Supply) fold(r *Register, _ *Entry) {
	r.supplies[LoopID{CleanName(s.Panel), CleanName(s.Loop)}] = &s
}
