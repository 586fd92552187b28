package lines

import (
	"math/rand/v2"
	"time"
)

// longest is how many bytes arrive at once at most.
const longest = 4096

// idle is after what silence a chunk without bytes says that time passes.
const idle = 5 * time.Second

// Chunks gives records as they arrive: in pieces cut anywhere, those of one millisecond together. A chunk without bytes
// stands where nothing came for five seconds. The same seed cuts the same.
func Chunks(records []Record, seed uint64) []Chunk {
	rng := rand.New(rand.NewPCG(seed, 7))
	var out []Chunk
	for _, r := range records {
		if n := len(out); n > 0 {
			last := &out[n-1]
			if r.At.Sub(last.At) < time.Millisecond && len(last.Bytes)+len(r.Bytes) <= longest {
				last.Bytes = append(last.Bytes, r.Bytes...)
				continue
			}
			if r.At.Sub(last.At) > idle {
				out = append(out, Chunk{At: last.At.Add(idle)})
			}
		}
		out = append(out, pieces(rng, r)...)
	}
	return out
}

func pieces(rng *rand.Rand, r Record) []Chunk {
	var out []Chunk
	at := r.At
	for rest := r.Bytes; len(rest) > 0; {
		n := len(rest)
		if rng.IntN(3) == 0 {
			n = 1 + rng.IntN(n)
		}
		out = append(out, Chunk{at, append([]byte(nil), rest[:n]...)})
		rest, at = rest[n:], at.Add(20*time.Millisecond)
	}
	return out
}
