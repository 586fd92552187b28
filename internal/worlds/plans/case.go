// Package plans gives random cases for whoever plans the numbers of a loop, checks plans, and solves small cases exactly.
// It was written from the words of the task alone, without sight of the engine, and imports nothing of the program.
//
// The definitions:
//
//   - A move is a device that has a number now and has another one in the plan. One that has none now is no move.
//   - Out of order, within blocks ([Within]): the devices of a block stand in the order of the cable; those that must be left
//     out so that the numbers of the others rise along it are out of order (the devices less the longest rising subsequence),
//     block by block. On a loop of separate ranges a block has a part in each.
//   - Out of order, across blocks ([Across]): the same over all devices of a range, block after block as they first come along
//     the cable. It is never less than within.
//   - Spares: numbers that are of the span, not reserved and not taken. At the end of a block are those between the highest
//     number of the block and the next taken one above. Spread, a spare is the block's whose number comes next below it.
//   - With Keep the best plan has the fewest moves, then the fewest out of order. Afresh it lacks the fewest spares, then
//     has the fewest out of order.
package plans

import (
	"cmp"
	"fmt"
	"slices"
)

// Device is a device to be numbered. Devices stand in the order of the cable.
type Device struct {
	Now    int // the number it stands at; 0: none is known
	Width  int // how many numbers it takes from its first one
	Least  int // the least first number that it can be set to; 0: any
	Most   int // the highest first number that it can be set to; 0: any
	Module bool
	Block  string // its zone or area
	Pinned bool   // it must keep its number
}

// Case is a loop to be numbered.
type Case struct {
	First, Last int
	Reserved    []int
	Separate    bool // detectors and modules have a range each; what is reserved is so in both
	Devices     []Device
	Spares      int  // numbers to be left free for each block
	Spread      bool // anywhere in the block, else at its end
	Keep        bool // what stands well stays
}

// Plan is a number for each device, and for each that changes the reason.
type Plan struct {
	Numbers []int
	Reasons []string
}

// Measures of a plan.
type Measures struct{ Moves, Within, Across, Missing int }

// Measure counts what a plan costs. Missing is how many spares are lacking.
func Measure(c Case, numbers []int) Measures {
	return Measures{Moves(c, numbers), Within(c, numbers), Across(c, numbers), Missing(c, numbers)}
}

// Moves counts the devices that change number.
func Moves(c Case, numbers []int) int {
	n := 0
	for i, to := range numbers {
		if c.Devices[i].Now > 0 && c.Devices[i].Now != to {
			n++
		}
	}
	return n
}

// part is a block, or on a loop of separate ranges its part in one.
type part struct {
	module bool
	block  string
}

func (c Case) part(i int) part { return part{c.ranged(i), c.Devices[i].Block} }

func (c Case) ranged(i int) bool { return c.Separate && c.Devices[i].Module }

// parts gives the devices of each part, the parts in the order in which they first come along the cable.
func (c Case) parts(n int) (order []part, of map[part][]int) {
	of = map[part][]int{}
	for i := range n {
		p := c.part(i)
		if len(of[p]) == 0 {
			order = append(order, p)
		}
		of[p] = append(of[p], i)
	}
	return order, of
}

// Within counts the devices out of order within their blocks, of the first ones that have a number in the plan.
func Within(c Case, numbers []int) int {
	out := 0
	order, of := c.parts(len(numbers))
	for _, p := range order {
		out += falling(of[p], numbers)
	}
	return out
}

// Across counts the devices out of order across blocks.
func Across(c Case, numbers []int) int {
	order, of := c.parts(len(numbers))
	all := map[bool][]int{}
	for _, p := range order {
		all[p.module] = append(all[p.module], of[p]...)
	}
	return falling(all[false], numbers) + falling(all[true], numbers)
}

// falling is how many of a sequence must be left out so that the numbers of the others rise.
func falling(of, numbers []int) int {
	var tops []int // the least last number of a rising subsequence of each length
	for _, i := range of {
		at, _ := slices.BinarySearch(tops, numbers[i])
		if at == len(tops) {
			tops = append(tops, 0)
		}
		tops[at] = numbers[i]
	}
	return len(of) - len(tops)
}

