package sootline

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// A line of amendments, each written in sight of the one before, by clocks that say
// anything: the last that was not taken back holds, in whatever order they come.
func TestAmendmentsBySight(t *testing.T) {
	for seed := range uint64(500) {
		chance := rand.New(rand.NewPCG(seed, 7))
		wild := func() time.Time { return time.UnixMilli(chance.Int64N(4e12)).UTC() }
		n := byte(0)
		entry := func(body Body) Entry {
			n++
			at := wild()
			return Entry{ID: NewID(at, [10]byte{n}), At: at, Noted: at, Station: fmt.Sprint(chance.IntN(3)), Seq: int64(n), Body: body}
		}
		log := []Entry{entry(Note{Text: "first"})}
		first := log[0].ID
		var standing []ID
		for range 1 + chance.IntN(8) {
			seen := Unsurpassed(log, first)
			if len(seen) > 1 {
				t.Fatal("more than one end of a line: ", seen)
			}
			c := entry(Corrected{Entry: first, At: log[0].At, Body: Note{Text: "x"}, Seen: seen})
			log, standing = append(log, c), append(standing, c.ID)
			if k := len(standing) - 1; chance.IntN(3) == 0 {
				log = append(log, entry(Withdrawn{Entry: standing[k], Seen: Unsurpassed(log, standing[k])}))
				standing = standing[:k]
			}
		}
		chance.Shuffle(len(log), func(i, j int) { log[i], log[j] = log[j], log[i] })
		holds := Amendments(log)[first]
		switch {
		case len(standing) == 0 && holds == nil:
		case len(standing) == 0 || holds == nil || holds.ID != standing[len(standing)-1]:
			t.Fatalf("seed %d: %v holds, of %v", seed, holds, standing)
		}
	}
}

// Amendments that go round in a circle are forged; they are settled all the same,
// and alike in any order.
func TestAmendmentsInACircle(t *testing.T) {
	at := time.Date(2026, 1, 15, 0, 0, 0, 0, time.UTC)
	id := func(n byte) ID { return NewID(at, [10]byte{n}) }
	entry := func(n byte, body Body) Entry {
		return Entry{ID: id(n), At: at, Noted: at.Add(time.Duration(n)), Station: "a", Seq: int64(n), Body: body}
	}
	log := []Entry{
		entry(1, Note{Text: "first"}),
		entry(2, Withdrawn{Entry: id(1), Seen: []ID{id(3)}}), entry(3, Withdrawn{Entry: id(1), Seen: []ID{id(2), id(2), id(9)}}),
		entry(4, Withdrawn{Entry: id(5)}), entry(5, Withdrawn{Entry: id(4)}), entry(6, Withdrawn{Entry: id(6)}),
	}
	want := Amendments(log)
	if want[id(1)] == nil {
		t.Error("nothing holds of what was taken back twice")
	}
	turned := slices.Clone(log)
	slices.Reverse(turned)
	for target, by := range Amendments(turned) {
		if want[target] == nil || want[target].ID != by.ID {
			t.Errorf("of %v holds %v in one order", target, by.ID)
		}
	}
}
