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

func TestQDebug(t *testing.T) {
	if os.Getenv("QD") == "" {
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
		a := Assess(r, site.Now)
		truth := map[sootline.ID]*levels.Truth{}
		for i := range site.Points {
			truth[site.Points[i].Point] = &site.Points[i]
		}
		for _, q := range a.Questions {
			if os.Getenv("QD") != string(q.Kind) && os.Getenv("QD") != "all" {
				continue
			}
			p := a.judge.model.points[a.judge.model.index[q.Points[0]]]
			tr := truth[q.Points[0].ID]
			fmt.Printf("%s %s %.2f %s %.2f..%.2f n=%d noise %.3f rest %.2f q %.3f\n   ", sc, q.Kind, q.Chance, q.Points[0].Ref(), years(q.From)-years(site.Now), years(q.To)-years(site.Now), len(q.Points), p.kin.noise, p.kin.rest, p.kin.quantum)
			for _, e := range tr.Events {
				fmt.Printf(" [%s %.2f %v]", e.Kind, years(e.Day)-years(site.Now), e.Noted)
			}
			fmt.Print("\n   ")
			for c := range p.cuts {
				fmt.Printf(" cut %.2f %v", p.cuts[c].t-years(site.Now), p.cuts[c].cleaned)
			}
			for l := range p.looks {
				fmt.Printf("  %.2f: %.2f (%.2f)", p.looks[l].t-years(site.Now), p.z[l], p.kin.scale.of(tr.Level(p.looks[l].at)))
			}
			fmt.Println()
		}
	}
}
