package main

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/pgserver"
	"sootline/internal/store"
)

const (
	// drawnFrom is from how many sites on heads are drawn and not made of logs, which would
	// take an hour to write.
	drawnFrom = 100_000
	// mostToday is how long Today may take at a hundred thousand sites.
	mostToday = 100 * time.Millisecond
	// mostGrown is how much longer a site's page may take in a book of ten thousand sites than of ten.
	mostGrown = 1.2
)

const sqliteName, postgresName = "SQLite", "PostgreSQL"

// listed is a server over so many sites, and the medians of what its pages took.
type listed struct {
	sites             int
	server            *served
	page              string // of one site
	today, find, site time.Duration
	made              float64 // heads made of logs, a second; 0: they were drawn
}

// headed measures pages that list sites, and a page of one site, in books of more and more
// sites, on both databases. The servers of one database run at once and are asked in turn, so
// that what else the machine does falls on all alike.
func headed(folder, binary string) (rows []row, err error) {
	server, err := pgserver.Start()
	if err != nil {
		return nil, err
	}
	for _, database := range []string{sqliteName, postgresName} {
		var all []*listed
		for _, sites := range []int{10, 1_000, 10_000, 100_000} {
			name := filepath.Join(folder, fmt.Sprintf("heads-%d.db", sites))
			if database == postgresName {
				name = server + fmt.Sprintf("&search_path=heads_%d", sites)
			}
			at, err := listedAt(folder, binary, name, sites)
			if err != nil {
				return nil, err
			}
			defer at.server.stop()
			all = append(all, at)
		}
		if err := askInTurn(all); err != nil {
			return nil, err
		}
		for _, at := range all {
			rows = append(rows, headRows(database, all[0], at)...)
		}
	}
	return rows, nil
}

func headRows(database string, first, got *listed) []row {
	at := fmt.Sprintf(", %d sites, %s", got.sites, database)
	grown := func(of, from time.Duration) string { return fmt.Sprintf("%.2f", float64(of)/float64(from)) }
	line := func(what string, took, from time.Duration) row {
		return row{what + at, fmt.Sprintf("%.1f ms", ms(took)), fmt.Sprintf("10 sites: %.1f ms", ms(from)), grown(took, from), "published", true}
	}
	today, find, site := line("Today", got.today, first.today), line("search for a site", got.find, first.find), line("a site's page", got.site, first.site)
	switch got.sites {
	case 100_000:
		today.claim, today.holds = "less than 100 ms", got.today < mostToday
	case 10_000:
		site.claim, site.holds = "at most 1.2 times", float64(got.site) <= mostGrown*float64(first.site)
	}
	rows := []row{today, find, site}
	if got.made > 0 {
		rows = append(rows, row{"heads made anew" + at, fmt.Sprintf("%.0f/s", got.made), "", "", "published", true})
	}
	return rows
}

// listedAt fills a book with so many sites, and serves it.
func listedAt(folder, binary, name string, sites int) (*listed, error) {
	at := &listed{sites: sites}
	book, site, err := filled(name, historyEvery(30*24*time.Hour, 100, 70))
	if err != nil {
		return nil, err
	}
	at.page = "/site/" + site.String()
	at.made, err = fillHeads(book, sites)
	if err := errors.Join(err, book.Close()); err != nil {
		return nil, err
	}
	if strings.HasPrefix(name, "postgres") {
		if err := tidied(name); err != nil {
			return nil, err
		}
	}
	at.server, err = serveBook(folder, binary, name)
	return at, err
}

