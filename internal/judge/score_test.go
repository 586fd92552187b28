package judge

import (
	"context"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/ducts"
	"sootline/internal/worlds/levels/instruments"
	"sootline/internal/worlds/levels/materials"
)

var threshold = 0.45

func answers(entries []sootline.Entry, now, next time.Time) []levels.Answer {
	r := sootline.Fold(entries, now)
	m := modelOf(context.Background(), r, years(now))
	j := &Judge{on: now}
	var all []levels.Answer
	for i, p := range r.Points() {
		q := m.points[i]
		if p.Type == "" {
			continue
		}
		a := levels.Answer{Point: p.ID, Chance: levels.Unstated(), Action: levels.Leave}
		h := q.ahead()
		u0, d0 := h.beyond(years(now))
		u1, d1 := h.beyond(years(next))
		a.Chance = min(1, max(u0, u1)+max(d0, d1))
		a.Outside = a.Chance > threshold
		if u0+d0 < 0.5 {
			days := h.days(years(now))
			at := func(t float64) time.Time {
				if math.IsNaN(t) {
					return now.AddDate(60, 0, 0)
				}
				return j.instant(t)
			}
			a.Earliest, a.Likely, a.Latest = at(days[0]), at(days[1]), at(days[2])
			if math.IsNaN(days[2]) {
				a.Latest = time.Time{}
			}
		}
		all = append(all, a)
	}
	return all
}

func TestWorldScores(t *testing.T) {
	if os.Getenv("SEEDS") == "" {
		t.Skip()
	}
	seeds, _ := strconv.Atoi(os.Getenv("SEEDS"))
	for _, w := range []levels.World{ducts.World{}, instruments.World{}, materials.World{}} {
		if only := os.Getenv("WORLD"); only != "" && only != w.Name() {
			continue
		}
		var all []levels.Scored
		for _, s := range w.Scenarios() {
			if only := os.Getenv("SCENARIO"); only != "" && only != s {
				continue
			}
			total := levels.Scored{Scenario: s, Result: levels.Total(nil)}
			for seed := range seeds {
				site := w.Make(uint64(1001+seed), s)
				total.Result.Add(levels.Score(&site, answers(site.Entries, site.Now, site.NextVisit)))
			}
			all = append(all, total)
		}
		var b strings.Builder
		levels.Report(&b, w.Name(), all)
		fmt.Println(b.String())
	}
}
