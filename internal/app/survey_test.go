package app

import (
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sootline"
)

// A site looked at again after a few more entries is judged as if it were looked
// at for the first time.
func TestJudgedAgainIsJudgedAlike(t *testing.T) {
	ctx := context.Background()
	a := newApp(t, "laptop")
	a.Logs = NewLogs(MostLogs)
	site := addSite(t, a)
	folder := files(t, longReadings(20, 40))
	for _, name := range []string{"types.csv", "schedule.csv", "readings.csv"} {
		take(t, a, site, filepath.Join(folder, name))
	}
	rng := rand.New(rand.NewPCG(7, 7))
	for n := range 6 {
		again, err := a.Survey(ctx, site, today)
		if err != nil {
			t.Fatal(err)
		}
		first := *a
		first.Logs = nil
		fresh, err := first.Survey(ctx, site, today)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := verdictsOf(again), verdictsOf(fresh); got != want {
			t.Fatalf("look %d: %s", n, cmp.Diff(want, got))
		}
		if len(again.Judged().Judgements) != 20 {
			t.Fatalf("%d points are judged", len(again.Judged().Judgements))
		}
		ref := fmt.Sprintf("1.%03d", 1+rng.IntN(20))
		body := sootline.Body(sootline.Read{Samples: []float64{24 + 3*rng.NormFloat64()}})
		if n == 3 {
			body = sootline.Cleaned{}
		}
		if _, err := a.AddEntry(ctx, site, Note{At: today.Add(-time.Hour), Point: ref, Body: body}); err != nil {
			t.Fatal(err)
		}
	}
}

func verdictsOf(s *Survey) string {
	var b strings.Builder
	for i := range s.Judged().Judgements {
		j := &s.Judged().Judgements[i]
		fmt.Fprintln(&b, j.Point.Ref(), j.Verdict, j.Action, j.Value, j.LeavesLikely, strings.Join(j.Reasons, "; "))
		if j.Margin != nil && j.ChanceOutside != nil {
			fmt.Fprintln(&b, *j.Margin, *j.ChanceOutside)
		}
	}
	fmt.Fprintln(&b, s.Judged().Overview.Reason, len(s.Asked()))
	return b.String()
}

// longReadings is a schedule and a table of readings, a column a look.
func longReadings(points, looks int) map[string]string {
	rng := rand.New(rand.NewPCG(1, 1))
	var schedule, readings strings.Builder
	schedule.WriteString("loop,address,type,area,location,fitted on\n")
	readings.WriteString("point")
	for n := range looks {
		fmt.Fprint(&readings, ",", today.AddDate(0, 0, 40*(n-looks)).Format(time.DateOnly))
	}
	for i := range points {
		fmt.Fprintf(&schedule, "1,%d,Larch,Area %d,Room %d,2015-01-10\n", i+1, i/5, i)
		fmt.Fprintf(&readings, "\n1.%03d", i+1)
		for n := range looks {
			fmt.Fprintf(&readings, ",%.0f", 22+float64(i%4)*0.05*float64(n)+2*rng.NormFloat64())
		}
	}
	readings.WriteString("\n")
	return map[string]string{"types.csv": "type,kind,low,high\nLarch,smoke,18,36\n", "schedule.csv": schedule.String(), "readings.csv": readings.String()}
}
