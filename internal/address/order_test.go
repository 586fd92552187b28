package address_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/address"
)

// simulate runs the steps on a loop and says what goes wrong: a device that is
// not where a step thinks, a number that comes to be shared, one that the loop
// does not allow, two parked at the unset number, a wrong end.
func simulate(s address.Span, moves []address.Move, steps []address.Step) error {
	at := make([]int, len(moves))
	off := func(n int) bool { return n == 0 || n == s.Unset && s.Unset > 0 }
	takers := map[[2]int]int{}
	unset := 0
	put := func(i, by int) {
		m := moves[i]
		if at[i] == s.Unset && s.Unset > 0 {
			unset += by
		}
		for k := range max(m.Width, 1) {
			if !off(at[i]) {
				takers[[2]int{int(m.Range), at[i] + k}] += by
			}
		}
	}
	for i, m := range moves {
		at[i] = m.From
		put(i, 1)
	}
	for n, step := range steps {
		i := step.Device
		if at[i] != step.From {
			return fmt.Errorf("step %d: device %d is at %d, not %d", n, i, at[i], step.From)
		}
		put(i, -1)
		at[i] = step.To
		put(i, 1)
		if off(step.To) {
			if step.To == s.Unset && step.To > 0 && unset > 1 {
				return fmt.Errorf("step %d: two devices at the unset number", n)
			}
			continue
		}
		if err := s.Refuse(step.To, moves[i].Width); err != nil {
			return fmt.Errorf("step %d: %w", n, err)
		}
		for k := range max(moves[i].Width, 1) {
			if takers[[2]int{int(moves[i].Range), step.To + k}] > 1 {
				return fmt.Errorf("step %d: number %d is shared", n, step.To+k)
			}
		}
	}
	for i, m := range moves {
		if m.To != 0 && at[i] != m.To {
			return fmt.Errorf("device %d ends at %d, not %d", i, at[i], m.To)
		}
	}
	return nil
}

func order(t testing.TB, s address.Span, moves []address.Move) address.Order {
	t.Helper()
	o, err := address.ChangeOrder(s, moves)
	if err != nil {
		t.Fatal(err)
	}
	if err := simulate(s, moves, o.Steps); err != nil {
		t.Fatalf("%v\nmoves %+v\nsteps %+v", err, moves, o.Steps)
	}
	if len(o.Steps) < o.AtLeast || len(o.Steps) > 2*o.Moved {
		t.Fatalf("%d steps, at least %d, %d moved", len(o.Steps), o.AtLeast, o.Moved)
	}
	return o
}

// distances finds by breadth-first search over all states how many steps lead
// from devices 1..n at slots 1..n to every placement of them on the slots; the
// last slots may stand for a number that is only good for parking. It knows
// nothing of rings.
func distances(n, slots int) map[[8]uint8]int {
	var start [8]uint8
	for i := range n {
		start[i] = uint8(i + 1)
	}
	steps := map[[8]uint8]int{start: 0}
	queue := [][8]uint8{start}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		for slot := uint8(1); int(slot) <= slots; slot++ {
			if slices.Contains(at[:n], slot) {
				continue
			}
			for i := range n {
				next := at
				next[i] = slot
				if _, seen := steps[next]; !seen {
					steps[next] = steps[at] + 1
					queue = append(queue, next)
				}
			}
		}
	}
	return steps
}

// The fewest steps, for every arrangement of up to 7 devices: with one and two
// free numbers, and on a full loop with the unset number or the hand as the
// only place to park. By relabelling, the devices may stand at 1..n.
func TestFewestStepsExhaustively(t *testing.T) {
	arrangements := 0
	for n := 1; n <= 7; n++ {
		for _, free := range []int{0, 1, 2} {
			slots := n + max(free, 1)
			if slots > 8 {
				continue
			}
			for _, unset := range []int{0, n + free + 1} {
				s := address.Span{First: 1, Last: n + free, Unset: unset}
				for at, want := range distances(n, slots) {
					moves := make([]address.Move, n)
					for i := range moves {
						moves[i] = address.Move{From: i + 1, To: int(at[i])}
					}
					if free == 0 && slices.Contains(at[:n], uint8(slots)) {
						continue // the last slot is no number
					}
					arrangements++
					if o := order(t, s, moves); len(o.Steps) != want || !o.Shortest() {
						t.Fatalf("%v, %d free: %d steps (proved %t), the fewest are %d", at[:n], free, len(o.Steps), o.Shortest(), want)
					}
				}
			}
		}
	}
	t.Logf("%d arrangements", arrangements)
	if arrangements < 2*(5040+40320+20160) { // 7 devices without and with one free number, 6 with two
		t.Errorf("only %d arrangements", arrangements)
	}
}

