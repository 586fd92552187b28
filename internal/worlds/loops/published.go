package loops

import "math"

// Published gives worked examples as they stand in print. Those that feed one end are loops broken before IN.
func Published() []Case {
	nan := math.NaN()
	return []Case{
		chain("one load of 4 A behind 100 ft of 16 AWG, 24 V", "electrician-training page quoting NEC chapter 9 table 8",
			24, []float64{2 * 100 * 4.99 / 1000}, []float64{4}, []float64{24 - 3.992}, 1e-3),
		chain("four loads, one end", "college text, D.C. Distribution, chapter 13, example 13.1, page 313",
			300, []float64{0.01, 0.01, 0.012, 0.008}, []float64{100, 150, 200, 50}, []float64{295, 291, 288, 287.6}, 1e-6),
		chain("two loads, one end", "solution of an examination question",
			500, []float64{0.08, 0.08}, []float64{100, 200}, []float64{476, 460}, 1e-6),
		chain("ten sections, one end", "L. Bell, Power Distribution for Electric Railroads, 1890s, pages 10 to 13: 55 V in all",
			600, repeat(0.05, 10), repeat(20, 10), append(repeat(nan, 9), 600-55), 1e-6),
		chain("14 AWG, three appliances, point to point", "inputs: a training article on US fire alarms; the answer is worked by hand",
			24, []float64{0.1535, 0.307, 0.307}, []float64{0.75, 1.05, 0.75}, []float64{nan, nan, 24 - 1.174275}, 1e-6),
		ring("two equal ends, four loads", "question on lecture slides; the answer is worked by hand",
			220, scaled(3.4e-4, 100, 150, 150, 100, 100), []float64{20, 40, 50, 30}, []float64{217.9033, 215.7783, 215.6933, 217.3367}, 61.6667, 78.3333),
		ring("ring main, two loads", "question on lecture slides; the answer is worked by hand",
			240, scaled(6e-4, 150, 50, 100), []float64{120, 80}, []float64{232.2, 233.2}, nan, nan),
		ring("nine devices of 10 mA, 1 ohm between any two", "worked by hand: 24 - 0.01 x 25 / 2",
			24, repeat(1, 10), repeat(0.01, 9), []float64{nan, nan, nan, nan, 23.875, nan, nan, nan, nan}, 0.045, 0.045),
	}
}

// chain gives devices of constant current behind one another, fed at OUT. Ohms are of both cores together.
func chain(name, source string, volts float64, ohms, amps, want []float64, within float64) Case {
	c := ring(name, source, volts, append(ohms, 1), amps, want, math.NaN(), 0)
	c.Opens, c.Within = []int{len(amps)}, within
	return c
}

func ring(name, source string, volts float64, ohms, amps, want []float64, out, in float64) Case {
	l := &Loop{AtOnce: -1, Supply: Supply{Low: volts, High: volts}}
	for i, a := range amps {
		load := Load{Amps, a}
		l.Points = append(l.Points, Point{Spur: -1, Cable: Cable{Plus: ohms[i] / 2, Minus: ohms[i] / 2}, Rest: load, Alarm: load, Floor: NoFloor})
	}
	last := ohms[len(amps)] / 2
	l.Return = Cable{Plus: last, Minus: last}
	return Case{Name: name, Source: source, Loop: l, State: State{Fault: Healthy, Volts: volts}, Volts: want, Out: out, In: in, Within: 1e-4}
}

func repeat(x float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = x
	}
	return out
}

// scaled gives the ohms of lengths.
func scaled(per float64, of ...float64) []float64 {
	for i := range of {
		of[i] *= per
	}
	return of
}
