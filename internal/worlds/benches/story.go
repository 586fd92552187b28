package benches

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// real is a device as it is.
type real struct {
	Device
	module   bool
	carries  int
	inBox    bool // not done, not rejected, in nobody's hand
	unlisted bool
}

// kinds of devices, with the highest number that each can be set to; the names are made up.
var kinds = []struct {
	name   string
	module bool
	most   int
}{{"Larch", false, 126}, {"Elder", false, 99}, {"Relay", true, 126}, {"Horn", true, 99}}

// draw makes a run and the devices for it.
func draw(rng *rand.Rand) (Start, []real) {
	s := Start{
		First: []string{"place", "device"}[rng.IntN(2)], LowestNumber: 1, LastNumber: 126, Unset: 127,
		Separate: rng.IntN(3) == 0, Most: map[string]int{},
	}
	for _, k := range kinds {
		s.Most[k.name] = k.most
	}
	next := map[bool]int{false: 1 + rng.IntN(70), true: 1 + rng.IntN(70)}
	for i := range 4 + rng.IntN(16) {
		k := kinds[rng.IntN(len(kinds))]
		p := Place{Name: fmt.Sprintf("P%02d", i), Type: k.name, Width: 1, Module: k.module}
		if k.name == "Relay" && rng.IntN(3) == 0 {
			p.Width = 2
		}
		r := s.Separate && k.module
		p.Number = next[r]
		next[r] += p.Width + rng.IntN(2)*rng.IntN(3)
		s.Places = append(s.Places, p)
	}
	s.spoil(rng)
	devices := s.devices(rng)
	if rng.IntN(3) > 0 {
		s.list(rng, devices)
	}
	return s, devices
}

// spoil makes plans that cannot be carried out as they are: a place without number, two of one number, one too high for its
// type; and has points beside the run carry numbers.
func (s *Start) spoil(rng *rand.Rand) {
	at := func() *Place { return &s.Places[rng.IntN(len(s.Places))] }
	switch rng.IntN(8) {
	case 0:
		at().Number = 0
	case 1:
		if a, b := at(), at(); a.Module == b.Module {
			a.Number = b.Number
		}
	case 2, 3:
		if p := at(); s.Most[p.Type] < 110 {
			p.Number = 110
		}
	}
	for i := range rng.IntN(3) {
		p := *at()
		p.Name, p.Number = fmt.Sprintf("Q%d", i), 120+i
		if rng.IntN(4) == 0 {
			p.Number = at().Number
		}
		s.Others = append(s.Others, p)
	}
}

// devices puts one device in the box for each place, and a few more.
func (s *Start) devices(rng *rand.Rand) []real {
	var out []real
	put := func(name string, module bool) {
		out = append(out, real{Device: Device{fmt.Sprintf("S%04d", 1003+len(out)*7), name}, module: module, carries: s.Unset, inBox: true})
	}
	for _, p := range s.Places {
		put(p.Type, p.Module)
	}
	for range 2 + rng.IntN(4) {
		k := kinds[rng.IntN(len(kinds))]
		put(k.name, k.module)
	}
	rng.Shuffle(len(out), func(i, k int) { out[i], out[k] = out[k], out[i] })
	return out
}

// list writes the list of the box; one or two devices are not on it, and now and then one serial is written twice.
func (s *Start) list(rng *rand.Rand, devices []real) {
	for i := range devices {
		if devices[i].unlisted = rng.IntN(12) == 0; !devices[i].unlisted {
			s.Box = append(s.Box, devices[i].Device)
		}
	}
	if len(s.Box) > 1 && rng.IntN(6) == 0 {
		s.Box[1].Serial = s.Box[0].Serial
	}
}

// twice says whether the list of the box has one serial twice.
func (s *Start) twice() bool {
	return slices.ContainsFunc(s.Box, func(d Device) bool {
		n := 0
		for _, other := range s.Box {
			if other.Serial == d.Serial {
				n++
			}
		}
		return n > 1
	})
}
