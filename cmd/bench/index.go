package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// indexed measures what must not grow with the log of a site or the number of
// sites: finding an entry, adding a note, taking a capture from a phone, finding
// a site; each with its ratio to the smallest.
func indexed(folder, _ string) ([]row, error) {
	logs, err := grownLogs(folder)
	if err != nil {
		return nil, err
	}
	sites, err := grownSites(folder)
	return append(logs, sites...), err
}

// work is something that is done many times; the number tells the times apart.
type work struct {
	what string
	do   func(n int) error
}

// compare makes a row for each work at each size; the first size is the peer of
// the others. Each round does the work at all sizes, so that what else the machine
// does meets all of them.
func compare(sizes []int, of string, most float64, at func(size int) ([]work, error)) ([]row, error) {
	works := make([][]work, len(sizes))
	for i, size := range sizes {
		var err error
		if works[i], err = at(size); err != nil {
			return nil, err
		}
	}
	var rows []row
	for k, w := range works[0] {
		medians, err := usual(len(sizes), func(size, n int) error { return works[size][k].do(n) })
		if err != nil {
			return nil, fmt.Errorf("%s: %w", w.what, err)
		}
		for i, took := range medians {
			ratio := float64(took) / float64(medians[0])
			rows = append(rows, row{
				fmt.Sprintf("%s, %d %s", w.what, sizes[i], of), micro(took), fmt.Sprintf("%d %s: %s", sizes[0], of, micro(medians[0])),
				fmt.Sprintf("%.2f", ratio), fmt.Sprintf("at most %v", most), ratio <= most,
			})
		}
	}
	return rows, nil
}

func micro(d time.Duration) string { return fmt.Sprintf("%.3f ms", ms(d)) }

// usual does work 200 times at each size, after a few that are not counted, and
// gives the medians.
func usual(sizes int, do func(size, n int) error) ([]time.Duration, error) {
	const few, many = 10, 210
	took := make([][]time.Duration, sizes)
	for n := range many {
		for size := range sizes {
			began := time.Now()
			if err := do(size, n); err != nil {
				return nil, err
			}
			if n >= few {
				took[size] = append(took[size], time.Since(began))
			}
		}
	}
	medians := make([]time.Duration, sizes)
	for size := range sizes {
		slices.Sort(took[size])
		medians[size] = took[size][len(took[size])/2]
	}
	return medians, nil
}

// grownLogs measures on one site whose log grows.
func grownLogs(folder string) (rows []row, err error) {
	const points = 500
	var books []*store.Store
	defer func() {
		for _, book := range books {
			err = errors.Join(err, book.Close())
		}
	}()
	return compare([]int{7_000, 100_000, 500_000}, "entries", 1.5, func(size int) ([]work, error) {
		entries := historyEvery(6*365*24*time.Hour/time.Duration(size/points), points, (size-2*points)/points)
		book, site, err := filled(filepath.Join(folder, fmt.Sprintf("grown-%d.db", size)), entries)
		if book != nil {
			books = append(books, book)
		}
		return logWorks(book, site, entries), err
	})
}