// Steps beyond the devices that move count the cycles of a permutation, fixed
// points aside. Permutations by cycles are the unsigned Stirling numbers of the
// first kind, OEIS A132393 (rows from memory, and by their recurrence
// c(n,k) = c(n-1,k-1) + (n-1) c(n-1,k)).
func TestCyclesAreStirlingNumbers(t *testing.T) {
	rows := [][]int{{1}, {1, 1}, {2, 3, 1}, {6, 11, 6, 1}, {24, 50, 35, 10, 1}, {120, 274, 225, 85, 15, 1}, {720, 1764, 1624, 735, 175, 21, 1}}
	for n := 1; n <= 7; n++ {
		got := make([]int, n)
		permute(upTo(n), 0, func(p []int) {
			moves := make([]address.Move, n)
			for i, to := range p {
				moves[i] = address.Move{From: i + 1, To: to}
			}
			o := order(t, span(1, n+1), moves)
			cycles := len(o.Steps) - o.Moved + n - o.Moved
			got[cycles-1]++
		})
		if !slices.Equal(got, rows[n-1]) {
			t.Errorf("%d devices: %v, want %v", n, got, rows[n-1])
		}
		for k := 0; n > 1 && k < n; k++ {
			c := 0
			if k > 0 {
				c = rows[n-2][k-1]
			}
			if k < n-1 {
				c += (n - 1) * rows[n-2][k]
			}
			if c != rows[n-1][k] {
				t.Errorf("row %d of the table breaks the recurrence at %d", n, k+1)
			}
		}
	}
}

func permute(p []int, from int, visit func([]int)) {
	if from == len(p) {
		visit(p)
		return
	}
	for i := from; i < len(p); i++ {
		p[from], p[i] = p[i], p[from]
		permute(p, from+1, visit)
		p[from], p[i] = p[i], p[from]
	}
}

// randomMoves fills a loop of up to that many numbers with devices, wide ones
// among them, as they are and as they are wanted. Some stand at one number with
// another, some are off the loop, some have not been set.
func randomMoves(r *rand.Rand, s address.Span, most int, wide bool) []address.Move {
	var moves []address.Move
	used := 0
	for used < most {
		w := 1
		if wide && r.IntN(4) == 0 {
			w = 2 + r.IntN(3)
		}
		if used += w; used <= most {
			moves = append(moves, address.Move{Width: w})
		}
	}
	spread := func(set func(m *address.Move, n int)) {
		n, gap := s.First, s.Last-s.First+1-sum(moves)
		for _, i := range r.Perm(len(moves)) {
			skip := 0
			if gap > 0 {
				skip = min(r.IntN(3), gap)
			}
			gap -= skip
			set(&moves[i], n+skip)
			n += skip + moves[i].Width
		}
	}
	spread(func(m *address.Move, n int) { m.From = n })
	spread(func(m *address.Move, n int) { m.To = n })
	for i := range moves {
		switch r.IntN(40) {
		case 0:
			moves[i].From = 0
		case 1:
			moves[i].From = s.Unset
		case 2:
			moves[i].From = moves[r.IntN(len(moves))].From
		}
	}
	return moves
}

func sum(moves []address.Move) int {
	n := 0
	for _, m := range moves {
		n += m.Width
	}
	return n
}

func TestRandomLoops(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 250))
	var wide, steps, least, shortest int
	for k := range 400 {
		s := span(1, 250)
		o := order(t, s, randomMoves(r, s, []int{250, 249, 240, 150}[k%4], k%2 == 0))
		if k%2 == 1 {
			if !o.Shortest() {
				t.Fatalf("widths of one: %d steps, at least %d", len(o.Steps), o.AtLeast)
			}
			continue
		}
		wide++
		steps, least = steps+len(o.Steps), least+o.AtLeast
		if o.Shortest() {
			shortest++
		}
	}
	t.Logf("%d loops with wide devices: %d proved shortest, %.1f %% more steps than the bound", wide, shortest, 100*float64(steps-least)/float64(least))
}

// Any loop that can be drawn ends as wanted with no clash at any step.
func TestOrderProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		r := rand.New(rand.NewPCG(seed, 1))
		s := span(1, rapid.IntRange(4, 24).Draw(t, "last"))
		if rapid.Bool().Draw(t, "no unset number") {
			s.Unset = 0
		}
		moves := randomMoves(r, s, rapid.IntRange(1, s.Last).Draw(t, "numbers"), true)
		o, err := address.ChangeOrder(s, moves)
		if err != nil {
			t.Fatal(err)
		}
		if err := simulate(s, moves, o.Steps); err != nil {
			t.Fatalf("%v\n%+v\n%+v", err, moves, o.Steps)
		}
		if len(o.Steps) < o.AtLeast || len(o.Steps) > 2*o.Moved {
			t.Fatalf("%d steps, at least %d, %d moved", len(o.Steps), o.AtLeast, o.Moved)
		}
	})
}

