// Package fuzzing holds what every fuzz target asks beside its own properties: that
// a reader allocates no more than its input accounts for. Tests alone import it; it
// knows nothing of the house.
package fuzzing

import (
	"runtime/metrics"
	"testing"
)

// A reader may allocate so many bytes for each byte of its input, and so many more.
const (
	PerByte = 64
	Room    = 16 << 20
)

// Within does the work of one input of so many bytes, and fails the test where it
// allocates more than [PerByte] times the input and [Room]. It counts all that was
// allocated meanwhile, whether or not it was free again before the end, so that it is
// stricter than a bound on what is held at one time.
func Within(t testing.TB, input int, work func()) {
	t.Helper()
	before := allocated()
	work()
	if took, most := allocated()-before, uint64(PerByte*input+Room); took > most {
		t.Errorf("%d bytes of input made it allocate %d bytes, more than %d", input, took, most)
	}
}

// allocated gives the bytes that the program has allocated on its heap since it
// began. Of small objects the runtime counts whole runs of 8 kB and more, which is
// near enough beside Room.
func allocated() uint64 {
	sample := [1]metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample[:])
	return sample[0].Value.Uint64()
}
