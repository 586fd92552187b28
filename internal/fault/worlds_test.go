package fault

import (
	"math"
	"os"
	"strconv"
	"testing"

	"sootline/internal/worlds/hunts"
)

// manner is how a search is played.
type manner struct {
	looks      bool // what is found is looked at before it is said
	noCurrents bool // the panel does not tell what its ends give
	noMeter    bool
}

// finder hunts in the other mind's worlds.
type finder struct {
	manner
	search *Search
	seen   int
	last   Step
	looked Verdict
}

func (m manner) finds(w *hunts.World) hunts.Finder {
	f := &finder{manner: m}
	s, err := New(ringOf(&w.Case.Ring), f.answerOf(&w.Case.Panel), Means{Meter: !m.noMeter})
	if err != nil {
		panic(err)
	}
	f.search = s
	return f
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

func (f *finder) answerOf(h *hunts.Answer) Answer {
	a := Answer{Message: messagesThere[h.Message], Answers: h.Answers, Twice: h.Twice, OutMA: h.OutMA, InMA: h.InMA, Volts: h.Volts, Ohms: h.Ohms, Found: kindsThere[h.Found]}
	if f.noCurrents {
		a.OutMA, a.InMA = math.NaN(), math.NaN()
	}
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
		f.search.Record(Asked{f.last, f.answerOf(&asked[f.seen].Answer)})
	}
	step, verdict := f.search.Next()
	if verdict != nil && f.looks && (verdict.Kind != f.looked.Kind || verdict.At != f.looked.At) {
		f.looked = *verdict
		step, verdict = f.look(verdict), nil
	}
	f.last = step
	if verdict != nil {
		return hunts.Step{}, &hunts.Verdict{Kind: kindThere(verdict.Kind), At: verdict.At, Sure: verdict.Sure}
	}
	return stepThere(&step), nil
}

// look goes to the place of a verdict.
func (f *finder) look(v *Verdict) Step {
	s := Step{OpenAt: None, Feed: Both, Look: AtDevice, At: v.At}
	if v.Kind.OfCable() && v.Kind != Contact {
		s.Look = AtStretch
	}
	s.At = min(s.At, len(f.search.ring.Devices)-1)
	if s.Look == AtStretch {
		s.At = v.At
	}
	return s
}

func huntsAsked(fallback int) int {
	if n, err := strconv.Atoi(os.Getenv("SOOTLINE_HUNTS")); err == nil {
		return n
	}
	return fallback
}

// seed is far from those with which the search was tried while it was made.
const seed = 20_000_000

// TestHunts holds the search against halving by hand, on the same faults.
func TestHunts(t *testing.T) {
	n := huntsAsked(44)
	peer, err := hunts.Play(seed, n, func(w *hunts.World) hunts.Finder { return hunts.Halving(w.Case) })
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("halving by hand:\n%s", peer)
	for _, c := range []struct {
		name  string
		how   manner
		right float64
		share float64 // of the peer's median minutes, at most
	}{
		{"led", manner{}, 0.97, 0.5},
		{"led, and looked at before it is said", manner{looks: true}, 0.97, 0.5},
		{"led without the currents of the ends", manner{noCurrents: true}, 0.95, 0.75},
		{"led without a meter", manner{noMeter: true}, 0.9, 1}, // a bad contact is hardly found without one
	} {
		of := n
		if c.how.noCurrents || c.how.noMeter { // beside the goal, so a fifth of them is enough
			of = n / 5
		}
		report, err := hunts.Play(seed, of, c.how.finds)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s:\n%s", c.name, report)
		all, slip := report.All(), 1.0 // one hunt more may go wrong by chance
		if float64(all.Right)+slip < c.right*float64(all.Hunts) {
			t.Errorf("%s: %d of %d are found right", c.name, all.Right, all.Hunts)
		}
		if all.Median() > c.share*peer.All().Median() {
			t.Errorf("%s: %.1f minutes, by hand %.1f", c.name, all.Median(), peer.All().Median())
		}
	}
}
