package wires

import (
	"math/rand/v2"
	"sync"
	"time"
)

// Voice says text on a wire, at a pace, and badly where it is asked to. Silence is to say nothing.
type Voice struct {
	mu    sync.Mutex
	write func(b []byte) error
	// bytes a second; 0: as fast as it goes
	speed int
	rng   *rand.Rand
}

func newVoice(speed int, seed uint64, write func(b []byte) error) *Voice {
	return &Voice{write: write, speed: speed, rng: rand.New(rand.NewPCG(seed, 3))}
}

// Say says some bytes, at the pace of the wire.
func (v *Voice) Say(b []byte) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.say(b)
}

const slice = 32 // so many bytes go at once

func (v *Voice) say(b []byte) error {
	for len(b) > 0 {
		n := min(slice, len(b))
		if v.speed == 0 {
			n = len(b)
		}
		if err := v.write(b[:n]); err != nil {
			return err
		}
		if v.speed > 0 {
			time.Sleep(time.Duration(n) * time.Second / time.Duration(v.speed))
		}
		b = b[n:]
	}
	return nil
}

// Noise says bytes that mean nothing, the same for the same seed.
func (v *Voice) Noise(n int) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(v.rng.IntN(256))
	}
	return v.say(b)
}

// Half says the first part of some bytes, up to all but one.
func (v *Voice) Half(b []byte) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.say(b[:v.rng.IntN(len(b))])
}

// Flood says the same n times without a pace, ten thousand a second at most.
func (v *Voice) Flood(b []byte, n int) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	begun := time.Now()
	return counted(n, func(i int) error {
		if ahead := time.Duration(i)*100*time.Microsecond - time.Since(begun); ahead > time.Millisecond {
			time.Sleep(ahead)
		}
		return v.write(b)
	})
}

// garbled is what a line sounds like at the wrong speed; not as it would be by the bit, but as useless.
func garbled(b []byte, by byte) []byte {
	out := make([]byte, len(b))
	for i, c := range b {
		out[i] = (c<<3 | c>>5) ^ 0xa5 ^ by
	}
	return out
}
