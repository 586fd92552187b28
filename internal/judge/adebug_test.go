package judge

import (
	"fmt"
	"os"
	"testing"

	"sootline"
	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/ducts"
	"sootline/internal/worlds/levels/instruments"
	"sootline/internal/worlds/levels/materials"
)

func TestADebug(t *testing.T) {
	if os.Getenv("AD") == "" {
		t.Skip()
	}
	var w levels.World = ducts.World{}
	switch os.Getenv("WORLD") {
	case "instruments":
		w = instruments.World{}
	case "materials":
		w = materials.World{}
	}
	for _, sc := range w.Scenarios() {
		site := w.Make(1001, sc)
		r := sootline.Fold(site.Entries, site.Now)
		a, _ := AssessUntil(t.Context(), r, site.Now, site.NextVisit)
		truth := map[sootline.ID]*levels.Truth{}
		for i := range site.Points {
			truth[site.Points[i].Point] = &site.Points[i]
		}
		for i := range a.Judgements {
			j := &a.Judgements[i]
			tr := truth[j.Point.ID]
			if tr == nil || string(j.Action) != os.Getenv("AD") || tr.Wants != os.Getenv("WANTS") {
				continue
			}
			fmt.Printf("%s %s %v: healthy %v now %v next %v %q\n    ", sc, j.Point.Ref(), tr.Events, tr.Healthy, tr.Outside, tr.OutsideByNext, j.Reasons)
			p := a.judge.model.points[a.judge.model.index[j.Point]]
			for l := range p.looks {
				fmt.Printf("  %.2f: %.2f (%.2f)", p.looks[l].t-years(site.Now), p.z[l], p.kin.scale.of(tr.Level(p.looks[l].at)))
			}
			fmt.Printf(" now %.2f next %.2f\n", p.kin.scale.of(tr.Level(site.Now)), p.kin.scale.of(tr.Level(site.NextVisit)))
		}
	}
}
