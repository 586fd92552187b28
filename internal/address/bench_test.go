package address_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"sootline/internal/address"
)

// loopOf draws a loop of that many devices whose numbers on paper are in no
// order and in part missing, on a span a quarter larger.
func loopOf(r *rand.Rand, points int) address.Loop {
	l := line(span(1, points+points/4), make([]int, points)...)
	for i, n := range r.Perm(points + points/4)[:points] {
		d := &l.Devices[i]
		d.Type, d.Zone = fmt.Sprint("T", r.IntN(6)), fmt.Sprint(i*8/points)
		if r.IntN(5) > 0 {
			d.Wanted = n + 1
		}
	}
	return l
}

func BenchmarkPlan(b *testing.B) {
	for _, points := range []int{250, 500, 1000} {
		for _, keep := range []bool{false, true} {
			b.Run(fmt.Sprintf("points=%d/keep=%t", points, keep), func(b *testing.B) {
				l := loopOf(rand.New(rand.NewPCG(1, uint64(points))), points)
				style := address.Style{By: address.ByZone, Keep: keep, Spares: address.Spares{Percent: 10, Spread: true}}
				b.ReportAllocs()
				for b.Loop() {
					if _, err := address.Plan(l, style); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// The moves are a permutation at random with a fifth of the numbers free, or
// with none.
func BenchmarkChangeOrder(b *testing.B) {
	for _, points := range []int{250, 500, 1000} {
		for _, free := range []int{0, points / 4} {
			b.Run(fmt.Sprintf("points=%d/free=%d", points, free), func(b *testing.B) {
				r := rand.New(rand.NewPCG(2, uint64(points)))
				moves := make([]address.Move, points)
				from, to := r.Perm(points+free), r.Perm(points+free)
				for i := range moves {
					moves[i] = address.Move{From: from[i] + 1, To: to[i] + 1}
				}
				s := span(1, points+free)
				b.ReportAllocs()
				for b.Loop() {
					if _, err := address.ChangeOrder(s, moves); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// BenchmarkTenThousandLoops plans and orders 10,000 loops of 250 points, of
// which 200 are different, and says how long one takes.
func BenchmarkTenThousandLoops(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 3))
	loops := make([]address.Loop, 200)
	for i := range loops {
		loops[i] = loopOf(r, 250)
	}
	const all = 10_000
	for b.Loop() {
		for i := range all {
			l := loops[i%len(loops)]
			p, err := address.Plan(l, address.Style{})
			if err != nil {
				b.Fatal(err)
			}
			if _, err := address.ChangeOrder(l.Span, l.Moves(p.Numbers)); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/all, "us/loop")
}

// A list with one run shifted, and one that has nothing to do with the loop.
func BenchmarkExplain(b *testing.B) {
	for _, points := range []int{125, 250} {
		l := loopOf(rand.New(rand.NewPCG(5, uint64(points))), points)
		shifted := newWorld(l)
		for i := range l.Devices {
			l.Devices[i].Wanted = i + 1
		}
		for i := range shifted.at {
			shifted.at[i] = i + 1 + min(1, i*2/points)
		}
		random := newWorld(l)
		for i, n := range rand.New(rand.NewPCG(6, 6)).Perm(points) {
			random.at[i] = n + 1
		}
		for name, w := range map[string]*world{"shifted": shifted, "random": random} {
			b.Run(fmt.Sprintf("points=%d/%s", points, name), func(b *testing.B) {
				answers := w.answers(false)
				for b.Loop() {
					if _, err := address.Explain(context.Background(), l, answers); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// crowded is a loop of 250 devices with 40 constraints: 12 reserved numbers, 8 wide
// devices, 10 that must keep their number, 10 whose numbers end early; spares after
// each of 12 zones.
func crowded(r *rand.Rand, keep bool) (address.Loop, address.Style) {
	l := line(span(1, 330), make([]int, 250)...)
	for _, n := range r.Perm(330)[:12] {
		l.Span.Reserved = append(l.Span.Reserved, n+1)
	}
	numbers := r.Perm(330)
	for i := range l.Devices {
		d := &l.Devices[i]
		d.Zone = fmt.Sprint(i * 12 / 250)
		if d.Wanted = i + 1 + i/10; r.IntN(4) == 0 {
			d.Wanted = numbers[i] + 1
		}
	}
	odd := r.Perm(250)
	for k, i := range odd[:18] {
		d := &l.Devices[i]
		if k < 8 {
			d.Width = 2 + k%3
		} else {
			d.Setter = address.Setter{How: address.Electronic, To: 99 + 10*(k-8)}
		}
	}
	taken := map[int]bool{}
	for pinned, k := 0, 18; pinned < 10; k++ {
		d := &l.Devices[odd[k]]
		if !taken[d.Wanted] && l.Span.Refuse(d.Wanted, 1) == nil {
			d.Pinned, taken[d.Wanted] = true, true
			pinned++
		}
	}
	return l, address.Style{By: address.ByZone, Keep: keep, Spares: address.Spares{Count: 2, Each: true}}
}

// BenchmarkPlanCrowded plans such loops, one after another of twenty.
func BenchmarkPlanCrowded(b *testing.B) {
	for _, keep := range []bool{false, true} {
		b.Run(fmt.Sprintf("keep=%t", keep), func(b *testing.B) {
			r := rand.New(rand.NewPCG(7, 7))
			loops := make([]address.Loop, 20)
			var style address.Style
			for i := range loops {
				loops[i], style = crowded(r, keep)
			}
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if _, err := address.Plan(loops[i%len(loops)], style); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
