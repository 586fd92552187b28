package firm

import (
	"fmt"
	"iter"
	"math/rand/v2"
	"strings"
)

// stations is how many take part in a history.
const stations = 5

// Deed is what a move does.
type Deed string

// The deeds. A transfer goes from one station to another.
const (
	Writing   Deed = "writing"
	Clean     Deed = "transfer"
	Cut       Deed = "cut transfer"          // each packet after some part of the whole is cut off, and what follows is lost
	Doubled   Deed = "doubled transfer"      // every packet comes twice
	Reordered Deed = "reordered transfer"    // packets come in another order
	Late      Deed = "transfer kept back"    // its packets are on their way until Arrival
	Arrival   Deed = "late arrival"          // of all that is on its way
	Flipped   Deed = "altered transfer"      // a bit of each packet is another
	BackingUp Deed = "backup"                // of From
	Restoring Deed = "restore from a backup" // of From, where it has one
)

// Move is one step of a history.
type Move struct {
	Deed     Deed
	From, To int
	Facts    []Fact  // written by From, one after the other
	Part     float64 // at which part of the bytes it is cut or altered
	Seed     uint64  // of the order in which packets come
}

// Histories draws so many histories; the same seed gives the same.
func Histories(seed uint64, n int) iter.Seq2[int, []Move] {
	return func(yield func(int, []Move) bool) {
		for i := range n {
			if !yield(i, history(rand.New(rand.NewPCG(seed, uint64(i))))) {
				return
			}
		}
	}
}

func history(rng *rand.Rand) []Move {
	deeds := []Deed{
		Writing, Writing, Writing, Writing, Writing, Writing, Clean, Clean, Clean, Clean, Cut, Cut, Doubled, Reordered, Late, Arrival, Flipped, BackingUp, Restoring,
	}
	var moves []Move
	for range 20 + rng.IntN(40) {
		m := Move{Deed: deeds[rng.IntN(len(deeds))], From: rng.IntN(stations), Part: rng.Float64(), Seed: rng.Uint64()}
		m.To = (m.From + 1 + rng.IntN(stations-1)) % stations
		if m.Deed == Writing {
			m.Facts = facts(rng)
		}
		moves = append(moves, m)
	}
	return moves
}

// facts draws a burst of what one person writes: mostly a few, at times a day's work.
func facts(rng *rand.Rand) []Fact {
	n := 1 + rng.IntN(4)
	if rng.IntN(5) == 0 {
		n = 20 + rng.IntN(20)
	}
	words := strings.Fields("behind the lift over the door beside the stair under the beam at the far end of the hall")
	var all []Fact
	for range n {
		value := fmt.Sprint(1 + rng.IntN(126))
		for range rng.IntN(12) {
			value += " " + words[rng.IntN(len(words))]
		}
		all = append(all, Fact{Key: fmt.Sprintf("number of point %d", 1+rng.IntN(30)), Value: value})
	}
	return all
}
