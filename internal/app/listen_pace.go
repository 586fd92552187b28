package app

import (
	"time"

	"sootline/internal/ear"
)

// pace counts what a source says in a minute. A printer line of 9,600 bit/s carries 58 kB in a minute; what says more than
// several of them is told as a flood, and of what says still more the rest of the minute is not kept. Chosen here, no source.
type pace struct {
	minute time.Time
	bytes  int64
}

const (
	floodBytes = 256 << 10 // in a minute: it is told
	mostBytes  = 8 << 20   // in a minute: more is not kept
	floodTold  = 2 * time.Minute
)

// floods counts a piece, and reports whether it is one of too many.
func (p *pace) floods(one ear.Heard) bool {
	if minute := one.At.Truncate(time.Minute); !minute.Equal(p.minute) {
		p.minute, p.bytes = minute, 0
	}
	before := p.bytes
	p.bytes += int64(len(one.Bytes))
	return p.bytes > mostBytes || before <= floodBytes && p.bytes > floodBytes
}

// turned takes off a piece what is too much to be kept, and says how much that is.
func (p *pace) turned(one *ear.Heard) int64 {
	over := min(max(0, p.bytes-mostBytes), int64(len(one.Bytes)))
	one.Bytes = one.Bytes[:int64(len(one.Bytes))-over]
	return over
}
