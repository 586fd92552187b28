package main

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"slices"
	"time"

	"sootline"
)

// paged measures pages of a site after one new entry, which came in through the
// server: its log is read on by that entry, and folded and judged anew. A page may
// cost what the log has grown to; at 100,000 entries it comes within a tenth of a
// second.
func paged(folder, binary string) (rows []row, err error) {
	const points = 500
	sizes := []int{7_000, 100_000, 500_000}
	pages := []string{"/log", "", "/point/"}
	whats := []string{"the log's page", "the site's page, judged", "a point's page, judged"}
	first := make([]time.Duration, len(pages))
	for i, size := range sizes {
		took, err := pagesAt(folder, binary, fmt.Sprintf("paged-%d.db", size), historyEvery(6*365*24*time.Hour/time.Duration(size/points), points, (size-2*points)/points), pages)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			first = took
		}
		for k, what := range whats {
			r := row{
				fmt.Sprintf("%s after an entry, %d entries", what, size), fmt.Sprintf("%.1f ms", ms(took[k])),
				fmt.Sprintf("%d entries: %.1f ms", sizes[0], ms(first[k])), fmt.Sprintf("%.1f", float64(took[k])/float64(first[k])), "", true,
			}
			if size == 100_000 {
				r.claim, r.holds = "at most 100 ms", took[k] <= 100*time.Millisecond
			}
			rows = append(rows, r)
		}
	}
	return rows, nil
}

// pagesAt gives the median time of each page of a book's site, each time after one
// new reading.
func pagesAt(folder, binary, name string, entries []sootline.Entry, pages []string) ([]time.Duration, error) {
	book, site, err := filled(filepath.Join(folder, name), entries)
	if err != nil {
		return nil, err
	}
	if err := book.Close(); err != nil {
		return nil, err
	}
	s, err := serve(folder, binary, name)
	if err != nil {
		return nil, err
	}
	defer s.stop()
	point := entries[1].Point.String()
	var medians []time.Duration
	for _, page := range pages {
		if page == "/point/" {
			page += point
		}
		var took []time.Duration
		for n := range 11 {
			if err := s.addReading(site, point); err != nil {
				return nil, err
			}
			began := time.Now()
			if _, err := fetch(http.DefaultClient, s.address+"/site/"+site.String()+page); err != nil {
				return nil, err
			}
			if n > 0 { // the first one reads the whole log
				took = append(took, time.Since(began))
			}
		}
		slices.Sort(took)
		medians = append(medians, took[len(took)/2])
	}
	return medians, nil
}

// addReading adds a reading through the API.
func (s *served) addReading(site sootline.ID, point string) error {
	body := fmt.Appendf(nil, `{"id":%q,"kind":"read","point":%q,"body":{"samples":[25]}}`, sootline.NewID(time.Now(), chance()), point)
	res, err := http.Post(s.address+"/api/v1/sites/"+site.String()+"/log", "application/json", bytes.NewReader(body))
	if err != nil {
		return err
	}
	defer res.Body.Close() //nolint:errcheck // it was only read
	text, err := io.ReadAll(res.Body)
	if err == nil && res.StatusCode != http.StatusOK {
		err = fmt.Errorf("adding a reading gives %d: %s", res.StatusCode, text)
	}
	return err
}
