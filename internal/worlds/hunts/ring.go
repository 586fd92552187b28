package hunts

import (
	"math"
	"math/rand/v2"
)

// Device is a device on the ring, and what it takes to get at it.
type Device struct {
	Number   int
	Isolator bool // a switch on each side of it
	MA       float64
	Ladder   bool
	Floor    int
}

// Ring is a loop as it is laid. Stretch k leads to device k, the last one back to IN.
type Ring struct {
	Volts     float64
	OhmsPerM  float64 // of one core
	SourceOhm float64 // of both cores, at each end
	Metres    []float64
	Devices   []Device

	sums []float64 // metres from OUT to the end of each stretch
}

// draw draws a ring of 10 to 250 devices.
func draw(rng *rand.Rand) Ring {
	n := 10 + int(240*rng.Float64()*rng.Float64())
	r := Ring{Volts: []float64{24, 28, 32}[rng.IntN(3)], OhmsPerM: []float64{0.0121, 0.0181, 0.00741}[rng.IntN(3)], SourceOhm: rng.Float64()}
	every := []int{0, 1, 10, 20}[rng.IntN(4)] // isolators: none, in each device, now and then
	total := math.Min(2000, float64(n)*(5+15*rng.Float64()))
	for k := range n {
		r.Metres = append(r.Metres, math.Round(total/float64(n)*(0.3+1.4*rng.Float64())+1))
		d := Device{Number: k + 1, MA: 0.2 + 0.4*rng.Float64(), Ladder: rng.IntN(3) > 0, Floor: k * 4 / n}
		d.Isolator = every == 1 || every > 1 && k%every == every/2
		if d.Floor == 3 { // the ring comes back down
			d.Floor = 1
		}
		r.Devices = append(r.Devices, d)
	}
	r.Metres = append(r.Metres, math.Round(5+20*rng.Float64()))
	return r.summed()
}

// built gives the ring as it really is: lengths and currents a little off what is written.
func (r Ring) built(rng *rand.Rand) Ring {
	out := r
	out.Metres = append([]float64{}, r.Metres...)
	for k := range out.Metres {
		out.Metres[k] *= 0.95 + 0.1*rng.Float64()
	}
	out.Devices = append([]Device{}, r.Devices...)
	for k := range out.Devices {
		out.Devices[k].MA *= 0.95 + 0.1*rng.Float64()
	}
	return out.summed()
}

func (r Ring) summed() Ring {
	r.sums = nil
	sum := 0.0
	for _, m := range r.Metres {
		sum += m
		r.sums = append(r.sums, sum)
	}
	return r
}

// ohms gives both cores of a stretch.
func (r Ring) ohms(stretch int) float64 { return 2 * r.OhmsPerM * r.Metres[stretch] }

// along gives the metres of cable from OUT to a device, or to IN.
func (r Ring) along(device int) float64 { return r.sums[device] }
