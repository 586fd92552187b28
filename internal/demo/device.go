package demo

import "sootline"

// device is a type of device, with what its value does in use. Values and
// levels are counts on the invented scale; zero stands for "has none".
type device struct {
	name, word       string // the type's name, and its kind as the types file writes it
	kind             sootline.DeviceKind
	numbers          int
	quantity         string
	low, high, alarm float64
	standby, alarmMA float64 // mA
	volts            float64 // least, V
	life             int     // years
	settings, wanted string  // the choices there are, and the one chosen by default
	how              string  // how its number is set

	clean, cleanSD float64 // level of a clean unit: centre and spread over units
	sd             float64 // spread of a reading about the level
	catches        float64 // share of a room's dust that shows in the value
	ages           float64 // counts a year by its own ageing
	reserve        float64 // counts of drift that compensation hides; 0: not compensated
	swings         bool    // whether the value follows the room's seasons
}

// The devices, by their index in devices and in a room's counts.
const (
	smoke = iota
	heat
	multi
	gas
	callPoint
	sounder
	output
	isolator
	oldHeat
	deviceCount
)

// normalSensitivity is the setting of most detectors.
const normalSensitivity = "sensitivity=normal"

// devices lists the types. Names, bands and currents are made up.
func devices() *[deviceCount]device {
	const choices = "sensitivity=high/normal/low"
	return &[deviceCount]device{
		smoke: {
			name: "Plimbow", word: "optical smoke", kind: sootline.Smoke, numbers: 1, how: "switches 7", quantity: "scatter counts", low: 18, high: 36, alarm: 58,
			standby: 0.31, alarmMA: 2.4, volts: 17, life: 12, settings: choices, wanted: normalSensitivity,
			clean: 23.2, cleanSD: 1.1, sd: 1, catches: 1, swings: true,
		},
		heat: {
			name: "Drusket", word: "heat", kind: sootline.Heat, numbers: 1, how: "switches 8 high-first", quantity: "temperature counts", low: 10, high: 30, alarm: 55,
			standby: 0.28, alarmMA: 2.2, volts: 17, life: 15, settings: "class=ordinary/high", wanted: "class=ordinary",
			clean: 19, cleanSD: 0.9, sd: 0.8, ages: 0.05, swings: true,
		},
		multi: {
			name: "Osperly", word: "multi", kind: sootline.Multi, numbers: 1, how: "dials 15", quantity: "combined counts", low: 24, high: 44, alarm: 64,
			standby: 0.42, alarmMA: 3.1, volts: 18, life: 10, settings: choices, wanted: normalSensitivity,
			clean: 31, cleanSD: 1.1, sd: 1, catches: 0.8, reserve: 5,
		},
		gas: {
			name: "Quennow", word: "gas (CO)", kind: sootline.Gas, numbers: 1, how: "switches 7 on-is-zero", quantity: "cell counts", low: 40, high: 60, alarm: 80,
			standby: 0.55, alarmMA: 3.4, volts: 18, life: 5,
			clean: 51, cleanSD: 0.8, sd: 1, ages: -1.7,
		},
		callPoint: {
			name: "Hobbelin", word: "call point", kind: sootline.CallPoint, numbers: 1, how: "base",
			standby: 0.25, alarmMA: 2.8, volts: 17, life: 15,
		},
		sounder: {
			name: "Snoddle", word: "sounder", kind: sootline.Sounder, numbers: 1, how: "electronic",
			standby: 0.4, alarmMA: 5.6, volts: 20, life: 12, settings: "volume=low/high", wanted: "volume=high",
		},
		output: {
			name: "Tambrick", word: "output module", kind: sootline.Module, numbers: 4, how: "dials 15",
			standby: 1.1, alarmMA: 6.5, volts: 20, life: 15,
		},
		isolator: {
			name: "Wuffen", word: "isolator", kind: sootline.Isolator, numbers: 1, how: "switches 8 high-first on-is-zero",
			standby: 0.08, alarmMA: 4, volts: 17, life: 15,
		},
		oldHeat: {
			name: "Crimpet", word: "heat", kind: sootline.Heat, numbers: 1, how: "dials 9", quantity: "temperature counts",
			standby: 0.36, alarmMA: 3, volts: 18, life: 15,
			clean: 14, cleanSD: 0.8, sd: 0.8, ages: 0.05, swings: true,
		},
	}
}

// banded reports whether the type states a band.
func (d *device) banded() bool { return d.high > 0 }