// tidied has PostgreSQL do at once what it does by itself a while after much was written.
func tidied(name string) (err error) {
	db, err := sql.Open("pgx", name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	_, err = db.Exec("VACUUM ANALYZE")
	return err
}

// askInTurn asks each server for each page, in turn, and keeps the medians.
func askInTurn(all []*listed) error {
	const rounds, warm = 31, 4
	for _, page := range []struct {
		address func(*listed) string
		median  func(*listed) *time.Duration
	}{
		{func(*listed) string { return "/" }, func(l *listed) *time.Duration { return &l.today }},
		{func(*listed) string { return "/find?q=works+000003" }, func(l *listed) *time.Duration { return &l.find }},
		{func(l *listed) string { return l.page }, func(l *listed) *time.Duration { return &l.site }},
	} {
		took := make([][]time.Duration, len(all))
		for n := range rounds {
			for i, at := range all {
				began := time.Now()
				if _, err := fetch(http.DefaultClient, at.server.address+page.address(at)); err != nil {
					return err
				}
				if n >= warm {
					took[i] = append(took[i], time.Since(began))
				}
			}
		}
		for i, at := range all {
			slices.Sort(took[i])
			*page.median(at) = took[i][len(took[i])/2]
		}
	}
	return nil
}

// fillHeads adds sites to a book of one, with small logs of which heads are made, or with
// drawn heads.
func fillHeads(book *store.Store, sites int) (rate float64, err error) {
	ctx := context.Background()
	const atOnce = 500
	for from := 1; from < sites; from += atOnce {
		err := book.Write(ctx, func(tx *store.Tx) error {
			for n := from; n < min(sites, from+atOnce); n++ {
				if err := addDrawn(tx, n, sites < drawnFrom); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return 0, err
		}
	}
	if sites >= drawnFrom {
		return 0, drawHeads(ctx, book)
	}
	a := &app.App{Book: book, Who: sootline.Actor{Role: sootline.Manager, Station: "laptop"}, Now: time.Now, Random: chance}
	began := time.Now()
	n, err := a.RemakeHeads(ctx, func(trouble error) { err = trouble })
	return float64(n) / time.Since(began).Seconds(), err
}

// addDrawn adds a site; with a log it has a device read twice.
func addDrawn(tx *store.Tx, n int, withLog bool) error {
	name := fmt.Sprintf("Works %06d", n)
	site := sootline.DerivedID(epoch, []byte(name))
	if err := tx.PutSite(site, name); err != nil || !withLog {
		return err
	}
	entries := history(1, 2)
	return tx.Append(site, "bench", func(w *store.Writer) error {
		opened := sootline.Entry{ID: sootline.NewID(epoch, chance()), Site: site, At: sootline.LongAgo, Noted: epoch, Body: sootline.Opened{Name: name}}
		for _, e := range append([]sootline.Entry{opened}, entries...) {
			e.ID, e.Site = sootline.NewID(epoch, chance()), site
			if err := w.Add(e); err != nil {
				return err
			}
		}
		return nil
	})
}

// drawHeads draws the heads of all sites: three in ten need somebody.
func drawHeads(ctx context.Context, book *store.Store) error {
	rng := rand.New(rand.NewPCG(17, 0))
	lines, err := book.Sites(ctx)
	if err != nil {
		return err
	}
	now := time.Now()
	for some := range slices.Chunk(lines, 1000) {
		heads := map[sootline.ID]store.SiteHead{}
		for _, line := range some {
			head := store.SiteHead{
				Held: line.Entries, Made: now, Until: now.Add(24 * time.Hour), Customer: fmt.Sprint("Customer ", rng.IntN(2000)), Noted: now.AddDate(0, 0, -rng.IntN(400)),
				SiteCounts: store.SiteCounts{Points: 20 + rng.IntN(300), Met: 40, NextDue: sootline.DayOf(now, time.UTC) + sootline.Day(rng.IntN(365)), Inside: 10, WithVerdict: 12},
				Said:       []byte(`{"next":"2027-01-15: test","last":20000,"noted":[` + strings.Repeat("1,", 19) + `1],"news":[{"says":"read 25 %/m","by":"T. Tech"}]}`), Days: []byte("[]"),
			}
			if rng.IntN(10) < 3 {
				head.Overdue = 1 + rng.IntN(40)
				head.Needs, head.Stake = true, 10*head.Overdue
			}
			heads[line.ID] = head
		}
		if err := book.PutSiteHeads(ctx, heads); err != nil {
			return err
		}
	}
	return nil
}
