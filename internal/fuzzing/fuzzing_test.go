package fuzzing

import (
	"fmt"
	"testing"
)

// told is a test that keeps what it is told.
type told struct {
	testing.TB
	errors []string
}

func (t *told) Helper() {}

func (t *told) Errorf(format string, args ...any) {
	t.errors = append(t.errors, fmt.Sprintf(format, args...))
}

var sink []byte

func TestWithin(t *testing.T) {
	for _, try := range []struct {
		input, allocates int
		fails            bool
	}{
		{0, 1 << 20, false},
		{0, Room + 1<<20, true},
		{1 << 20, Room + 32<<20, false},
		{1 << 20, Room + 65<<20, true},
	} {
		var kept told
		Within(&kept, try.input, func() { sink = make([]byte, try.allocates) })
		if fails := len(kept.errors) > 0; fails != try.fails {
			t.Errorf("%d bytes for an input of %d: %v", try.allocates, try.input, kept.errors)
		}
	}
	sink = nil
}

// Much that is free again at once counts as well.
func TestWithinCountsWhatWasFreed(t *testing.T) {
	var kept told
	Within(&kept, 0, func() {
		for range 32 {
			sink = make([]byte, 1<<20)
		}
	})
	if len(kept.errors) == 0 {
		t.Error("32 MB, a megabyte at a time, were let pass")
	}
}
