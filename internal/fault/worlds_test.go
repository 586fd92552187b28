package fault

import (
	"fmt"
	"os"
	"strconv"
	"testing"

	"sootline/internal/worlds/hunts"
)

// finder hunts in the other mind's worlds.
type finder struct {
	search *Search
	seen   int
	last   Step
}

func finds(w *hunts.World) hunts.Finder {
	ring := ringOf(&w.Case.Ring)
	s, err := New(ring, answerOf(AtPanel, &w.Case.Panel), Means{Currents: true, Meter: true})
	if err != nil {
		panic(err)
	}
	return &finder{search: s}
}

func ringOf(h *hunts.Ring) Ring {
	r := Ring{Volts: h.Volts, Source: h.SourceOhm, Metres: h.Metres}
	for _, m := range h.Metres {
		r.Ohms = append(r.Ohms, m*h.OhmsPerM)
	}
	for _, d := range h.Devices {
		r.Devices = append(r.Devices, Device{
			Name: strconv.Itoa(d.Number), Before: d.Isolator, After: d.Isolator, Amps: d.MA / 1000, Floor: d.Floor, Ladder: d.Ladder,
		})
	}
	return r
}

// The two minds' words for one another.
var (
	kindsThere = map[hunts.Kind]Kind{
		hunts.Open: Open, hunts.Short: Short, hunts.Earth: Earth, hunts.Contact: Contact, hunts.Leakage: Leakage,
		hunts.StuckOpen: StuckOpen, hunts.StuckShut: StuckShut, hunts.Double: Double, hunts.Dead: Dead,
		hunts.Polarity: Polarity, hunts.Overload: Overload,
	}
	messagesThere = map[hunts.Message]Message{
		hunts.SaysNothing: Silent, hunts.SaysOpen: SaysOpen, hunts.SaysShort: SaysShort, hunts.SaysEarth: SaysEarth,
		hunts.SaysDouble: SaysDouble, hunts.SaysMissing: SaysMissing, hunts.SaysCurrent: SaysCurrent, hunts.SaysOhms: SaysOhms,
	}
	feedsThere = [...]hunts.Feed{hunts.Both, hunts.FromOUT, hunts.FromIN, hunts.Off}
	looksThere = [...]hunts.Look{hunts.AtPanel, hunts.AtVolts, hunts.AtOhms, hunts.AtDevice, hunts.AtStretch}
	leadsThere = [...]hunts.Leads{hunts.Cores, hunts.PlusEarth, hunts.MinusEarth}
)

func answerOf(look Look, h *hunts.Answer) Answer {
	a := Answer{Message: messagesThere[h.Message], Answers: h.Answers, Twice: h.Twice, OutMA: h.OutMA, InMA: h.InMA, Volts: h.Volts, Ohms: h.Ohms, Found: kindsThere[h.Found]}
	return a
}

func stepThere(s *Step) hunts.Step {
	return hunts.Step{OpenAt: s.OpenAt, Feed: feedsThere[s.Feed], Look: looksThere[s.Look], At: s.At, ToIN: s.ToIn, Leads: leadsThere[s.Leads]}
}

func kindThere(k Kind) hunts.Kind {
	for there, here := range kindsThere {
		if here == k {
			return there
		}
	}
	return ""
}

func (f *finder) Next(asked []hunts.Asked) (hunts.Step, *hunts.Verdict) {
	for ; f.seen < len(asked); f.seen++ {
		a := asked[f.seen]
		step := f.last
		f.search.Record(Asked{step, answerOf(step.Look, &a.Answer)})
	}
	step, verdict := f.search.Next()
	f.last = step
	if verdict != nil {
		return hunts.Step{}, &hunts.Verdict{Kind: kindThere(verdict.Kind), At: verdict.At, Sure: verdict.Sure}
	}
	return stepThere(&step), nil
}

func huntsAsked(fallback int) int {
	if n, err := strconv.Atoi(os.Getenv("SOOTLINE_HUNTS")); err == nil {
		return n
	}
	return fallback
}

func TestHunts(t *testing.T) {
	n := huntsAsked(110)
	ours, err := hunts.Play(seedAsked(), n, finds)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("led:\n%s", ours)
}

// TestTrace shows hunts, for whoever works on the search.
func TestTrace(t *testing.T) {
	kind := hunts.Kind(os.Getenv("HUNT_KIND"))
	from, _ := strconv.Atoi(os.Getenv("HUNT_FROM"))
	for seed := from; seed < from+huntsAsked(0); seed++ {
		w := hunts.Plant(uint64(seed), kind)
		last := finds(w).(*finder)
		v, err := w.Hunt(last)
		truth := w.Truth()
		fmt.Printf("seed %d %v: %v right %v (sure %.3f) truth %d, said %s %d, %.0f min, N %d\n", seed, err, kind, w.Right(v), v.Sure, truth.At, v.Kind, v.At, w.Minutes, len(w.Case.Ring.Devices))
		if os.Getenv("HUNT_ALL") != "" || !w.Right(v) {
			for _, l := range likeliest(last.search.likely(), 5) {
				fmt.Printf("   %v %d %v %.4f mean %.4v\n", l.Kind, l.At, l.Side, l.chance, l.mean)
			}
			for _, a := range w.Asked {
				miss := []int{}
				for i, ok := range a.Answer.Answers {
					if !ok {
						miss = append(miss, i)
					}
				}
				fmt.Printf("   %+v -> %q silent %d %.3v out %.1f in %.1f V %.3f ohm %.4g found %s %.1f min\n", a.Step, a.Answer.Message, len(miss), miss[:min(4, len(miss))], a.Answer.OutMA, a.Answer.InMA, a.Answer.Volts, a.Answer.Ohms, a.Answer.Found, a.Minutes)
			}
		}
	}
}

func seedAsked() uint64 {
	n, _ := strconv.ParseUint(os.Getenv("HUNT_FROM"), 10, 64)
	return n
}
