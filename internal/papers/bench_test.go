package papers

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/bench"
	"sootline/internal/paper"
)

// The record of a run says what the log says: number, serial, value, verdict, by whom;
// what is rejected and left; and its labels come in the order of the run.
func TestBenchPaper(t *testing.T) {
	a := newApp(t, "laptop")
	id := paperSite(t, a)
	ctx := context.Background()
	site, err := a.Site(ctx, "")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.OpenBench(ctx, site, app.BenchOpening{Name: "first floor", All: true, Places: []string{"1.1.003", "1.1.002", "1.1.001"}}); err != nil {
		t.Fatal(err)
	}
	set := func(place, serial string, number int, samples ...float64) {
		t.Helper()
		b, err := a.Bench(ctx, site, "")
		if err != nil {
			t.Fatal(err)
		}
		p, err := b.PlaceNamed(place)
		if err != nil {
			t.Fatal(err)
		}
		g := app.BenchGiven{Sure: true, Given: bench.Given{Point: p.Point.ID, Unit: sootline.Unit{Serial: serial}, Read: number, Samples: samples}}
		if _, err := a.BenchDone(ctx, site, "", g); err != nil {
			t.Fatal(err)
		}
	}
	set("1.1.003", "C3", 3)
	set("1.1.002", "C2", 2, 30, 31, 30)
	if err := a.BenchReject(ctx, site, "", "", sootline.BoxDevice{Unit: sootline.Unit{Serial: "C9"}}, "cracked"); err != nil {
		t.Fatal(err)
	}
	d := makePaper(t, a, id, Wish{Kind: "bench", On: today.Add(time.Hour)})
	text := fmt.Sprint(d.Parts)
	for _, want := range []string{"first floor", "still open", "3, of which 2 have their device", "C2", "20..40", "inside", "C9", "cracked", "1.1.001 has no device yet"} {
		if !strings.Contains(text, want) {
			t.Errorf("the paper does not say %q", want)
		}
	}
	rows := d.Parts[0].Blocks[1].(paper.Table).Rows
	if len(rows) != 2 || fmt.Sprint(rows[0][0]) != fmt.Sprint(paper.Text("1.1.003")) || fmt.Sprint(rows[1][5]) != fmt.Sprint(paper.Number(30, -1)) {
		t.Errorf("the devices: %v", rows)
	}
	p := &paperwork{ctx: ctx, wish: Wish{Bench: "first floor", On: today.Add(time.Hour)}, r: mustRegister(t, a, id)}
	points, without, err := p.labelled()
	if err != nil || len(points) != 2 || without != 1 || points[0].Ref().Number != 3 || points[1].Ref().Number != 2 {
		t.Errorf("labels of %v, %d without, %v", points, without, err)
	}
	var out bytes.Buffer
	if n, err := Labels(ctx, a, id, LabelWish{Paper: p.wish, Sheet: "roll62x29"}, &out); err != nil || n != (Labelled{2, 1}) || bytes.Count(out.Bytes(), []byte("/Type /Page\n")) != 2 {
		t.Errorf("%v labels on %d pages, %v", n, bytes.Count(out.Bytes(), []byte("/Type /Page\n")), err)
	}
	if _, err := Make(ctx, a, id, Wish{Kind: "bench", Bench: "nosuch", On: today}); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("a run that there is not: %v", err)
	}
}

func mustRegister(t *testing.T, a *app.App, site sootline.ID) *sootline.Register {
	t.Helper()
	r, err := a.Register(context.Background(), site, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A label says which device it is for: serial, area and floor; and every number of a
// device that takes several.
func TestLabelWords(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv":    "name,kind,numbers,low,high,settings\nFenn,output module,4,,,address=electronic\nPull,call point,1,,,\n",
		"schedule.csv": "loop,address,type,area,floor,location,serial,zone\n1,1,Fenn,North wing,2,Riser,F77,3\n1,9,Pull,Hall,,Hall,,\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"))
	take(t, a, site, filepath.Join(folder, "schedule.csv"))
	r := mustRegister(t, a, site)
	want := [][]string{
		{"1.1.001 to 004", "Riser", "Fenn, serial F77", "North wing, floor 2, zone 3", r.Site.Name},
		{"1.1.009", "Hall", "Pull", r.Site.Name},
	}
	for i, p := range r.Points() {
		if got := append([]string{labelNumber(r, p)}, labelLines(r, p)...); !slices.Equal(got, want[i]) {
			t.Errorf("label %q, want %q", got, want[i])
		}
	}
}
