package judge

import (
	"context"
	"fmt"
	"math"
	"os"
	"sort"
	"testing"

	"sootline"
	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/ducts"
	"sootline/internal/worlds/levels/instruments"
	"sootline/internal/worlds/levels/materials"
)

func TestBest(t *testing.T) {
	if os.Getenv("BEST") == "" {
		t.Skip()
	}
	w := ducts.World{}
	all := levels.Total(nil)
	for _, s := range w.Scenarios() {
		site := w.Make(1001, s)
		r := levels.Score(&site, w.Foreseen(1001, s, 60))
		fmt.Printf("%s %d r %.3f p %.3f b %.4f cov %.3f w %.2f\n", s, r.Points, r.All.Recall(), r.All.Precision(), r.All.Brier(), r.All.Coverage(), r.All.Width())
		all.Add(r)
	}
	r := all
	fmt.Printf("%s %d r %.3f p %.3f b %.4f cov %.3f w %.2f\n", "all", r.Points, r.All.Recall(), r.All.Precision(), r.All.Brier(), r.All.Coverage(), r.All.Width())
}

func TestDiag(t *testing.T) {
	if os.Getenv("DIAG") == "" {
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
	for _, k := range m.kins {
		fmt.Printf("kin %v n=%d noise %.3f (usual %.3f) q %.3f rest %.2f±%.2f lump %.3f pace %.3f\n", k.sheet.Name, len(k.members), math.Sqrt(k.noise), k.usual, k.quantum, k.rest, math.Sqrt(k.restVar), k.lump, k.pace)
		var byRate [nRates]float64
		var byShape [shapes]float64
		for p, w := range k.w {
			byRate[p%nRates] += w
			byShape[p/nRates] += w
		}
		fmt.Printf("   rates %.3f\n   shapes %.3f\n", byRate, byShape)
		var errs, zs, slopes, tslopes []float64
		for _, p := range k.members {
			for i := range site.Points {
				tr := &site.Points[i]
				if tr.Point != p.point.ID || len(p.looks) == 0 {
					continue
				}
				a := p.ahead()
				x, v, x1 := 0.0, 0.0, 0.0
				for g := range a.leaves {
					gx, gv := a.leaves[g].at(now, k)
					x += a.leaves[g].weight * gx
					v += a.leaves[g].weight * (gv + gx*gx)
					gx, _ = a.leaves[g].at(now+1, k)
					x1 += a.leaves[g].weight * gx
				}
				v -= x * x
				z := k.scale.of(tr.Level(site.Now))
				errs = append(errs, x-z)
				zs = append(zs, (x-z)/math.Sqrt(v))
				slopes = append(slopes, x1-x)
				tslopes = append(tslopes, k.scale.of(tr.Level(site.Now.AddDate(1, 0, 0)))-z)
			}
		}
		q := func(x []float64) string {
			if len(x) == 0 {
				return ""
			}
			sort.Float64s(x)
			return fmt.Sprintf("%.2f %.2f %.2f %.2f %.2f", x[len(x)/20], x[len(x)/4], x[len(x)/2], x[len(x)*3/4], x[len(x)*19/20])
		}
		fmt.Println("   err", q(errs), " z", q(zs), " slope", q(slopes), " true", q(tslopes))
	}
	for i := range site.Points {
		tr := &site.Points[i]
		if i%max(1, len(site.Points)/12) != 0 {
			continue
		}
		p := m.points[m.index[r.Point(tr.Point)]]
		a := p.ahead()
		u, d := a.beyond(now)
		u1, _ := a.beyond(now + 0.5)
		fmt.Printf("%s %s u %.2f d %.2f next %.2f truth now %v next %v leaves %v\n", tr.Ref, p.point.Type, u, d, u1, tr.Outside, tr.OutsideByNext, tr.Leaves)
		for c := range p.cuts {
			fmt.Printf("  [%.2f %v %d]", p.cuts[c].t-now, p.cuts[c].cleaned, p.after[c])
		}
		fmt.Println(tr.Events)
		for l := range p.looks {
			fmt.Printf("  %.2f: y %g z %.2f (true %.2f)", p.looks[l].t-now, p.looks[l].y, p.z[l], p.kin.scale.of(tr.Level(p.looks[l].at)))
		}
		fmt.Println()
		for s := range p.tales {
			fmt.Printf("   tale %.2f %+v leaves %d\n", p.tales[s].total, p.tales[s].events, len(p.tales[s].leaves))
		}
	}
}
