package app

import (
	"fmt"

	"sootline"
	"sootline/internal/chart"
)

// LongestCables is how long the cable of a loop may be with the verdict still shown, by devices and cross-section: devices in
// the mixture of a design, evenly along the cable, fed as its loops are, with the fewest isolators that keep EN 54-2; other
// rules about what a fault takes are left aside.
func LongestCables(r *sootline.Register, d *Design) (*chart.Lengths, error) {
	l := &chart.Lengths{Title: "longest cable of a loop by devices, evenly along it, isolators by EN 54-2"}
	m := &designing{r: r, brief: d.brief, choice: d.Choice, supply: d.Loops[0].supply}
	for _, mm2 := range designSizes {
		run := chart.LengthRun{Name: fmt.Sprintf("%g mm2", mm2)}
		for _, n := range []int{20, 40, 60, 80, 100, d.Choice.Most} {
			if n > d.Choice.Most || n < d.Choice.Most && d.Choice.Most-n < 10 {
				continue
			}
			metres, err := m.longest(d, n, mm2)
			if err != nil {
				return nil, err
			}
			if metres > 0 {
				run.At = append(run.At, chart.LengthAt{Devices: n, Metres: metres})
			}
		}
		l.Series = append(l.Series, run)
	}
	return l, nil
}

// longest finds it for so many devices; 0: none is shown.
func (m *designing) longest(d *Design, n int, mm2 float64) (float64, error) {
	const apart = 10.0 // metres; the search begins there
	l := &DesignedLoop{LoopID: d.Loops[0].LoopID, supply: m.supply, Return: apart}
	l.supply.MM2, l.supply.ReturnMetres = mm2, &l.Return
	m.rules = []string{"EN 54-2"}
	var all []DesignedPoint
	for _, loop := range d.Loops {
		all = append(all, loop.Points...)
	}
	for i := range n {
		p := all[i*len(all)/n%len(all)]
		p.Number, p.Metres, p.Isolator = i+1, apart, false
		l.Points = append(l.Points, p)
	}
	if err := m.isolate(l); err != nil {
		return 0, err
	}
	made, err := m.drafted(l, l.Isolators.At)
	if err != nil {
		return 0, err
	}
	loop, demand, err := made.loop()
	if err != nil {
		return 0, err
	}
	factor, err := loop.Longest(demand, made.missing, mostLonger*10)
	return factor * apart * float64(n+1), err
}
