package judge

import (
	"context"
	"fmt"
	"math"
	"os"
	"testing"

	"sootline"
	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/ducts"
	"sootline/internal/worlds/levels/instruments"
	"sootline/internal/worlds/levels/materials"
)

func TestCov(t *testing.T) {
	if os.Getenv("COV") == "" {
		t.Skip()
	}
	var w levels.World = ducts.World{}
	switch os.Getenv("WORLD") {
	case "instruments":
		w = instruments.World{}
	case "materials":
		w = materials.World{}
	}
	site := w.Make(1001, os.Getenv("SCENARIO"))
	r := sootline.Fold(site.Entries, site.Now)
	now := years(site.Now)
	m := modelOf(context.Background(), r, now)
	n := 0
	for i := range site.Points {
		tr := &site.Points[i]
		p := m.points[m.index[r.Point(tr.Point)]]
		a := p.ahead()
		d := a.days(now)
		for k := range d {
			d[k] -= now
			if math.IsNaN(d[k]) {
				d[k] = 99
			}
		}
		leaves := years(tr.Leaves) - now
		if tr.Leaves.IsZero() {
			leaves = 10
		}
		u, dn := a.beyond(now)
		u1, d1 := a.beyond(years(site.NextVisit))
		hit := 0.0
		if tr.OutsideByNext {
			hit = 1
		}
		if os.Getenv("COV") == "brier" {
			if math.Abs(max(u, u1)+max(dn, d1)-hit) < 0.6 {
				continue
			}
		} else if tr.Outside || u+dn > 0.5 || min(d[0], 10) <= leaves && leaves <= min(10, d[2]) {
			continue
		}
		if n++; n > 25 {
			break
		}
		var sh [shapes]float64
		rate := 0.0
		for g := range a.leaves {
			sh[int(a.leaves[g].path)/nRates] += a.leaves[g].weight
			rate += a.leaves[g].weight * a.leaves[g].r
		}
		fmt.Printf("%s %s leaves %.2f said %.2f u %.2f d %.2f shapes %.2f rate %.2f", tr.Ref, p.point.Type, leaves, d, u, dn, sh, rate)
		fmt.Println(tr.Events, "next", u1, hit)
		for s := range p.tales {
			fmt.Printf("   tale %.1f %v\n", p.tales[s].total, p.tales[s].events)
		}
		for l := range p.looks {
			fmt.Printf("  %.2f: %.2f (%.2f)", p.looks[l].t-now, p.z[l], p.kin.scale.of(tr.Level(p.looks[l].at)))
		}
		fmt.Print("\n   future ")
		for _, y := range []int{0, 1, 2, 3, 4, 6, 8, 10} {
			fmt.Printf(" %.2f", p.kin.scale.of(tr.Level(site.Now.AddDate(y, 0, 0))))
		}
		fmt.Println()
	}
}
