package app

import (
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/check"
)

// Two books correct one reading otherwise: after the import a finding says so, with
// both words, until somebody who has both amends it again.
func TestDisputedCorrectionIsFound(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	take(t, a, site, files(t, map[string]string{"schedule.csv": schedule})+"/schedule.csv")
	e, err := a.AddEntry(t.Context(), site, Note{Point: "1.1.001", Body: sootline.Read{Samples: []float64{250}}})
	if err != nil {
		t.Fatal(err)
	}
	hour := 0
	clock := func() time.Time { return today.Add(time.Duration(hour) * time.Hour) }
	b := newApp(t, "tablet")
	a.Now, b.Now = clock, clock
	b.Who.Name = "B. Tech"
	exchange := func(from, to *App) { hour++; mustImport(t, to, exported(t, from, site)) }
	correct := func(a *App, value float64) {
		t.Helper()
		hour++
		if err := correctTo(a, t, site, e.ID, sootline.Read{Samples: []float64{value}}); err != nil {
			t.Fatal(err)
		}
	}
	found := func(a *App, want int) string {
		t.Helper()
		_, findings, err := a.Check(t.Context(), site, clock())
		if err != nil {
			t.Fatal(err)
		}
		n, reason := 0, ""
		for _, f := range findings {
			if f.Code == check.Disputed {
				n, reason = n+1, f.Reason
			}
		}
		if n != want {
			t.Errorf("%d findings of a dispute, want %d: %s", n, want, reason)
		}
		return reason
	}
	exchange(a, b)
	correct(a, 25)
	correct(b, 26)
	found(a, 0)
	exchange(b, a)
	if reason := found(a, 1); !strings.Contains(reason, "A. Tech on 2026-01-20 to read 25; B. Tech on 2026-01-20 to read 26, which holds") {
		t.Errorf("the finding says: %s", reason)
	}
	exchange(a, b)
	found(b, 1)
	correct(b, 25) // knows both
	found(b, 0)
	correct(b, 24)
	exchange(b, a)
	found(a, 0)
	correct(a, 23) // knows what it changes
	found(a, 0)
}

func TestCorrectionsThatAgreeAreNoDispute(t *testing.T) {
	a, b := newApp(t, "laptop"), newApp(t, "tablet")
	site := addSite(t, a)
	first := opening(t, a, site)
	mustImport(t, b, exported(t, a, site))
	for i, book := range []*App{a, b} {
		book.Now = func() time.Time { return today.Add(time.Duration(i+1) * time.Hour) }
		if err := correctTo(book, t, site, first, sootline.Opened{Name: "Works", Zone: "Europe/Rome"}); err != nil {
			t.Fatal(err)
		}
	}
	mustImport(t, a, exported(t, b, site))
	if r := register(t, a, site); len(r.Disputes()) != 0 {
		t.Errorf("%d disputes of two corrections that say the same", len(r.Disputes()))
	}
}
