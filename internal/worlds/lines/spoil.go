package lines

import (
	"bytes"
	"math/rand/v2"
	"time"
)

// Faults names what the wire can do.
func Faults() []string {
	return []string{"noise", "half", "merged", "silence", "flood", "restart", "twice"}
}

// flooded is how many lines a flood has; they come at ten thousand a second.
const flooded = 10_000

// Spoil gives the later records as a bad wire brings them. share is the chance of a fault at each record; only names the
// faults, empty: all but the flood. A flood comes once, in the middle. The same seed spoils the same.
func (w *World) Spoil(share float64, seed uint64, only ...string) []Record {
	if len(only) == 0 {
		only = []string{"noise", "half", "merged", "silence", "restart", "twice"}
	}
	s := &spoiler{rand.New(rand.NewPCG(seed, 11)), w, nil, 0}
	flood := -1
	if i := index(only, "flood"); i >= 0 {
		only, flood = append(append([]string(nil), only[:i]...), only[i+1:]...), len(w.Later)/2
	}
	for i, r := range w.Later {
		if i == flood {
			s.flood(r.At)
		}
		switch {
		case s.lost > 0:
			s.lost--
		case len(only) == 0 || r.Truth == nil || s.Float64() >= share:
			s.out = append(s.out, r)
		default:
			s.spoil(r, only[s.IntN(len(only))])
		}
	}
	return merged(s.out)
}

func index(all []string, one string) int {
	for i, s := range all {
		if s == one {
			return i
		}
	}
	return -1
}

type spoiler struct {
	*rand.Rand

	w    *World
	out  []Record
	lost int // so many more are not heard at all
}

func (s *spoiler) spoil(r Record, fault string) {
	r.Fault = fault
	switch fault {
	case "noise":
		s.noise(r)
	case "half":
		s.half(r)
	case "merged": // its line break is lost
		r.Bytes = bytes.TrimRight(r.Bytes, "\r\n")
		r.Mangled = true
		s.out = append(s.out, r)
	case "silence":
		s.lost = 1 + s.IntN(40)
	case "restart":
		s.restart(r)
	case "twice":
		again := r
		again.At, again.Repeat = r.At.Add(300*time.Millisecond), true
		s.out = append(s.out, r, again)
	}
}

// noise puts other bytes in, or in the place of some, or turns bits over. What makes a line that the panel could have
// printed of another event is drawn again, for nobody could tell it.
func (s *spoiler) noise(r Record) {
	b := s.damaged(r.Bytes)
	for s.sound(r, b) {
		b = s.damaged(r.Bytes)
	}
	r.Mangled, r.Bytes = !bytes.Equal(b, r.Bytes), b
	s.out = append(s.out, r)
}

func (s *spoiler) damaged(whole []byte) []byte {
	b := bytes.Clone(whole)
	at := s.IntN(len(b))
	switch s.IntN(4) {
	case 0: // one bit
		b[at] ^= 1 << s.IntN(8)
	case 1: // one character, which could be one of a line
		b[at] = "0123456789 ALFDEN/:."[s.IntN(20)]
	case 2: // some bytes that are none of a line
		b = append(b[:at:at], append(s.bytes(1+s.IntN(12)), b[at:]...)...)
	default: // one byte is lost
		b = append(b[:at:at], b[at+1:]...)
	}
	return b
}

// sound: the panel would have printed these bytes at that time, had another event happened, or at another point or zone.
func (s *spoiler) sound(r Record, b []byte) bool {
	if bytes.Equal(b, r.Bytes) {
		return false
	}
	d := &drawer{Rand: rand.New(rand.NewPCG(0, 0)), style: s.w.style, at: r.At}
	prints := func(event Event, p Point) bool {
		h := *r.said
		h.event = event
		h.of(p)
		return bytes.Equal(d.record(&h, d.style.layout).Bytes, b)
	}
	is := Point{r.said.loop, r.said.number, r.said.sub, r.said.zone, r.said.text}
	for _, event := range Events() {
		if prints(event, is) {
			return true
		}
	}
	for _, p := range s.w.site {
		if prints(r.said.event, p) || is.Text == "" && prints(r.said.event, Point{Zone: p.Zone}) {
			return true
		}
	}
	return false
}

func (s *spoiler) bytes(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(s.IntN(256))
	}
	return b
}

// half loses the end with or without the line break, or the beginning.
func (s *spoiler) half(r Record) {
	at := 1 + s.IntN(len(r.Bytes)-2)
	newline := []byte(s.w.style.Newline)
	switch s.IntN(3) {
	case 0:
		r.Bytes = bytes.Clone(r.Bytes[:at])
	case 1:
		r.Bytes = append(bytes.Clone(r.Bytes[:at]), newline...)
	default:
		r.Bytes = bytes.Clone(r.Bytes[at:])
	}
	r.Mangled = true
	s.out = append(s.out, r)
}

// restart breaks off in the line; the panel greets, and prints the line again or does not.
func (s *spoiler) restart(r Record) {
	newline := s.w.style.Newline
	half := r
	half.Bytes, half.Mangled = bytes.Clone(r.Bytes[:1+s.IntN(len(r.Bytes)-2)]), true
	greets := Record{At: r.At.Add(200 * time.Millisecond), Fault: r.Fault, Bytes: []byte(newline + "START " + newline + "OK 64K" + newline)}
	s.out = append(s.out, half, greets)
	if s.IntN(2) == 0 {
		r.At = r.At.Add(400 * time.Millisecond)
		s.out = append(s.out, r)
	}
}

// flood is a contact that chatters: a fault and its end, in turn.
func (s *spoiler) flood(at time.Time) {
	d := &drawer{Rand: s.Rand, style: s.w.style, at: at, done: 1, lines: 2}
	p := s.w.Points[s.IntN(len(s.w.Points))]
	for i := range flooded {
		d.at = at.Add(time.Duration(i) * 100 * time.Microsecond)
		h := &happening{wall: d.wall(), serial: i, event: Fault}
		if i%2 == 1 {
			h.event = Cleared
		}
		h.of(p)
		r := d.record(h, d.style.layout)
		r.At, r.Fault = at.Add(time.Duration(i)*100*time.Microsecond), "flood"
		s.out = append(s.out, r)
	}
}

// merged marks what runs into the line before it.
func merged(records []Record) []Record {
	for i := 1; i < len(records); i++ {
		before := records[i-1].Bytes
		if n := len(before); n > 0 && before[n-1] != '\n' && before[n-1] != '\r' {
			records[i].Mangled = true
			if records[i].Fault == "" {
				records[i].Fault = records[i-1].Fault
			}
		}
	}
	return records
}
