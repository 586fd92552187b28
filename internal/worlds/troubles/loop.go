package troubles

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// spans are loops by their numbers, with the most that a device on them can be set to and how.
var spans = []struct {
	last, unset int
	setters     []string
}{
	{126, 127, []string{"switches 7", "switches 7 high-first", "switches 7 on-is-zero", "switches 7 high-first on-is-zero"}},
	{254, 255, []string{"switches 8", "switches 8 high-first", "switches 8 on-is-zero"}},
	{99, 0, []string{"dials 9"}},
	{159, 0, []string{"dials 15"}},
	{158, 159, []string{"dials 15"}},
}

// families are the types that loops are drawn from; the names are made up.
var families = []Type{
	{Name: "Larch", Device: "smoke"},
	{Name: "Elder", Device: "heat"},
	{Name: "Hazel", Device: "multi"},
	{Name: "Alder", Device: "smoke"},
	{Name: "Pull", Device: "call point", Module: true},
	{Name: "Horn", Device: "sounder", Module: true},
	{Name: "Relay", Device: "module", Module: true},
}

const plainIsolator = "Gate"

// builder draws a loop.
type builder struct {
	rng  *rand.Rand
	loop Loop
	next map[bool]int // the next free number of a range
	room int          // how many numbers of each range may be passed over
	zone int
}

// drawLoop draws a loop of 20 to 200 devices.
func drawLoop(rng *rand.Rand) Loop {
	span := spans[rng.IntN(len(spans))]
	b := &builder{rng: rng, loop: Loop{First: 1, Last: span.last, Unset: span.unset, Separate: rng.IntN(4) == 0}}
	b.next = map[bool]int{false: 1, true: 1}
	order := rng.Perm(len(families))
	for _, i := range order[:3+rng.IntN(4)] {
		t := families[i]
		t.Setter = span.setters[rng.IntN(len(span.setters))]
		if rng.IntN(4) == 0 {
			t.Setter = "electronic"
		}
		b.loop.Types = append(b.loop.Types, t)
	}
	most := min(200, span.last*8/10)
	n := 20 + rng.IntN(most-19)
	b.room = span.last - n
	b.lay(n)
	b.name()
	return b.loop
}

// lay puts n devices along the cable, with isolators every so often and a few spurs.
func (b *builder) lay(n int) {
	style := b.rng.IntN(4) // 0, 1: plain isolators; 2: built in; 3: both
	every := 6 + b.rng.IntN(14)
	spurs := b.rng.IntN(2) * b.rng.IntN(4)
	wide := b.rng.IntN(3) == 0
	run, since := b.pick(), 0
	for placed := 0; placed < n; placed++ {
		if b.rng.IntN(4) == 0 {
			run = b.pick()
		}
		at := b.put(run, -1, wide)
		since++
		if spurs > 0 && placed > 3 && n-placed > 8 && b.rng.IntN(n) < 4 {
			spurs--
			for range 2 + b.rng.IntN(5) {
				b.put(b.pick(), at, false)
				placed++
			}
		}
		if since >= every && n-placed > 3 {
			since = 0
			if style == 2 || style == 3 && b.rng.IntN(2) == 0 {
				b.loop.Devices[at].Isolates = true
				continue
			}
			b.loop.Devices = append(b.loop.Devices, Device{Type: plainIsolator, Spur: -1, Isolates: true, Zone: b.loop.Devices[at].Zone})
		}
	}
	if style != 2 {
		b.loop.Types = append(b.loop.Types, Type{Name: plainIsolator, Device: "isolator"})
	}
}

func (b *builder) pick() Type {
	for {
		if t := b.loop.Types[b.rng.IntN(len(b.loop.Types))]; t.Device != "isolator" {
			return t
		}
	}
}

// put adds a device of a type and gives its index.
func (b *builder) put(t Type, spur int, wide bool) int {
	d := Device{Type: t.Name, Module: t.Module, Width: 1, Spur: spur}
	if wide && t.Device == "module" && b.room > 3 {
		d.Width += b.rng.IntN(3)
		b.room -= d.Width - 1
	}
	if b.rng.IntN(12) == 0 {
		b.zone++
	}
	d.Zone = fmt.Sprintf("Z%d", b.zone+1)
	r := b.loop.Separate && t.Module
	if b.room > 0 && b.rng.IntN(6) == 0 { // numbers are passed over
		gap := 1 + b.rng.IntN(min(5, b.room))
		b.next[r] += gap
		b.room -= gap
	}
	d.Wanted = b.next[r]
	b.next[r] += d.Width
	b.loop.Devices = append(b.loop.Devices, d)
	return len(b.loop.Devices) - 1
}

// name gives serials, as far as the register knows them: of none, of some, of all.
func (b *builder) name() {
	known := []int{0, 50, 100}[b.rng.IntN(3)]
	for i := range b.loop.Devices {
		if b.loop.Devices[i].Wanted > 0 && b.rng.IntN(100) < known {
			b.loop.Devices[i].Serial = serial(i)
		}
	}
}

// serial is what a device has printed on it, whether the register knows or not.
func serial(device int) string { return fmt.Sprintf("S%05d", 10007+device*37) }

// ring gives the devices on the ring in order.
func (l *Loop) ring() []int {
	var out []int
	for i, d := range l.Devices {
		if d.Spur < 0 {
			out = append(out, i)
		}
	}
	return out
}

// behind gives the devices of the ring that are given, and all on their spurs.
func (l *Loop) behind(ring []int) []int {
	out := slices.Clone(ring)
	for i, d := range l.Devices {
		if d.Spur >= 0 && slices.Contains(ring, d.Spur) {
			out = append(out, i)
		}
	}
	return out
}

// sections gives what stands between isolators that follow each other, or an isolator and the panel. A spur that hangs from a
// device with an isolator built in stays with it. Without isolators there are none: a short takes the whole loop.
func (l *Loop) sections() [][]int {
	var out [][]int
	var now []int
	for _, i := range l.ring() {
		if l.Devices[i].Isolates {
			out, now = append(out, l.behind(now)), nil
			continue
		}
		now = append(now, i)
	}
	if len(out) == 0 {
		return nil
	}
	return append(out, l.behind(now))
}

// spurs gives the devices of each spur, the nearest first.
func (l *Loop) spurs() [][]int {
	var out [][]int
	for i, d := range l.Devices {
		switch {
		case d.Spur < 0:
		case i > 0 && l.Devices[i-1].Spur == d.Spur:
			out[len(out)-1] = append(out[len(out)-1], i)
		default:
			out = append(out, []int{i})
		}
	}
	return out
}

// numbered leaves out what takes no number.
func (l *Loop) numbered(of []int) []int {
	return slices.DeleteFunc(slices.Clone(of), func(i int) bool { return l.Devices[i].Wanted == 0 })
}
