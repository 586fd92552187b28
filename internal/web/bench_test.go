package web

import (
	"context"
	"fmt"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync"
	"testing"
	"time"

	"sootline"
	"sootline/internal/store"
)

// bigSite fills a book with one site of so many points and readings of each.
func bigSite(t testing.TB, s *Server, points, readings int) string {
	t.Helper()
	id := sootline.DerivedID(today, []byte("big site"))
	at := func(days int) time.Time { return today.AddDate(0, 0, days-2000) }
	entry := func(when time.Time, point sootline.ID, body sootline.Body) sootline.Entry {
		return sootline.Entry{
			ID: sootline.DerivedID(when, fmt.Append(nil, point, body.Kind(), body)), Site: id, At: when, Noted: today, By: "A. Tech", Station: "laptop", Point: point, Body: body,
		}
	}
	low, high := 18.0, 36.0
	err := s.App.Book.Write(context.Background(), func(tx *store.Tx) error {
		if err := tx.PutSite(id, "Big works"); err != nil {
			return err
		}
		return tx.Append(id, "laptop", func(w *store.Writer) error {
			sheet := sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke, Unit: "counts", Bands: []sootline.Band{{Low: &low, High: &high}}}
			all := []sootline.Entry{entry(at(0), sootline.ID{}, sootline.Opened{Name: "Big works"}), entry(at(0), sootline.ID{}, sootline.Sheet{TypeSheet: sheet})}
			for i := range points {
				point := sootline.DerivedID(today, fmt.Append(nil, "point", i))
				place := sootline.Place{Panel: "1", Loop: fmt.Sprint(1 + i/126), Order: 1 + i%126, Location: fmt.Sprint("Room ", i), Area: fmt.Sprint("Floor ", i/200)}
				all = append(all, entry(at(0), point, sootline.Fitted{Place: place, Type: "Larch"}), entry(at(0), point, sootline.Addressed{Wanted: 1 + i%126}))
				for n := range readings {
					value := 22 + float64((i*7+n*3)%4) + float64(n*(i%5))/10
					all = append(all, entry(at(1+n*40), point, sootline.Read{Samples: []float64{value}}))
				}
			}
			for _, e := range all {
				if err := w.Add(e); err != nil {
					return err
				}
			}
			return nil
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	return "/site/" + id.String()
}

// TestSiteOfTenThousandPoints looks at a large site's pages: they stay short, the
// filter finds, and the pages of the table hold every point once.
func TestSiteOfTenThousandPoints(t *testing.T) {
	s := newServer(t, nil)
	site := bigSite(t, s, 10000, 2)
	b := visit(t, s)
	for _, address := range []string{"/", site, site + "/points", site + "/points?sort=value&way=down&page=200", site + "/points?q=room+9999", site + "/loop"} {
		page := b.get(address)
		if len(page) > 300<<10 {
			t.Errorf("%s is %d bytes long", address, len(page))
		}
		for _, fault := range htmlFaults(page) {
			t.Errorf("%s: %s", address, fault)
		}
	}
	survey := surveyOf(t, s)
	_, rows, err := s.surveys.of(context.Background(), store.SiteLine{ID: survey.Register.Site.ID, Entries: survey.Register.Entries})
	if err != nil {
		t.Fatal(err)
	}
	page := &pointsPage{Search: "floor room 9999"}
	if found := page.filter(rows()); len(found) != 1 || found[0].Place != "Room 9999, Floor 49" {
		t.Errorf("a search for room 9999 finds %d points", len(found))
	}
	seen := map[string]int{}
	for n := range 10000 / rowsOnPage {
		p := &pointsPage{}
		p.turn(rows(), map[string][]string{"page": {fmt.Sprint(n + 1)}})
		for _, row := range p.Rows {
			seen[row.Address]++
		}
	}
	if len(seen) != 10000 || slices.Max(slices.Collect(maps.Values(seen))) != 1 {
		t.Errorf("the pages of the table hold %d points", len(seen))
	}
}

// BenchmarkSitePage looks at the page of a site of 500 points and 20,000 entries
// again and again; that of its points, and of one point.
func BenchmarkSitePage(b *testing.B) {
	s := newServer(b, nil)
	site := bigSite(b, s, 500, 38)
	point := pointAddress(surveyOf(b, s), surveyOf(b, s).Register.Points()[250])
	for name, address := range map[string]string{"site": site, "points": site + "/points?sort=drift&way=down", "point": point, "loop": site + "/loop", "today": "/"} {
		b.Run(name, func(b *testing.B) {
			who := visit(b, s)
			for b.Loop() {
				if res := who.do(http.MethodGet, address, "", nil); res.StatusCode != http.StatusOK {
					b.Fatal(res.StatusCode)
				}
			}
		})
	}
}

// BenchmarkPace asks for the pages of such a site over real connections, 50 times
// a second; -benchtime 1000x takes 20 seconds. The goal is a p99 below 50 ms.
func BenchmarkPace(b *testing.B) {
	s := newServer(b, nil)
	site := bigSite(b, s, 500, 38)
	point := pointAddress(surveyOf(b, s), surveyOf(b, s).Register.Points()[250])
	addresses := []string{site, site + "/points?q=room", point, "/"}
	server := httptest.NewServer(s)
	defer server.Close()
	took := make([]time.Duration, b.N)
	var all sync.WaitGroup
	pace := time.NewTicker(20 * time.Millisecond)
	defer pace.Stop()
	b.ResetTimer()
	for i := range took {
		<-pace.C
		all.Go(func() {
			began := time.Now()
			res, err := server.Client().Get(server.URL + addresses[i%len(addresses)])
			if err != nil {
				b.Error(err)
				return
			}
			defer res.Body.Close()
			if _, err := io.Copy(io.Discard, res.Body); err != nil || res.StatusCode != http.StatusOK {
				b.Error(res.StatusCode, err)
			}
			took[i] = time.Since(began)
		})
	}
	all.Wait()
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "p99-ms")
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "p50-ms")
}
