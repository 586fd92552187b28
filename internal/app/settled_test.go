package app

import (
	"context"
	"path/filepath"
	"sync"
	"testing"

	"sootline"
	"sootline/internal/store"
)

// beside gives another user of a book, by a connection of its own: another process.
func beside(t *testing.T, a *App, station string) *App {
	t.Helper()
	book, err := store.Open(t.Context(), a.Book.Path(), false, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	b := *a
	b.Book, b.Who.Station = book, station
	return &b
}

// byEight lets several do the same at once, through two open books of one file,
// and wants one of them to succeed and the others to be told of a conflict.
func byEight(t *testing.T, a *App, do func(a *App) error) {
	t.Helper()
	apps := []*App{a, beside(t, a, "desk")}
	var all sync.WaitGroup
	done := make(chan error, 8)
	for i := range cap(done) {
		all.Go(func() { done <- do(apps[i%2]) })
	}
	all.Wait()
	close(done)
	succeeded := 0
	for err := range done {
		if err == nil {
			succeeded++
		} else if sootline.ErrorCode(err) != sootline.Conflict {
			t.Error(err)
		}
	}
	if succeeded != 1 {
		t.Errorf("%d succeeded, want 1", succeeded)
	}
}

func TestOneSiteOfAName(t *testing.T) {
	a := newApp(t, "laptop")
	byEight(t, a, func(a *App) error {
		_, err := a.AddSite(context.Background(), NewSite{Name: "Works"})
		return err
	})
	if sites, err := a.Sites(t.Context()); err != nil || len(sites) != 1 {
		t.Errorf("the book has %d sites, %v", len(sites), err)
	}
}

func TestRenamedSiteTakesNoOthersName(t *testing.T) {
	a := newApp(t, "laptop")
	var ids []sootline.ID
	for _, name := range []string{"Works", "Mill"} {
		id, err := a.AddSite(t.Context(), NewSite{Name: name})
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, id)
	}
	if err := a.SetFacts(t.Context(), ids[1], sootline.Opened{Name: " works"}); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("Mill is called Works too: %v", err)
	}
	if err := a.SetFacts(t.Context(), ids[1], sootline.Opened{Name: "MILL"}); err != nil {
		t.Errorf("its own name, spelled otherwise: %v", err)
	}
}

func TestOneVisitOpens(t *testing.T) {
	a := newApp(t, "laptop")
	id := addSite(t, a)
	folder := files(t, map[string]string{"schedule.csv": schedule})
	take(t, a, id, filepath.Join(folder, "schedule.csv"))
	site, err := a.Site(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	byEight(t, a, func(a *App) error {
		_, err := a.OpenVisit(context.Background(), site, Opening{
			VisitWish: VisitWish{On: today, Minutes: 240}, Confirmed: []string{"responsible", "monitoring", "outputs", "disabled"},
		})
		return err
	})
	if _, visits, err := a.Visits(t.Context(), site); err != nil || len(visits) != 1 {
		t.Errorf("%d visits, %v", len(visits), err)
	}
}

// A sheet handed in by several at once is written once.
func TestOneSheet(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	b := beside(t, a, "desk")
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			if err := []*App{a, b}[i%2].SetSheet(context.Background(), site, sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke}); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	sheets := 0
	for _, err := range a.Book.LinesOfKinds(t.Context(), site, sootline.SheetKind) {
		if err != nil {
			t.Fatal(err)
		}
		sheets++
	}
	if sheets != 1 {
		t.Errorf("%d sheets, want 1", sheets)
	}
}
