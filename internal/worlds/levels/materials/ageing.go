package materials

import "math"

// boltzmann is Boltzmann's constant in electronvolts a kelvin (SI, exact to the digits given).
const boltzmann = 8.617333e-5

// activation is the energy in electronvolts by which heat speeds the ageing of light source and amplifier:
// 0.7 is the figure commonly taken for silicon (from memory).
const activation = 0.7

// hurry is how many times faster electronics age in a room than at 25 °C: the law of Arrhenius.
func hurry(celsius float64) float64 {
	return math.Exp(activation / boltzmann * (1/298.15 - 1/(celsius+273.15)))
}

// batch is what heads of one week of making have in common.
type batch struct {
	name  string
	drift float64 // share of the way after one year at 25 °C
	power float64
}

// head is a unit: its electronics, without what lies in its chamber.
type head struct {
	serial, batch string
	offset        float64 // how far from the type's rest it was set in the works
	drift         float64 // after one year at 25 °C; below 0: it moves away from the worse edge
	// power is 1 where light fades evenly, one half where something diffuses into a surface (the parabolic law
	// of oxide films, from memory); batches lie between.
	power float64
}

// aged is where a clean head stands after as many years as would have aged it alike at 25 °C.
func (h *head) aged(years float64) float64 { return h.drift * math.Pow(years, h.power) }

// newBatch draws a batch. Light sources fade and lenses cloud; which of the two moves the value up depends on
// the circuit, so that a batch goes either way.
func newBatch(c chance, name string, ageing float64) batch {
	return batch{name, c.normal(ageing), c.between(0.5, 1)}
}

func (b *batch) head(c chance, serial string, ageing float64) *head {
	return &head{serial, b.name, c.normal(0.05), b.drift + c.normal(0.4*ageing), b.power}
}

// newCell draws a sensing cell of gas: it dries out, always towards the worse edge.
func (b *batch) newCell(c chance, serial string) *head {
	return &head{serial, b.name, c.normal(0.05), (0.075 + math.Abs(b.drift)) * c.factor(0.3), 1}
}
