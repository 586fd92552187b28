package hunts

import (
	"math"
	"os"
	"reflect"
	"strconv"
	"testing"
)

func hunts(fallback int) int {
	if n, err := strconv.Atoi(os.Getenv("SOOTLINE_HUNTS")); err == nil {
		return n
	}
	return fallback
}

// nine is a ring of nine devices of 10 mA, 0.5 ohm a core between any two, 24 V: worked by hand.
func nine(isolators ...int) Ring {
	r := Ring{Volts: 24, OhmsPerM: 0.5}
	for k := range 10 {
		r.Metres = append(r.Metres, 1)
		if k < 9 {
			r.Devices = append(r.Devices, Device{Number: k + 1, MA: 10})
		}
	}
	for _, k := range isolators {
		r.Devices[k].Isolator = true
	}
	return r.summed()
}

// TestVolts by hand: 24 - 0.01 x 25/2 in the middle of the ring, 24 - 0.01 x 45 at the far end of one end's feed, and
// 10 ohm of bad contact before the last take 0.1 V more of it.
func TestVolts(t *testing.T) {
	for _, c := range []struct {
		f    Fault
		feed Feed
		at   int
		want float64
	}{
		{Fault{At: None}, Both, 4, 23.875},
		{Fault{At: None}, FromOUT, 8, 23.55},
		{Fault{At: None}, FromIN, 0, 23.55},
		{Fault{Kind: Contact, At: 8, Ohms: 10}, FromOUT, 8, 23.45},
		{Fault{Kind: Polarity, At: 4}, Both, 4, -23.875},
		{Fault{Kind: Open, At: 5}, FromOUT, 5, 0},
		{Fault{Kind: Open, At: 9}, Both, 8, 23.55},
	} {
		s := Step{OpenAt: None, Feed: c.feed, Look: AtVolts, At: c.at}
		if got := Observe(nine(), c.f, s).Volts; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %v, want %v", c.f, got, c.want)
		}
	}
}

// TestWhoAnswers: breaks, shorts and isolators, by hand. An x answers.
func TestWhoAnswers(t *testing.T) {
	for _, c := range []struct {
		f    Fault
		r    Ring
		open int
		feed Feed
		want string
		says Message
	}{
		{Fault{Kind: Open, At: 3}, nine(), None, Both, "xxxxxxxxx", SaysOpen},
		{Fault{Kind: Open, At: 3}, nine(), None, FromOUT, "xxx......", SaysNothing},
		{Fault{Kind: Open, At: 3}, nine(), None, FromIN, "...xxxxxx", SaysNothing},
		{Fault{Kind: Short, At: 3}, nine(), None, Both, ".........", SaysShort},
		{Fault{Kind: Short, At: 3}, nine(1, 6), None, Both, "xx....xxx", SaysShort},
		{Fault{Kind: Short, At: 3}, nine(1, 6), 6, FromIN, ".......xx", SaysNothing},
		{Fault{Kind: Short, At: 3}, nine(), 2, FromOUT, "xxx......", SaysNothing},
		{Fault{Kind: Short, At: 3}, nine(), 2, FromIN, ".........", SaysShort},
		{Fault{Kind: StuckShut, At: 3}, nine(1, 3, 6), None, Both, "xxx...xxx", SaysShort},
		{Fault{Kind: StuckOpen, At: 3}, nine(3), None, FromOUT, "xxxx.....", SaysNothing},
		{Fault{Kind: StuckOpen, At: 3, Before: true}, nine(3), None, FromOUT, "xxx......", SaysNothing},
		{Fault{Kind: Double, At: 3, Other: 5}, nine(), None, Both, "xxx.xxxxx", SaysDouble},
		{Fault{Kind: Double, At: 3, Other: 5}, nine(), 4, FromOUT, "xxx.xx...", SaysMissing},
		{Fault{Kind: Dead, At: 3}, nine(), None, Both, "xxx.xxxxx", SaysMissing},
		{Fault{Kind: Earth, At: 3}, nine(), 2, FromOUT, "xxx......", SaysNothing},
		{Fault{Kind: Earth, At: 3}, nine(), 2, FromIN, "...xxxxxx", SaysEarth},
		{Fault{Kind: Overload, At: 3, MA: 30}, nine(), 2, FromOUT, "xxx......", SaysNothing},
		{Fault{Kind: Leakage, At: 3, Ohms: 800}, nine(), 3, FromOUT, "xxxx.....", SaysCurrent},
	} {
		a := Observe(c.r, c.f, Step{OpenAt: c.open, Feed: c.feed, Look: AtPanel})
		got := ""
		for _, ok := range a.Answers {
			got += map[bool]string{true: "x", false: "."}[ok]
		}
		if got != c.want || a.Message != c.says {
			t.Errorf("%+v, open %d, fed %s: %s %q, want %s %q", c.f, c.open, c.feed, got, a.Message, c.want, c.says)
		}
	}
}

