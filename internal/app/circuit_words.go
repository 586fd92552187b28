package app

import "sootline/internal/circuit"

// CircuitCaution is to be shown wherever a result of the circuit is.
const CircuitCaution = circuit.Caution

// The circuit's words that faces need, who do not know its room.
type (
	// LoopFile is a loop, or a what-if, as a file holds it.
	LoopFile = circuit.Draft
	// LoopOutcome is what a state of a loop comes to.
	LoopOutcome = circuit.Outcome
	// ShortReading is what was measured of a short between the cores.
	ShortReading = circuit.ShortReading
	// EarthReading is what was measured of an earth fault on one core.
	EarthReading = circuit.EarthReading
	// Drain is one line of a load list.
	Drain = circuit.Drain
	// Conditions are what a battery lives under.
	Conditions = circuit.Conditions
	// Sizing is a battery with the reasoning.
	Sizing = circuit.Sizing
	// Discharge is a discharge test.
	Discharge = circuit.Discharge
	// Wear is what a discharge test says.
	Wear = circuit.Wear
	// Ohms of resistance.
	Ohms = circuit.Ohms
	// Amps of direct current.
	Amps = circuit.Amps
	// Celsius is a temperature in degrees.
	Celsius = circuit.Celsius
	// Hours of time.
	Hours = circuit.Hours
	// AmpHours of capacity.
	AmpHours = circuit.AmpHours
)

// The tests for an earth fault, and the cores that can have one.
const (
	MurrayTest  = circuit.MurrayTest
	VarleyTest  = circuit.VarleyTest
	BlavierTest = circuit.BlavierTest
	PlusCore    = circuit.PlusCore
	MinusCore   = circuit.MinusCore
)
