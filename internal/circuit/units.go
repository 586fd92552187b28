package circuit

import (
	"fmt"
	"math"
	"strconv"
)

// Caution is to be shown wherever a result of this package is shown.
const Caution = "Calculated, as advice: the responsible designer, the instructions of the device and of the panel, " +
	"and the code that applies there decide. Measure before relying on it; never test insulation with devices connected."

// The units of a loop. They are types so that ohms are not passed for volts.
type (
	// Volts of direct current.
	Volts float64
	// Amps of direct current.
	Amps float64
	// Ohms of resistance.
	Ohms float64
	// Watts of power.
	Watts float64
	// Metres of cable; one metre of cable holds a metre of each core.
	Metres float64
	// Celsius is a temperature in degrees.
	Celsius float64
	// Hours of time.
	Hours float64
	// AmpHours of battery capacity, at the twenty-hour rate unless said otherwise.
	AmpHours float64
)

// String writes volts to the hundredth.
func (v Volts) String() string { return fmt.Sprintf("%.2f V", float64(v)) }

// String writes amps as milliamps below one amp.
func (a Amps) String() string {
	if math.Abs(float64(a)) < 1 {
		return fmt.Sprintf("%.1f mA", 1000*float64(a))
	}
	return fmt.Sprintf("%.3f A", float64(a))
}

// String writes ohms to the hundredth.
func (r Ohms) String() string { return fmt.Sprintf("%.2f ohm", float64(r)) }

// String writes metres, to the tenth below ten.
func (m Metres) String() string {
	if math.Abs(float64(m)) < 10 {
		return fmt.Sprintf("%.1f m", float64(m))
	}
	return fmt.Sprintf("%.0f m", float64(m))
}

// String writes degrees.
func (c Celsius) String() string { return significant(float64(c)) + " C" }

// String writes hours to three digits.
func (h Hours) String() string { return significant(float64(h)) + " h" }

// String writes ampere-hours to the hundredth.
func (q AmpHours) String() string { return fmt.Sprintf("%.2f Ah", float64(q)) }

func significant(x float64) string { return strconv.FormatFloat(x, 'g', 3, 64) }

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }

// notNegative is false for NaN too.
func notNegative(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }

// count writes a number with its noun.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
