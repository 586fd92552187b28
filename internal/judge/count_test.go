package judge

import (
	"context"
	"fmt"
	"testing"
)

func TestCount(t *testing.T) {
	r, on := benchRegister(200)
	m := modelOf(context.Background(), r, years(on))
	f := walker{}
	var n, nt [21]int
	for _, p := range m.points {
		f.k, f.w = p.kin, p.kin.first
		f.begin(p.cuts[0].t, true)
		for i := range p.looks {
			s := seen{of: p, t: p.looks[i].t, z: p.z[i], y: p.looks[i].y, n: i}
			f.look(&s, false)
			nt[i] += len(f.tales)
			for _, t := range f.tales {
				n[i] += len(t.leaves)
			}
		}
	}
	for i := range n {
		fmt.Printf("%d:%.1f/%.1f ", i, float64(n[i])/200, float64(nt[i])/200)
	}
	fmt.Println(m.kins[0].noise, m.kins[0].restVar, m.kins[0].unsurprising)
}