// TestOhms: the short of two ends, by the formula that cancels its own ohms: x = (R1 - R2 + R) / 2.
func TestOhms(t *testing.T) {
	f := Fault{Kind: Short, At: 3, Place: 0.25, Ohms: 1.32}
	r1 := Observe(nine(), f, Step{OpenAt: None, Feed: Off, Look: AtOhms, ToIN: true, Leads: Cores}).Ohms
	r2 := Observe(nine(), f, Step{OpenAt: None, Feed: Off, Look: AtOhms, Leads: Cores}).Ohms
	if x := (r1 - r2 + 10) / 2; math.Abs(x-3.25) > 1e-9 || math.Abs((r1+r2-10)/2-1.32) > 1e-9 {
		t.Error(r1, r2, x)
	}
	blocked := Observe(nine(1), f, Step{OpenAt: None, Feed: Off, Look: AtOhms, ToIN: true, Leads: Cores}).Ohms
	if math.Abs(blocked-deviceOhms) > 1 {
		t.Error(blocked)
	}
	core := Observe(nine(), Fault{Kind: Earth, At: 3, Place: 0.5, Ohms: 5}, Step{OpenAt: 3, Feed: Off, Look: AtOhms, Leads: PlusEarth}).Ohms
	if math.Abs(core-5.25) > 1e-9 {
		t.Error(core)
	}
}

// TestSeeds: a world planted twice is the same.
func TestSeeds(t *testing.T) {
	for seed := range uint64(40) {
		for _, kind := range Kinds() {
			a, b := Plant(seed, kind), Plant(seed, kind)
			if !reflect.DeepEqual(a.Case, b.Case) || a.fault != b.fault {
				t.Fatal(seed, kind)
			}
		}
	}
}

// TestHunts: the oracle finds what is planted, so that it can be told apart; the peer finds it too, more slowly.
func TestHunts(t *testing.T) {
	n := hunts(110)
	peer, err := Play(0, n, func(w *World) Finder { return Halving(w.Case) })
	if err != nil {
		t.Fatal(err)
	}
	best, err := Play(0, n, Oracle)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("halving by hand:\n%s\nthe oracle:\n%s", peer, best)
	if all := best.All(); float64(all.Right) < 0.97*float64(all.Hunts) {
		t.Error("the oracle finds too few")
	}
	if all := peer.All(); float64(all.Right) < 0.9*float64(all.Hunts) || all.Median() < 1.5*best.All().Median() {
		t.Error("the peer is no peer")
	}
}

// TestRefused: what cannot be done is refused.
func TestRefused(t *testing.T) {
	w := Plant(1, Open)
	for _, s := range []Step{
		{OpenAt: 9999, Feed: Both, Look: AtPanel},
		{OpenAt: None, Feed: Both, Look: AtOhms},
		{OpenAt: None, Feed: Off, Look: AtPanel},
		{OpenAt: None, Feed: Both, Look: AtVolts, At: -1},
		{OpenAt: None, Feed: Both, Look: AtStretch, At: 9999},
	} {
		if _, err := w.Do(s); err == nil || len(w.Asked) > 0 {
			t.Errorf("%+v is done", s)
		}
	}
}

// TestToldApart: where nothing is misread, the oracle finds all that is planted: no two faults look alike for ever.
func TestToldApart(t *testing.T) {
	for i := range uint64(44) {
		kind := Kinds()[int(i)%len(Kinds())]
		w := Plant(1000+i, kind)
		w.exact = true
		verdict, err := w.Hunt(Oracle(w))
		if err != nil || !w.Right(verdict) {
			t.Errorf("%d: %+v is taken for %+v: %v", i, w.fault, verdict, err)
		}
	}
}
