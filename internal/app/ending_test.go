package app

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/store"
)

// soon is a context that ends when it has been asked so often whether it has: work
// that never asks is never ended, on a machine of any speed.
type soon struct {
	context.Context
	left chan struct{}
	done chan struct{}
}

func endsAfter(asked int) *soon {
	s := &soon{context.Background(), make(chan struct{}, asked), make(chan struct{})}
	for range asked {
		s.left <- struct{}{}
	}
	return s
}

func (s *soon) Err() error {
	select {
	case <-s.left:
		return nil
	default:
		return context.Canceled
	}
}

// Done never fires: what is tried here is work that asks, not statements of SQL.
func (s *soon) Done() <-chan struct{} { return s.done }

// TestWorkEnds: what runs long asks now and then whether somebody still waits, ends
// when nobody does, and writes nothing.
func TestWorkEnds(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := t.TempDir()
	rows := func(name, head string, n int, row func(i int) string) string {
		var b strings.Builder
		b.WriteString(head + "\n")
		for i := range n {
			b.WriteString(row(i) + "\n")
		}
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	take(t, a, site, rows("types.csv", "name,kind,low,high", 1, func(int) string { return "Larch,optical smoke,20,40" }),
		rows("schedule.csv", "panel,loop,address,type,location", 120, func(i int) string { return fmt.Sprintf("1,1,%d,Larch,Room %d", i+1, i) }))
	readings := rows("readings.csv", "point,date,value", 60_000, func(i int) string {
		return fmt.Sprintf("1.1.%03d,2025-%02d-%02d %02d:%02d,%d", i%120+1, i/5000%12+1, i/180%28+1, i/60%24, i%60, 24+i%5)
	})
	found := rows("found.csv", "address", 90, func(i int) string { return fmt.Sprint(i*7%126 + 1) })
	var export strings.Builder
	if _, err := a.Export(context.Background(), site, &export); err != nil {
		t.Fatal(err)
	}
	in, err := a.Look(context.Background(), site, []string{readings}, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	loop := register(t, a, site).Points()[0].LoopID()
	before := len(entriesOf(t, a, site))
	line := store.SiteLine{ID: site, Name: "Site"}
	for name, work := range map[string]func(context.Context) error{
		"look":    func(ctx context.Context) error { _, err := a.Look(ctx, site, []string{readings}, nil); return err },
		"preview": func(ctx context.Context) error { _, err := a.Preview(ctx, site, in, TakeOptions{}); return err },
		"take":    func(ctx context.Context) error { _, err := a.Take(ctx, site, in, TakeOptions{}); return err },
		"import": func(ctx context.Context) error {
			_, err := a.Import(ctx, strings.NewReader(export.String()))
			return err
		},
		"explain": func(ctx context.Context) error { _, err := a.ExplainFound(ctx, site, loop, found); return err },
		"judge": func(ctx context.Context) error {
			_, err := judge.AssessUntil(ctx, register(t, a, site), a.Now(), time.Time{})
			return err
		},
		"plan": func(ctx context.Context) error {
			_, err := a.PlanNumbers(ctx, site, "", NumberStyle{By: "cable"})
			return err
		},
		"order": func(ctx context.Context) error { _, err := a.OrderNumbers(ctx, site, ""); return err },
		"visit": func(ctx context.Context) error {
			_, err := a.PlanVisit(ctx, line, VisitWish{On: a.Now(), Minutes: 60})
			return err
		},
	} {
		t.Run(name, func(t *testing.T) {
			for _, asked := range []int{0, 1} {
				if err := work(endsAfter(asked)); !errors.Is(err, context.Canceled) {
					t.Errorf("ended when asked for the %d. time, it gives: %v", asked+1, err)
				}
			}
			if now := len(entriesOf(t, a, site)); now != before {
				t.Errorf("%d entries were written", now-before)
			}
		})
	}
}

// TestHandInEnds: captures of a request that is over are not written.
func TestHandInEnds(t *testing.T) {
	a := newApp(t, "phone")
	site := addSite(t, a)
	before := len(entriesOf(t, a, site))
	ctx, stop := context.WithCancel(context.Background())
	body := sootline.Note{Text: "late"}
	asked := *a
	asked.Now = func() time.Time { stop(); return a.Now() } // the request ends while its entries are made
	if _, err := asked.HandIn(ctx, site, []Capture{{ID: sootline.NewID(a.Now(), a.Random()), At: a.Now(), Body: body}}); err == nil {
		t.Error("a hand-in whose request was over is acknowledged")
	}
	if now := len(entriesOf(t, a, site)); now != before {
		t.Errorf("%d entries were written", now-before)
	}
}

// TestLatch: what ended early is begun anew by the next who asks; who waits for
// another goes when their own request is over.
func TestLatch(t *testing.T) {
	l := newLatch[int]()
	n := 0
	produce := func(ctx context.Context) (int, error) { n++; return n, ctx.Err() }
	over, stop := context.WithCancel(context.Background())
	stop()
	if _, err := (latch[int]{make(chan *int)}).get(over, produce); !errors.Is(err, context.Canceled) {
		t.Errorf("who waits in vain gets: %v", err)
	}
	if _, err := l.get(endsAfter(0), produce); !errors.Is(err, context.Canceled) {
		t.Errorf("what ended early gives: %v", err)
	}
	for range 2 {
		if got, err := l.get(context.Background(), produce); got != 2 || err != nil {
			t.Errorf("the next gets %d, %v", got, err)
		}
	}
}

func entriesOf(t *testing.T, a *App, site sootline.ID) []sootline.Entry {
	t.Helper()
	entries, err := a.Book.Entries(context.Background(), site)
	if err != nil {
		t.Fatal(err)
	}
	return entries
}
