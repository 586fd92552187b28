package judge

import (
	"context"
	"fmt"
	"testing"
	"time"

	"sootline"
)

func benchRegister(points int) (*sootline.Register, time.Time) {
	const readings = 20
	site := sootline.DerivedID(time.Unix(0, 0), []byte("site"))
	on := time.Date(2026, 3, 4, 0, 0, 0, 0, time.UTC)
	low, high := 20.0, 35.0
	var entries []sootline.Entry
	add := func(at time.Time, id sootline.ID, body sootline.Body) {
		entries = append(entries, sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, len(entries))), Site: site, At: at, Noted: at, Point: id, Body: body})
	}
	add(sootline.LongAgo, sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Alpha", Kind: sootline.Smoke, Unit: "counts", Bands: []sootline.Band{{Low: &low, High: &high}}}})
	for p := range points {
		id := sootline.DerivedID(on, fmt.Append(nil, p))
		add(time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC), id, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: fmt.Sprint(p / 125)}, Type: "Alpha"})
		for i := range readings {
			add(on.AddDate(0, -3*(readings-i), 0), id, sootline.Read{Samples: []float64{float64(23 + (i*(p%5))/10 + (i*i+p)%3)}})
		}
	}
	return sootline.Fold(entries, on), on
}

func BenchmarkModel(b *testing.B) {
	const points = 2000
	r, on := benchRegister(points)
	for b.Loop() {
		m := modelOf(context.Background(), r, years(on))
		for _, p := range m.points {
			h := p.ahead()
			h.days(years(on))
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/points, "µs/point")
}
