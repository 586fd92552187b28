package robust_test

import (
	"fmt"

	"sootline/internal/robust"
)

// The sulfate concentrations of example 17-6 of EPA's Unified Guidance (2009).
var (
	years   = []float64{89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6, 94.1, 94.6, 95.1, 95.6, 95.8, 96.1, 96.3, 96.6, 96.8}
	sulfate = []float64{480, 450, 490, 520, 485, 510, 510, 530, 510, 560, 560, 540, 590, 550, 600, 700, 570, 610, 650, 620, 830, 720, 590}
)

func ExampleTheilSen() {
	line, err := robust.TheilSen(years, sulfate, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f per year, 95 %% %.3f to %.3f\n", line.Slope, line.Interval.Low, line.Interval.High)
	// Output: 26.6667 per year, 95 % 20.000 to 35.712
}

func ExampleTheilSen_noInterval() {
	line, err := robust.TheilSen([]float64{0, 120, 211}, []float64{25, 26, 28}, 0.9)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.6f per day, interval: %v\n", line.Slope, line.Interval.State)
	// Output: 0.014218 per day, interval: not enough pairs for this confidence
}

func ExampleMannKendall() {
	k, err := robust.MannKendall(years, sulfate)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("S %d, z %.6f, p %.4g\n", k.S, k.Z, k.P)
	// Output: S 194, z 5.107322, p 3.268e-07
}

func ExampleCrossing() {
	days := []float64{0, 87, 181, 275, 371, 455, 548, 640}
	values := []float64{25, 25, 26, 26, 27, 28, 28, 30}
	d, err := robust.Crossing(days, values, robust.Query{
		Limit: 35,
		Side:  robust.High,
		Noise: robust.Noise{SD: 1.0408, DF: robust.PriorDF},
		Conf:  0.9,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%v: day %.0f, from %.0f to %.0f\n", d.Status, d.Point.At, d.Earliest.At, d.Latest.At)
	// SciPy 1.10.1 gives 0.2573669 for the chance.
	p, _ := d.Drift.ChanceBeyond(1300, 35, robust.High)
	fmt.Printf("chance of being beyond on day 1300: %.4f\n", p)
	// Output:
	// interval: day 1418, from 1148 to 1933
	// chance of being beyond on day 1300: 0.2574
}

func ExampleRobustScale() {
	peers := []float64{24, 25, 25, 26, 24, 25, 27, 25, 26, 38}
	s, _ := robust.RobustScale(peers, 1)
	fmt.Printf("centre %v, unit %v, z of 38: %.2f\n", s.Centre, s.Unit, s.Z(38))
	// Output: centre 25, unit 1.4826, z of 38: 8.77
}

func ExampleQuantile() {
	q, _ := robust.Quantile(robust.Type7, 0.9, []float64{25, 25, 26, 26, 27, 28, 28, 30})
	fmt.Printf("%.1f\n", q)
	// Output: 28.6
}

func ExampleLeastSquares() {
	// y = 1 + 2t but for the last value.
	l, err := robust.LeastSquares([]float64{0, 1, 2}, []float64{1, 3, 6})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f + %.1ft, sd %.4f\n", l.Intercept, l.Slope, l.SD)
	// Output: 0.8333 + 2.5t, sd 0.4082
}