// The plan of a loop, carried out in change order, ends at the plan.
func TestOrderOfAPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLoop(t)
		p, err := address.Plan(l, drawStyle(t))
		if err != nil {
			return
		}
		moves := l.Moves(p.Numbers)
		o, err := address.ChangeOrder(l.Span, moves)
		if err != nil {
			t.Fatal(err)
		}
		if err := simulate(l.Span, moves, o.Steps); err != nil {
			t.Fatal(err)
		}
	})
}

func TestOrderRefuses(t *testing.T) {
	for _, c := range []struct {
		moves []address.Move
		says  string
	}{
		{[]address.Move{{From: 1, To: 3}, {From: 2, To: 3}}, "devices 1 and 2 of the change are both to have number 3"},
		{[]address.Move{{From: 1, To: 3, Width: 2}, {From: 4}}, "devices 1 and 2 of the change are both to have number 4"},
		{[]address.Move{{From: 1, To: 300}}, "number 300 is not one of the loop's numbers 1 to 9"},
		{[]address.Move{{From: 1, To: 8, Width: 4}}, "needs number 11, and the loop ends at 9"},
		{[]address.Move{{From: 1, To: 8, Most: 7}}, "number 8 cannot be set on device 1"},
		{[]address.Move{{From: -1, To: 8}}, "device 1 of the change cannot go from -1 to 8"},
	} {
		_, err := address.ChangeOrder(span(1, 9), c.moves)
		if err == nil || sootline.ErrorCode(err) == "" || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v does not say %q", err, c.says)
		}
	}
}

// A ring on a full loop is broken at the unset number; where that is taken or
// not known, one device is lifted; a free number comes before both.
func TestWhereToPark(t *testing.T) {
	ring := []address.Move{{From: 1, To: 2}, {From: 2, To: 1}}
	for _, c := range []struct {
		name  string
		span  address.Span
		moves []address.Move
		want  address.StepKind
	}{
		{"free number", span(1, 3), ring, address.Park},
		{"full", span(1, 2), ring, address.ParkUnset},
		{"full, unset not known", address.Span{First: 1, Last: 2}, ring, address.Lift},
		{"full, somebody unset", span(1, 2), append([]address.Move{{From: 3}}, ring...), address.Lift},
		{"a number that another has just left", span(1, 4), append([]address.Move{{From: 3, To: 4}}, ring...), address.Park},
		{"the free number is reserved", address.Span{First: 1, Last: 3, Reserved: []int{3}}, ring, address.Lift},
		{"the free number cannot be set", address.Span{First: 1, Last: 3}, []address.Move{{From: 1, To: 2, Most: 2}, {From: 2, To: 1, Most: 2}}, address.Lift},
	} {
		o := order(t, c.span, c.moves)
		parked := slices.IndexFunc(o.Steps, func(s address.Step) bool { return s.Kind != address.Set })
		if len(o.Steps) != o.Moved+1 || o.Steps[parked].Kind != c.want {
			t.Errorf("%s: %+v", c.name, o.Steps)
		}
	}
}

// Of a wide device and the four that it changes places with, the wide one is
// parked: one step more, not four.
func TestParkTheOneThatMostWaitFor(t *testing.T) {
	moves := []address.Move{{From: 5, To: 1}, {From: 6, To: 2}, {From: 1, To: 5, Width: 4}, {From: 7, To: 3}, {From: 8, To: 4}}
	for _, last := range []int{8, 12} {
		if o := order(t, span(1, last), moves); len(o.Steps) != 6 || !o.Shortest() {
			t.Errorf("%+v", o)
		}
	}
}

// A number of the sensors' range does not stand in the way of one of the
// modules', unless they share one range.
func TestOrderOfSeparateRanges(t *testing.T) {
	moves := []address.Move{{From: 1, To: 2}, {From: 2, To: 1, Range: address.Modules}}
	for separate, steps := range map[bool]int{true: 2, false: 3} {
		s := span(1, 3)
		s.Separate = separate
		o, err := address.ChangeOrder(s, moves)
		if err != nil || len(o.Steps) != steps {
			t.Errorf("separate %t: %v, %+v", separate, err, o.Steps)
		}
	}
}
