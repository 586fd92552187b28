package circuit

import "math"

// Split is a plan of tests for finding the one faulty section among several in a row. Each test is made at the joint
// between two sections and says on which side the fault is.
type Split struct {
	Section     int // where the plan ends: the faulty section; only where Left is nil
	Joint       int // test between section Joint and the next
	Left, Right *Split
}

// Plan is the best plan of tests, with what it takes.
type Plan struct {
	*Split
	Effort float64 // expected, in the unit of the efforts
	Tests  float64 // expected number
	Most   int     // largest number
}

// mostSections bounds the work of [Halve], which grows with the cube.
const mostSections = 600

// Halve plans the tests with the least expected effort: the optimal alphabetic tree whose inner nodes have costs of
// their own. likelihood has one number a section, in any unit; effort one a joint between neighbours, nil for 1 each.
// With equal efforts this is the tree of Hu and Tucker (1971). Unequal ones rule out Knuth's narrowing of the search,
// so every joint of every run is tried: n^3/6 steps, exact.
func Halve(likelihood, effort []float64) (Plan, error) {
	n := len(likelihood)
	if effort == nil {
		effort = make([]float64, max(n-1, 0))
		for i := range effort {
			effort[i] = 1
		}
	}
	if err := checkHalve(likelihood, effort); err != nil {
		return Plan{}, err
	}
	before := make([]float64, n+1)
	for i, p := range likelihood {
		before[i+1] = before[i] + p
	}
	cost, joint := halve(before, effort)
	plan := Plan{Split: grow(joint, n, 0, n-1), Effort: cost[n-1] / before[n]}
	plan.measure(plan.Split, 0, likelihood, before[n])
	return plan, nil
}

func checkHalve(likelihood, effort []float64) error {
	n := len(likelihood)
	if n < 1 || n > mostSections || len(effort) != n-1 {
		return invalid("a plan needs 1 to %d sections and one effort for each joint between them, found %d and %d", mostSections, n, len(effort))
	}
	sum := 0.0
	for _, p := range likelihood {
		sum += p
		if !notNegative(p) {
			return invalid("a likelihood is a number from 0, found %g", p)
		}
	}
	for _, e := range effort {
		if !positive(e) {
			return invalid("the effort of a test is a number above 0, found %g", e)
		}
	}
	if !positive(sum) {
		return invalid("one section at least must be able to hold the fault")
	}
	return nil
}

// halve fills cost[i*n+j] for every run of sections i to j, with the joint at which its first test is made.
func halve(before, effort []float64) (cost []float64, joint []int) {
	n := len(before) - 1
	cost, joint = make([]float64, n*n), make([]int, n*n)
	for length := 2; length <= n; length++ {
		for i := 0; i+length <= n; i++ {
			j := i + length - 1
			weight := before[j+1] - before[i]
			best := math.Inf(1)
			for k := i; k < j; k++ {
				// Of equal ones the joint nearer the middle, so that sections that cannot hold the fault do not
				// drag the plan into a list.
				c := effort[k]*weight + cost[i*n+k] + cost[(k+1)*n+j]
				if c < best || c == best && abs(2*k+1-i-j) < abs(2*joint[i*n+j]+1-i-j) {
					best, joint[i*n+j] = c, k
				}
			}
			cost[i*n+j] = best
		}
	}
	return cost, joint
}

func abs(n int) int { return max(n, -n) }

func grow(joint []int, n, i, j int) *Split {
	if i == j {
		return &Split{Section: i}
	}
	k := joint[i*n+j]
	return &Split{Joint: k, Left: grow(joint, n, i, k), Right: grow(joint, n, k+1, j)}
}

// measure counts the tests down to each section.
func (p *Plan) measure(s *Split, depth int, likelihood []float64, sum float64) {
	if s.Left == nil {
		p.Tests += float64(depth) * likelihood[s.Section] / sum
		p.Most = max(p.Most, depth)
		return
	}
	p.measure(s.Left, depth+1, likelihood, sum)
	p.measure(s.Right, depth+1, likelihood, sum)
}