// Missing counts the spares that blocks lack.
func Missing(c Case, numbers []int) int {
	if c.Spares == 0 {
		return 0
	}
	out := 0
	order, of := c.parts(len(numbers))
	taken := c.taken(numbers)
	for _, p := range order {
		highest := 0
		for _, i := range of[p] {
			highest = max(highest, numbers[i])
		}
		free := 0
		for n := c.First; n <= c.Last; n++ {
			below, is := c.below(taken[p.module], n)
			if is && c.part(below) == p && (c.Spread || numbers[below] == highest) {
				free++
			}
		}
		out += max(0, c.Spares-free)
	}
	return out
}

// taken gives by range who takes which number.
func (c Case) taken(numbers []int) map[bool]map[int]int {
	out := map[bool]map[int]int{false: {}, true: {}}
	for i, n := range numbers {
		for k := range c.Devices[i].Width {
			out[c.ranged(i)][n+k] = i
		}
	}
	return out
}

// below gives the device whose number comes next below a free one; false where the number is not free or none is below.
func (c Case) below(taken map[int]int, n int) (int, bool) {
	if _, ok := taken[n]; ok || slices.Contains(c.Reserved, n) {
		return 0, false
	}
	for n--; n >= c.First; n-- {
		if i, ok := taken[n]; ok {
			return i, true
		}
	}
	return 0, false
}

// may says why a device cannot have a number, whatever the others have.
func (c Case) may(i, n int) error {
	d := c.Devices[i]
	switch {
	case n < c.First || n+d.Width-1 > c.Last:
		return fmt.Errorf("device %d at %d, %d wide: outside %d to %d", i, n, d.Width, c.First, c.Last)
	case d.Least > 0 && n < d.Least, d.Most > 0 && n > d.Most:
		return fmt.Errorf("device %d at %d: can be set from %d to %d", i, n, d.Least, d.Most)
	case d.Pinned && n != d.Now:
		return fmt.Errorf("device %d at %d: must keep %d", i, n, d.Now)
	}
	for k := range d.Width {
		if slices.Contains(c.Reserved, n+k) {
			return fmt.Errorf("device %d at %d: %d is reserved", i, n, n+k)
		}
	}
	return nil
}

// overlap says whether two devices at these numbers have one in common.
func (c Case) overlap(i, at, k, to int) bool {
	return c.ranged(i) == c.ranged(k) && at < to+c.Devices[k].Width && to < at+c.Devices[i].Width
}

// Check says what is wrong with a plan: a number that a device cannot have, a number taken twice, a change without a reason,
// and with Keep a device that moves although its number is free for it.
func Check(c Case, p Plan) error {
	if len(p.Numbers) != len(c.Devices) {
		return fmt.Errorf("%d numbers for %d devices", len(p.Numbers), len(c.Devices))
	}
	for i, n := range p.Numbers {
		if err := c.may(i, n); err != nil {
			return err
		}
		for k := range i {
			if c.overlap(i, n, k, p.Numbers[k]) {
				return fmt.Errorf("devices %d and %d share a number: %d and %d", k, i, p.Numbers[k], n)
			}
		}
		if c.Devices[i].Now != n && (i >= len(p.Reasons) || p.Reasons[i] == "") {
			return fmt.Errorf("device %d goes from %d to %d without a reason", i, c.Devices[i].Now, n)
		}
	}
	for i := range c.Devices {
		if c.Keep && c.stays(i, p.Numbers) {
			return fmt.Errorf("device %d goes from %d to %d, though it could stay", i, c.Devices[i].Now, p.Numbers[i])
		}
	}
	return nil
}

// stays says whether a device that moves could stay, the others being where the plan has them.
func (c Case) stays(i int, numbers []int) bool {
	now := c.Devices[i].Now
	if now == 0 || now == numbers[i] || c.may(i, now) != nil {
		return false
	}
	for k, n := range numbers {
		if k != i && c.overlap(i, now, k, n) {
			return false
		}
	}
	return true
}

// Score is what is compared, the first number before the second: with Keep moves and out of order, afresh missing spares
// and out of order.
type Score [2]int

// Of scores a plan, by a count of what is out of order ([Within] or [Across]).
func Of(c Case, numbers []int, order func(Case, []int) int) Score {
	if c.Keep {
		return Score{Moves(c, numbers), order(c, numbers)}
	}
	return Score{Missing(c, numbers), order(c, numbers)}
}

func (s Score) less(other Score) bool {
	return cmp.Or(cmp.Compare(s[0], other[0]), cmp.Compare(s[1], other[1])) < 0
}
