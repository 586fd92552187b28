package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"sootline"
	"sootline/internal/pgserver"
	"sootline/internal/store"
)

const (
	// commitWriters write at once, each an entry a commit, to a site of its own.
	commitWriters = 12
	// commitTime is how long they do.
	commitTime = 5 * time.Second
	// leastCommits is how many a second PostgreSQL must take of them.
	leastCommits = 700
)

// committed is what came of writing.
type committed struct {
	rate float64       // a second
	p95  time.Duration // of one
}

// commits measures how many entries a second a book takes, one a commit: in PostgreSQL, on a
// server of its own that keeps its promise to the disk, beside a file, in the same run.
func commits(folder, _ string) ([]row, error) {
	server, err := pgserver.Start()
	if err != nil {
		return nil, err
	}
	file, err := committing(filepath.Join(folder, "commits.db"), false)
	if err != nil {
		return nil, err
	}
	own, err := committing(server, false)
	if err != nil {
		return nil, err
	}
	one, err := committing(server+"&search_path=one", true)
	if err != nil {
		return nil, err
	}
	say := func(c committed) string {
		return fmt.Sprintf("%.0f/s, p95 %.0f ms", c.rate, float64(c.p95.Microseconds())/1000)
	}
	ratio := func(c committed) string { return fmt.Sprintf("%.2f", c.rate/file.rate) }
	return []row{
		{"12 writers, an entry a commit, PostgreSQL", say(own), "SQLite: " + say(file), ratio(own), fmt.Sprintf("at least %d/s", leastCommits), own.rate >= leastCommits},
		{"the same to one site", say(one), "SQLite: " + say(file), ratio(one), "published", true},
	}, nil
}

// committing writes to a new book for a while: each writer to a site of its own, or all to one.
func committing(name string, oneSite bool) (c committed, err error) {
	ctx := context.Background()
	book, err := store.Open(ctx, name, true, nil)
	if err != nil {
		return c, err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	sites, err := addSites(book, commitWriters)
	if err != nil {
		return c, err
	}
	took, faults := make([][]time.Duration, commitWriters), make([]error, commitWriters)
	began := time.Now()
	var writers sync.WaitGroup
	for i := range commitWriters {
		site := sites[i]
		if oneSite {
			site = sites[0]
		}
		writers.Go(func() { took[i], faults[i] = commitFor(ctx, book, site, fmt.Sprint("desk-", i)) })
	}
	writers.Wait()
	all := slices.Sorted(slices.Values(slices.Concat(took...)))
	if err := errors.Join(faults...); err != nil || len(all) == 0 {
		return c, err
	}
	return committed{float64(len(all)) / time.Since(began).Seconds(), all[len(all)*95/100]}, nil
}

func commitFor(ctx context.Context, book *store.Store, site sootline.ID, station string) (took []time.Duration, err error) {
	for began := time.Now(); time.Since(began) < commitTime; {
		now := time.Now()
		at := sootline.Instant(now)
		e := sootline.Entry{ID: sootline.NewID(now, chance()), Site: site, At: at, Noted: at, By: "A. Tech", Body: sootline.Note{Text: "Looked at."}}
		err := book.WriteTo(ctx, site, func(tx *store.Tx) error {
			return tx.Append(site, station, func(w *store.Writer) error { return w.Add(e) })
		})
		if err != nil {
			return nil, err
		}
		took = append(took, time.Since(now))
	}
	return took, nil
}
