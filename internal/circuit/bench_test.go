package circuit

import (
	"fmt"
	"testing"
)

// even is a loop of n devices a few metres apart, every ninth a sounder of constant power, the others drawing constant
// current, isolators every 18.
func even(n int) Loop {
	metres, loads := make([]float64, n), make([]Load, n)
	for i := range metres {
		metres[i], loads[i] = float64(4+i*7%19), In(0.0003)
	}
	l := ladderOf(28, 0.0242*126/float64(max(n, 126)), metres, loads, 13)
	for i := range l.Points {
		p := &l.Points[i]
		p.Least, p.Counted = 17, true
		if i%9 == 4 {
			p.Alarm = Drawing(Watts(0.28 * 126 / float64(max(n, 126))))
		}
		if i%18 == 17 {
			l.Isolators = append(l.Isolators, Isolator{Point: p.Name, Plus: 0.2})
		}
	}
	return l
}

// One solution, all alarms on: the time per device must not depend on the number of devices.
func BenchmarkSolve(b *testing.B) {
	for _, n := range []int{63, 126, 250, 1000, 4000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			c := mustNew(b, even(n))
			loads, _ := c.loads(State{All: true})
			whole := c.whole()
			b.ReportAllocs()
			for b.Loop() {
				if !c.solve(&whole, loads).Exists {
					b.Fatal("no operating point")
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/device")
		})
	}
}

// The loop healthy and under its 254 single faults, all in alarm, and with the ten worst placed.
func BenchmarkSurvey(b *testing.B) {
	for name, alarms := range map[string]Alarms{"all in alarm": EveryAlarm(), "ten worst": {Most: 10}} {
		b.Run(name, func(b *testing.B) {
			c := mustNew(b, even(126))
			for b.Loop() {
				if _, err := c.Survey(alarms, false); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// 250 devices, every pair of opens.
func BenchmarkPairs(b *testing.B) {
	c := mustNew(b, even(250))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := c.Survey(Alarms{Most: 10}, true); err != nil {
			b.Fatal(err)
		}
	}
}

// The same solution by gonum's LU on the full network of both cores.
func BenchmarkDense(b *testing.B) {
	l := even(126)
	c := mustNew(b, l)
	loads, _ := c.loads(State{All: true})
	fed, opened := flood(&l, nil)
	net := spread(&l, fed, loads, opened)
	for b.Loop() {
		if _, ok := net.dense(); !ok {
			b.Fatal("no solution")
		}
	}
}

func BenchmarkRoom(b *testing.B) {
	l := even(126)
	for b.Loop() {
		if _, err := l.Room(Point{Rest: In(0.0003), Alarm: In(0.01), Least: 17}, Alarms{Most: 10}, nil); err != nil {
			b.Fatal(err)
		}
	}
}