func logWorks(book *store.Store, site sootline.ID, entries []sootline.Entry) []work {
	ctx := context.Background()
	a := &app.App{Book: book, Who: sootline.Actor{Name: "A. Tech", Role: sootline.Manager, Station: "desk"}, Now: time.Now, Random: chance}
	point := entries[1].Point
	served := *a
	served.Logs = app.NewLogs(app.MostLogs)
	return []work{
		{"find an entry by its id", func(n int) error {
			found, err := book.Find(ctx, site, entries[n*7919%len(entries)].ID)
			if err == nil && len(found) != 1 {
				err = fmt.Errorf("%d found", len(found))
			}
			return err
		}},
		{"add a note, once", func(n int) error {
			id := sootline.NewID(time.Now(), chance())
			_, err := a.AddEntry(ctx, site, app.Note{ID: id, Body: sootline.Note{Text: fmt.Sprint("note ", n)}})
			return err
		}},
		{"correct a note", func(n int) error {
			noted, err := a.AddEntry(ctx, site, app.Note{Body: sootline.Note{Text: fmt.Sprint("not ", n)}})
			if err != nil {
				return err
			}
			_, err = a.Correct(ctx, site, app.Amendment{Entry: noted.ID, Why: "bench"}, func(holds sootline.Entry) (sootline.Corrected, error) {
				c := app.AsItHolds(holds)
				c.Body = sootline.Note{Text: fmt.Sprint("note ", n)}
				return c, nil
			})
			return err
		}},
		{"take one capture from a phone", func(int) error {
			now := time.Now()
			handed, err := a.HandIn(ctx, site, []app.Capture{{ID: sootline.NewID(now, chance()), At: now, Point: point, Body: sootline.Tested{}}})
			if err == nil && len(handed.Kept) != 1 {
				err = fmt.Errorf("refused: %v", handed.Refused)
			}
			return err
		}},
		{"a capture, then a phone's poll of the visit", func(n int) error {
			if n == 0 {
				if err := beginVisit(ctx, &served, site, point); err != nil {
					return err
				}
			}
			now := time.Now()
			if _, err := served.HandIn(ctx, site, []app.Capture{{ID: sootline.NewID(now, chance()), At: now, Point: point, Body: sootline.Tested{}}}); err != nil {
				return err
			}
			done, err := served.VisitDone(ctx, store.SiteLine{ID: site})
			if err == nil && (done.Visit == nil || len(done.Done) < n+1) {
				err = errors.New("the poll does not tell of the capture")
			}
			return err
		}},
	}
}

// beginVisit logs that a visit to one point begins.
func beginVisit(ctx context.Context, a *app.App, site, point sootline.ID) error {
	opened := sootline.Visit{State: sootline.VisitOpened, Minutes: 240, Round: []sootline.ID{point}, Work: [][]string{{visit.Test}}}
	_, err := a.AddEntry(ctx, site, app.Note{Body: opened})
	return err
}

func chance() (r [10]byte) {
	rand.Read(r[:]) // never fails (crypto/rand)
	return r
}

// grownSites measures in books of more and more sites. A site is found in a tree,
// which grows with the logarithm of their number.
func grownSites(folder string) (rows []row, err error) {
	var books []*store.Store
	defer func() {
		for _, book := range books {
			err = errors.Join(err, book.Close())
		}
	}()
	return compare([]int{10, 1_000, 10_000}, "sites", 3, func(size int) ([]work, error) {
		book, err := store.Open(context.Background(), filepath.Join(folder, fmt.Sprintf("sites-%d.db", size)), true, nil)
		if err != nil {
			return nil, err
		}
		books = append(books, book)
		ids, err := addSites(book, size)
		a := &app.App{Book: book, Who: sootline.Actor{Name: "A. Tech", Role: sootline.Manager, Station: "desk"}, Now: time.Now, Random: chance}
		return []work{
			{"find a site by its id", func(n int) error {
				line, err := a.SiteOf(context.Background(), ids[n*7919%len(ids)])
				if err == nil && line == nil {
					err = errors.New("it is not there")
				}
				return err
			}},
			{"add a note to a site", func(n int) error {
				_, err := a.AddEntry(context.Background(), ids[n*7919%len(ids)], app.Note{ID: sootline.NewID(time.Now(), chance()), Body: sootline.Note{Text: fmt.Sprint("note ", n)}})
				return err
			}},
		}, err
	})
}

// addSites adds sites, each with one entry.
func addSites(book *store.Store, size int) (ids []sootline.ID, err error) {
	err = book.Write(context.Background(), func(tx *store.Tx) error {
		for n := range size {
			id := sootline.NewID(epoch, chance())
			name := fmt.Sprint("Works ", n)
			opened := sootline.Entry{ID: sootline.NewID(epoch, chance()), Site: id, At: epoch, Noted: epoch, Station: "bench", Body: sootline.Opened{Name: name}}
			if err := tx.PutSite(id, name); err != nil {
				return err
			}
			if err := tx.Append(id, "bench", func(w *store.Writer) error { return w.Add(opened) }); err != nil {
				return err
			}
			ids = append(ids, id)
		}
		return nil
	})
	return ids, err
}
