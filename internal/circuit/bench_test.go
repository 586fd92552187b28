package circuit

import (
	"fmt"
	"strconv"
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

// mixedLoop is a loop of 126 devices with every kind of load, isolators, all facts given, and 20 in alarm at once.
func mixedLoop() (Loop, Demand) {
	end := End{Volts: 24, High: 28, Plus: 0.5, Minus: 0.5, Limit: 0.5}
	cable := Cable{Metres: 8, Conductor: Conductor{MM2: 1.5}, Celsius: 30}
	l := Loop{Out: end, In: end, Return: cable}
	for i := range 126 {
		p := Point{Name: strconv.Itoa(i + 1), Cable: cable, Rest: In(0.0003), Alarm: In(0.003), Least: 17, Counted: true}
		switch i % 5 {
		case 1:
			p.Rest, p.Alarm, p.Least = Drawing(0.006), Drawing(0.25), 18
		case 3:
			p.Rest, p.Alarm, p.Least = In(0.0004), Across(2400), 16
		}
		if l.Points = append(l.Points, p); i%8 == 7 {
			l.Isolators = append(l.Isolators, Isolator{Point: p.Name, Side: Base, Plus: 0.2, IsolatorBounds: IsolatorBounds{Holds: 15, Opens: 14, Closes: 16, Carries: 1}})
		}
	}
	return l, Demand{Alarms: Alarms{Most: 20}, Rules: []Rule{Rules()[0]}}
}

// The verdict of 126 devices with mixed loads: the goal is 200 ms.
func BenchmarkVerdict(b *testing.B) {
	l, d := mixedLoop()
	for b.Loop() {
		v, err := Judge(&l, d, nil)
		if err != nil || v.Says == NotShown {
			b.Fatal(err, v)
		}
	}
}
