package address_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"sootline/internal/address"
)

// fewestWide finds by breadth-first search over all states, devices off the
// loop and at free numbers included, how many steps lead to the goal.
func fewestWide(s address.Span, moves []address.Move) int {
	const devices = 5
	var start, goal [devices]uint8
	for i, m := range moves {
		start[i], goal[i] = uint8(m.From), uint8(m.To)
	}
	steps := map[[devices]uint8]int{start: 0}
	queue := [][devices]uint8{start}
	for queue[0] != goal {
		at := queue[0]
		queue = queue[1:]
		for i, m := range moves {
			for n := 0; n+m.Width-1 <= s.Last; n++ {
				next := at
				next[i] = uint8(n)
				if _, seen := steps[next]; !seen && (n == 0 || !overlaps(moves, next[:], i)) {
					steps[next] = steps[at] + 1
					queue = append(queue, next)
				}
			}
		}
	}
	return steps[goal]
}

func overlaps(moves []address.Move, at []uint8, i int) bool {
	return slices.ContainsFunc(upTo(len(moves)), func(k int) bool {
		k--
		return k != i && at[k] != 0 && int(at[i]) < int(at[k])+moves[k].Width && int(at[k]) < int(at[i])+moves[i].Width
	})
}

// With wide devices the bound holds, and the list is near the fewest steps: how
// near is measured, for no proof says so.
func TestWideOrdersNearTheFewest(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	cases, shortest, proved, more := 0, 0, 0, 0
	for cases < 60 {
		s := address.Span{First: 1, Last: 9}
		moves := randomMoves(r, s, 5+r.IntN(5), true)
		if len(moves) > 5 || slices.ContainsFunc(moves, func(m address.Move) bool { return m.From == 0 || m.Width > 1 && m.From+m.Width > 10 }) {
			continue
		}
		cases++
		o := order(t, s, moves)
		fewest := fewestWide(s, moves)
		if fewest < o.AtLeast || fewest > len(o.Steps) {
			t.Fatalf("%d steps, the fewest are %d, bound %d: %+v", len(o.Steps), fewest, o.AtLeast, moves)
		}
		more += len(o.Steps) - fewest
		if len(o.Steps) == fewest {
			shortest++
		}
		if o.Shortest() {
			proved++
		}
	}
	t.Logf("%d loops of up to 5 devices on 9 numbers: %d with the fewest steps, %d of them proved, %d steps more in all", cases, shortest, proved, more)
	if shortest < cases*9/10 {
		t.Errorf("only %d of %d with the fewest steps", shortest, cases)
	}
}
