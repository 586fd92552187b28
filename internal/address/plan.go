package address

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
)

// Style is how a loop is to be numbered.
type Style struct {
	By     Grouping
	Spares Spares
	Keep   bool // keep every number already set wherever the rules of the loop allow it
}

// Grouping says in which order devices get their numbers.
type Grouping int

// The groupings. Within a block the order is that along the cable; devices
// without a zone or area are the last block.
const (
	AlongCable Grouping = iota
	ByZone
	ByArea
)

// Spares are numbers to be left free, in each range of the loop.
type Spares struct {
	Count   int  // so many
	Percent int  // or a share of the numbers that devices take, rounded up
	Spread  bool // between the devices, or at the end of each block; otherwise above the last
}

// of gives the spares beside so many numbers taken.
func (s Spares) of(taken int) int { return s.Count + (taken*s.Percent+99)/100 }

// Change is one line of a proposal: the number that a device should have.
type Change struct {
	Device   int // index in Loop.Devices
	From, To int // From is 0 where it should have none so far
	Why      string
}

// Proposal is a plan: nothing is changed until somebody accepts it.
type Proposal struct {
	Fits    []Fit
	Numbers []int    // by device
	Changes []Change // in walk order; empty when all stays as it is
	Notes   []string // what the plan could not do as wished
}

// Plan proposes a number for every device of the loop. The same input gives the
// same plan, and a loop numbered by a plan is planned with Keep without change.
// It returns an error, with the Fits that explain it, when they do not all fit.
func Plan(l Loop, s Style) (Proposal, error) {
	fits, err := Fits(l, s.Spares)
	if err != nil {
		return Proposal{}, err
	}
	for _, f := range fits {
		if f.Why != "" {
			return Proposal{Fits: fits}, f.err(l)
		}
	}
	p := newPlanner(l, l.blocks(s.By))
	if s.Keep {
		p.keep()
	}
	for _, f := range fits {
		all := p.ofRange(f.Range)
		p.place(f.Range, all, p.gaps(all, f, s))
	}
	return Proposal{Fits: fits, Numbers: p.numbers, Changes: p.changes(), Notes: p.notes}, nil
}

// PlanAll plans several loops, each by itself. The proposals come in the order
// of the loops; a loop whose devices do not fit has its Fits only, and its
// sentence is one of those joined in the error. It gives the error of the context
// where that ends first.
func PlanAll(ctx context.Context, loops []Loop, s Style) ([]Proposal, error) {
	proposals := make([]Proposal, len(loops))
	wrong := make([]error, len(loops))
	for i, l := range loops {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		proposals[i], wrong[i] = Plan(l, s)
	}
	return proposals, errors.Join(wrong...)
}

// blocks puts the walk order into blocks, each in a slice of its own.
func (l Loop) blocks(by Grouping) [][]int {
	walk := l.Walk()
	if by == AlongCable {
		return [][]int{walk}
	}
	block := func(i int) string {
		if by == ByZone {
			return l.Devices[i].Zone
		}
		return l.Devices[i].Area
	}
	slices.SortStableFunc(walk, func(i, j int) int { return compareBlocks(block(i), block(j)) })
	var blocks [][]int
	for k, i := range walk {
		if k == 0 || block(i) != block(walk[k-1]) {
			blocks = append(blocks, nil)
		}
		last := len(blocks) - 1
		blocks[last] = append(blocks[last], i)
	}
	return blocks
}

// compareBlocks puts 2 before 10, names after numbers, and no name last.
func compareBlocks(a, b string) int {
	rank := func(s string) int {
		switch {
		case s == "":
			return 2
		case digitsOnly(s):
			return 0
		}
		return 1
	}
	if order := cmp.Compare(rank(a), rank(b)); order != 0 {
		return order
	}
	if rank(a) == 0 {
		return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b))
	}
	return cmp.Compare(a, b)
}

func digitsOnly(s string) bool {
	return !slices.ContainsFunc([]rune(s), func(c rune) bool { return c < '0' || c > '9' })
}

// changes lists the devices whose number on paper changes.
func (p *planner) changes() []Change {
	var changes []Change
	for _, i := range p.loop.Walk() {
		if d := p.loop.Devices[i]; d.number() != p.numbers[i] {
			changes = append(changes, Change{Device: i, From: d.number(), To: p.numbers[i], Why: p.why(i)})
		}
	}
	return changes
}

func (p *planner) why(i int) string {
	d := &p.loop.Devices[i]
	switch n := d.number(); {
	case n == 0:
		return "it has no number yet"
	case p.numbers[i] == d.Found && d.Wanted == 0:
		return "it was found there"
	case p.letGo[i]:
		return "it makes room for one that fits nowhere else"
	case p.refused[i] != nil:
		return p.refused[i].Error()
	case p.shared[i]:
		return fmt.Sprintf("another device keeps number %d", n)
	}
	return "that is its turn"
}
