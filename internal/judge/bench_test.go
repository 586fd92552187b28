package judge_test

import (
	"fmt"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// many is a register of points with 20 quarterly readings each.
func many(points int) (*sootline.Register, time.Time) {
	const readings = 20
	var log book
	log.sheet(alpha())
	on := date("2026-03-04")
	for p := range points {
		id := sootline.DerivedID(on, fmt.Append(nil, p))
		add := func(at time.Time, body sootline.Body) {
			log.add(at, body)
			log.entries[len(log.entries)-1].Point = id
		}
		add(date("2020-01-01"), sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: fmt.Sprint(p / 125)}, Type: "Alpha"})
		for i := range readings {
			add(on.AddDate(0, -3*(readings-i), 0), sootline.Read{Samples: []float64{float64(23 + (i*(p%5))/10 + (i*i+p)%3)}})
		}
	}
	return sootline.Fold(log.entries, on), on
}

// BenchmarkSite judges 2,000 points with 20 quarterly readings each; the goal is
// under 70 microseconds a point on one core.
func BenchmarkSite(b *testing.B) {
	const points = 2000
	r, on := many(points)
	b.ReportAllocs()
	for b.Loop() {
		if got := judge.Assess(r, on).Judgements; len(got) != points {
			b.Fatalf("%d judgements", len(got))
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/points, "µs/point")
}

// BenchmarkLongSeries judges one point of very many readings; ten times as many
// should take little more than ten times as long.
func BenchmarkLongSeries(b *testing.B) {
	for _, n := range []int{10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var log book
			log.sheet(alpha())
			start := date("1700-01-01")
			log.fit(start)
			for i := range n {
				log.read(start.AddDate(0, 0, i), float64(23+i*4/n+(i*i)%3))
			}
			on := start.AddDate(0, 0, n)
			r := sootline.Fold(log.entries, on)
			for b.Loop() {
				judge.Site(r, on)
			}
		})
	}
}

// One more reading of one point, given what its type has learned, is judged in under a millisecond; the least of some
// tries, since other programs run beside. It says what the whole register would, but for what it teaches others.
func TestOnePointAgain(t *testing.T) {
	r, on := many(300)
	j := judge.New(r, on)
	j.Site()
	same := *r.Points()[7]
	same.Readings = append(same.Readings[:len(same.Readings):len(same.Readings)], sootline.Reading{At: on, Samples: []float64{24}})
	least := time.Hour
	var got judge.Judgement
	for range 20 {
		start := time.Now()
		got = j.Point(&same)
		least = min(least, time.Since(start))
	}
	if got.Value != 24 || got.ChanceOutside == nil || got.Action != judge.Leave {
		t.Errorf("%+v", got)
	}
	if least > time.Millisecond {
		t.Errorf("in %s", least)
	}
}
