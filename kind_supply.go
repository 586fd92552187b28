package sootline

import (
	"fmt"
	"slices"
)

// SupplyKind is the kind of [Supply].
const SupplyKind Kind = "supply"

// Supply states what feeds a loop and what its cable is. A later one of the same
// loop replaces it whole. Fields that are zero or nil are not known, and what
// then holds is said wherever it is used.
type Supply struct {
	Panel        string   `json:"panel"`
	Loop         string   `json:"loop"`
	Volts        float64  `json:"volts"`                           // at the panel's terminals, either end, as a rule
	LowVolts     float64  `json:"low_volts,omitempty"`             // there, with the battery at its lowest
	HighVolts    float64  `json:"high_volts,omitempty"`            // there, at the highest charge
	SourceOhms   *float64 `json:"source_ohms,omitempty"`           // of each core at each end, inside the panel; 0 is known to be none
	LimitMA      float64  `json:"limit_ma,omitempty"`              // what an end can give
	MM2          float64  `json:"mm2,omitempty"`                   // cross-section of a core, copper
	AWG          int      `json:"awg,omitempty"`                   // or its gauge
	Celsius      *float64 `json:"celsius,omitempty"`               // temperature of the cable
	UsualMetres  float64  `json:"usual_metres,omitempty"`          // cable between two points where the schedule does not say
	ReturnMetres *float64 `json:"return_metres,omitempty"`         // from the last point back to the panel
	AlarmsAtOnce *int     `json:"alarms_at_once,omitempty"`        // how many devices may be in alarm; nil: all
	IsolatorOhms float64  `json:"isolator_ohms,omitempty"`         // of a closed isolator, in the plus core
	Holds        float64  `json:"isolator_holds_volts,omitempty"`  // at or above these an isolator stays closed
	Opens        float64  `json:"isolator_opens_volts,omitempty"`  // at or below these it opens
	Closes       float64  `json:"isolator_closes_volts,omitempty"` // at or above these it closes again
	CarriesMA    float64  `json:"isolator_carries_ma,omitempty"`   // while closed
	LeastVolts   float64  `json:"least_volts,omitempty"`           // of devices whose type sheet does not say
	MostOhms     float64  `json:"most_ohms,omitempty"`             // that the panel allows for both cores in series, end to end
	MostNF       float64  `json:"most_nf,omitempty"`               // nanofarads of cable that the panel allows, spurs included
	NFPerKm      float64  `json:"nf_per_km,omitempty"`             // of the cable, core to core
	LeastMOhms   float64  `json:"least_mohm,omitempty"`            // megohms of each core to earth that the site wants
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
	figures := []float64{s.LowVolts, s.HighVolts, s.Holds, s.Opens, s.Closes, s.CarriesMA, known(s.SourceOhms), s.LimitMA, s.MM2, float64(s.AWG), s.UsualMetres, s.IsolatorOhms, s.LeastVolts, s.MostOhms, s.MostNF, s.NFPerKm, s.LeastMOhms}
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

// checkNew refuses a loop that no reference could name, and what contradicts itself.
func (s Supply) checkNew() error {
	switch {
	case s.MM2 > 0 && s.AWG > 0:
		return Errorf(Invalid, "give one of them", "a cable has %v mm2 or %d AWG, and not both", s.MM2, s.AWG)
	case s.MM2 > 0 && !slices.Contains(MetricSizes(), s.MM2):
		return Errorf(Invalid, "the table holds "+numbered(MetricSizes())+" mm2; for others give ohms per kilometre in a loop file", "no resistance is known for a cross-section of %v mm2", s.MM2)
	case s.AWG > 0 && !slices.Contains(GaugeSizes(), s.AWG):
		return Errorf(Invalid, "the table holds "+numbered(GaugeSizes())+" AWG; for others give ohms per kilometre in a loop file", "no resistance is known for %d AWG", s.AWG)
	}
	if err := CheckIsolatorVolts(s.Opens, s.Holds, s.Closes); err != nil {
		return err
	}
	if err := checkLeastVolts(s.LeastVolts, s.Volts); err != nil {
		return err
	}
	if err := CheckEndVolts(s.LowVolts, s.Volts, s.HighVolts); err != nil {
		return err
	}
	return checkLoopNamed(s.Panel, s.Loop)
}

// checkLeastVolts refuses devices that the panel's usual volts would not feed. In volts; 0 is not known.
func checkLeastVolts(least, usual float64) error {
	if usual > 0 && least > usual {
		return Errorf(Invalid, "look at the type sheet again", "devices that need %v V do not work at the panel's %v V, which contradict each other", least, usual)
	}
	return nil
}

// CheckIsolatorVolts refuses an isolator that would open where it stays closed, or where it closes again. In volts; 0 is not
// known.
func CheckIsolatorVolts(opens, holds, closes float64) error {
	if closes > 0 && opens > closes {
		return Errorf(Invalid, "it closes again from the higher of the two on", "an isolator opens below %v V and closes again from %v V on, which contradict each other", opens, closes)
	}
	if holds > 0 && opens > holds {
		return Errorf(Invalid, "it opens below the lower of the two and stays closed from the higher on", "an isolator opens below %v V and stays closed from %v V on, which contradict each other", opens, holds)
	}
	return nil
}

// CheckEndVolts refuses volts of a panel's terminals that are not in order: those of the low battery, the usual ones, the
// highest. In volts; 0 is not known.
func CheckEndVolts(low, usual, high float64) error {
	const hint = "the low battery has the least, the highest charge the most"
	switch {
	case usual > 0 && low > usual:
		return Errorf(Invalid, hint, "the volts of the low battery, %v, are more than the usual ones, %v", low, usual)
	case high > 0 && usual > high:
		return Errorf(Invalid, hint, "the highest volts, %v, are less than the usual ones, %v", high, usual)
	case high > 0 && low > high:
		return Errorf(Invalid, hint, "the volts of the low battery, %v, are more than the highest ones, %v", low, high)
	}
	return nil
}

// MetricSizes lists the cross-sections of a core, in square millimetres, whose resistance is known: IEC 60228:2004.
func MetricSizes() []float64 { return []float64{0.5, 0.75, 1, 1.5, 2.5, 4} }

// GaugeSizes lists the American wire gauges whose resistance is known.
func GaugeSizes() []int { return []int{12, 14, 16, 18, 20, 22} }

// numbered writes numbers as a list.
func numbered[T any](numbers []T) string {
	text := ""
	for i, n := range numbers {
		switch {
		case i == 0:
		case i == len(numbers)-1:
			text += " and "
		default:
			text += ", "
		}
		text += fmt.Sprint(n)
	}
	return text
}

func (s Supply) fold(r *Register, _ *Entry) {
	r.supplies[LoopID{CleanName(s.Panel), CleanName(s.Loop)}] = &s
}

func (s Supply) facts() []FactSaid { return oneFact("the supply of loop "+s.Panel+"."+s.Loop, s) }
