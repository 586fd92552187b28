package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"sootline"
)

// mostCandidates is how many points of one loop may have stepped between two
// visits before no exchange is looked for: so many together have another cause.
const mostCandidates = 200

// exchanges asks about devices that changed places: points of one loop and one
// type that stepped between the same two visits, such that the level of each
// device before is the level found at the place it went to.
//
// A step may lie a visit beside its best place; of the rounds that share a step,
// the one that explains most is asked about.
func exchanges(all []*stepped) []Question {
	var rounds []round
	for _, group := range together(candidates(all)) {
		if len(group) < 2 || len(group) > mostCandidates {
			continue
		}
		costs := swapCosts(group)
		went := assign(costs)
		for _, cycle := range cycles(went) {
			one := round{}
			for _, at := range cycle {
				one.members = append(one.members, group[at])
				one.gain += group[at].x - costs[at][went[at]]
			}
			rounds = append(rounds, one)
		}
	}
	slices.SortStableFunc(rounds, func(a, b round) int { return cmp.Compare(b.gain, a.gain) })
	var questions []Question
	for _, one := range rounds {
		if slices.ContainsFunc(one.members, func(c candidate) bool { return c.of.used }) {
			continue
		}
		for _, c := range one.members {
			c.of.used = true
		}
		questions = append(questions, askExchange(one.members))
	}
	return questions
}

// candidate is one place of a step.
type candidate struct {
	step
	of *stepped
}

// round is devices that changed places in a closed round, and by how much that
// explains the looks better than lines without a step, in squares of the noise.
type round struct {
	members []candidate
	gain    float64
}

func candidates(all []*stepped) []candidate {
	var each []candidate
	for _, s := range all {
		if sootline.TypeKey(s.point.Type) == "" {
			continue
		}
		each = append(each, candidate{s.step, s})
		for _, near := range s.near {
			each = append(each, candidate{near, s})
		}
	}
	return each
}

// together groups the steps of one loop and type whose gaps between visits
// overlap by at least a day, in order.
func together(all []candidate) [][]candidate {
	kind := func(c candidate) string {
		return c.of.point.LoopID().String() + "\x00" + sootline.TypeKey(c.of.point.Type)
	}
	slices.SortStableFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(kind(a), kind(b)), cmp.Compare(day(a.from), day(b.from)), cmp.Compare(day(a.to), day(b.to)))
	})
	var groups [][]candidate
	closes := int64(0)
	for i, c := range all {
		if i > 0 && kind(c) == kind(all[i-1]) && day(c.from) < closes {
			groups[len(groups)-1] = append(groups[len(groups)-1], c)
			closes = min(closes, day(c.to))
			continue
		}
		groups = append(groups, []candidate{c})
		closes = day(c.to)
	}
	return groups
}

// stays is the cost of saying that a step has a cause of its own, in squares of
// the standard error: a device is taken for one that came from elsewhere only
// where its level fits to within the square root of that.
const stays = 9

// swapCosts gives, for the device that was at place i and the place j, how badly
// its level before fits the level after at j: the squared difference over its
// variance; too badly counts as impossible. A device that stays costs a fixed
// amount.
func swapCosts(group []candidate) [][]float64 {
	costs := make([][]float64, len(group))
	for i, from := range group {
		costs[i] = make([]float64, len(group))
		for j, to := range group {
			d := from.before - to.after
			switch cost := d * d / (from.varBefore + to.varAfter); {
			case i == j:
				costs[i][j] = stays
			case from.of.point == to.of.point || !(cost <= stays):
				costs[i][j] = impossible
			default:
				costs[i][j] = cost
			}
		}
	}
	return costs
}

// impossible is more than any sum of costs that are possible.
const impossible = 1e6

// cycles lists the closed rounds of a permutation that are longer than one.
func cycles(went []int) [][]int {
	done := make([]bool, len(went))
	var all [][]int
	for start := range went {
		var cycle []int
		for at := start; !done[at]; at = went[at] {
			done[at] = true
			cycle = append(cycle, at)
		}
		if len(cycle) > 1 {
			all = append(all, cycle)
		}
	}
	return all
}

// assign gives each row a column of its own so that the costs add up to the
// least: the Hungarian method by shortest augmenting paths, O(n^3).
//
// Source: Kuhn (1955), Naval Research Logistics Quarterly 2; potentials as in
// Tomizawa (1971), Networks 1 (both from memory). Outside check: every
// permutation, for small matrices.
func assign(costs [][]float64) (column []int) {
	n := len(costs)
	row := make([]int, n+1) // by column, from 1; row[0] is the row being placed
	u, v := make([]float64, n+1), make([]float64, n+1)
	for i := 1; i <= n; i++ {
		row[0] = i
		least, way, done := make([]float64, n+1), make([]int, n+1), make([]bool, n+1)
		for j := range least {
			least[j] = math.Inf(1)
		}
		at := 0
		for row[at] != 0 {
			done[at] = true
			next, delta := 0, math.Inf(1)
			for j := 1; j <= n; j++ {
				if done[j] {
					continue
				}
				if c := costs[row[at]-1][j-1] - u[row[at]] - v[j]; c < least[j] {
					least[j], way[j] = c, at
				}
				if least[j] < delta {
					next, delta = j, least[j]
				}
			}
			for j := range done {
				if done[j] {
					u[row[j]] += delta
					v[j] -= delta
				} else {
					least[j] -= delta
				}
			}
			at = next
		}
		for at != 0 {
			row[at] = row[way[at]]
			at = way[at]
		}
	}
	column = make([]int, n)
	for j := 1; j <= n; j++ {
		column[row[j]-1] = j - 1
	}
	return column
}

// askExchange asks about devices that went round: the first to the place of the
// second and so on, the last to the place of the first.
func askExchange(went []candidate) Question {
	q := Question{Kind: AskChangedPlaces, From: went[0].from, To: went[0].to}
	for i, s := range went {
		here, place := s.of, went[(i+1)%len(went)]
		if s.from.After(q.From) {
			q.From = s.from
		}
		if s.to.Before(q.To) {
			q.To = s.to
		}
		q.Points = append(q.Points, here.point)
		q.Evidence = append(q.Evidence, fmt.Sprintf(
			"%s went from %s to %s between %s and %s; since then %s stands where it stood before, at %s",
			here.point.Ref(), number(s.before), amountOf(here.sheet, s.after), date(s.from), date(s.to),
			place.of.point.Ref(), number(place.after)))
		q.Numbers = append(q.Numbers, s.numbers(here.sheet)...)
		q.Entries = append(q.Entries, entries(here.looks)...)
	}
	q.Evidence = append(q.Evidence, "devices of one type on one loop: did "+names(q.Points)+" change places?")
	q.Say = sayExchange(went, middle(q.From, q.To))
	return q
}

// sayExchange says of each place that the unit of the one before it in the round
// was fitted there; which unit that was is known unless another came since.
func sayExchange(went []candidate, at time.Time) []Said {
	var say []Said
	for i, s := range went {
		unit := s.of.point
		body := sootline.Replaced{Text: "changed places: came from " + unit.Ref().String()}
		if unit.UnitSince.Before(at) {
			body.Unit = unit.Unit
		}
		say = append(say, Said{Point: went[(i+1)%len(went)].of.point, At: at, Body: body})
	}
	return say
}

// names lists points by their references.
func names(points []*sootline.Point) string {
	all := make([]string, len(points))
	for i, p := range points {
		all[i] = p.Ref().String()
	}
	last := len(all) - 1
	if last < 1 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:last], ", ") + " and " + all[last]
}

// walk is the points of one loop in the order in which they were read on a day.
type walk struct {
	loop sootline.LoopID
	day  int64
}

// neighbours asks about two readings of one day that are off and fit each
// other's place, when the two points were read one after the other. It gives
// the looks that are thereby explained.
func neighbours(r *sootline.Register, offs []off) (questions []Question, explained map[*look]bool) {
	explained = map[*look]bool{}
	byWalk := map[walk][]*off{}
	var order []walk
	for i := range offs {
		o := &offs[i]
		w := walk{o.stretch.point.LoopID(), day(o.look().at)}
		if byWalk[w] == nil {
			order = append(order, w)
		}
		byWalk[w] = append(byWalk[w], o)
	}
	for _, w := range order {
		if len(byWalk[w]) < 2 {
			continue
		}
		turn := turns(r, w)
		here := byWalk[w]
		slices.SortStableFunc(here, func(a, b *off) int {
			return cmp.Compare(turn[a.stretch.point], turn[b.stretch.point])
		})
		for i := 1; i < len(here); i++ {
			a, b := here[i-1], here[i]
			if explained[a.look()] || turn[b.stretch.point]-turn[a.stretch.point] != 1 || !a.fits(b.look().y) || !b.fits(a.look().y) {
				continue
			}
			if q, ok := askNeighbour(a, b); ok {
				questions = append(questions, q)
				explained[a.look()], explained[b.look()] = true, true
			}
		}
	}
	return questions, explained
}

// turns numbers the points of a walk; readings of one minute, or of a day
// without a clock, stand in the order of the register.
func turns(r *sootline.Register, w walk) map[*sootline.Point]int {
	type seen struct {
		at    int64
		point *sootline.Point
	}
	var all []seen
	for _, p := range r.Points() {
		if p.LoopID() != w.loop {
			continue
		}
		i := slices.IndexFunc(p.Readings, func(x sootline.Reading) bool { return x.Quantity == "" && day(x.At) == w.day })
		if i >= 0 {
			all = append(all, seen{p.Readings[i].At.Unix() / 60, p})
		}
	}
	slices.SortStableFunc(all, func(a, b seen) int { return cmp.Compare(a.at, b.at) })
	turn := map[*sootline.Point]int{}
	for i, s := range all {
		turn[s.point] = i
	}
	return turn
}

// askNeighbour asks whether two readings were typed for each other. Only looks
// of one reading each can be exchanged without guessing.
func askNeighbour(a, b *off) (Question, bool) {
	if len(a.look().readings) != 1 || len(b.look().readings) != 1 {
		return Question{}, false
	}
	q := Question{
		Kind: AskNeighbour, Points: []*sootline.Point{a.stretch.point, b.stretch.point},
		From: a.look().at, To: b.look().at,
		Numbers: append(a.numbers(), b.numbers()...),
	}
	if q.To.Before(q.From) {
		q.From, q.To = q.To, q.From
	}
	for _, x := range [2][2]*off{{a, b}, {b, a}} {
		here, there := x[0], x[1]
		q.Evidence = append(q.Evidence, fmt.Sprintf("%s read %s on %s, where the visits around it lead to %s",
			here.stretch.point.Ref(), amountOf(here.stretch.sheet, here.look().y), date(here.look().at), amountOf(here.stretch.sheet, here.expected)))
		q.Entries = append(q.Entries, entries(here.stretch.looks[here.at:here.at+1])...)
		q.Say = append(q.Say, correct(here.stretch.point, &here.look().readings[0],
			slices.Clone(there.look().readings[0].Samples), "typed for its neighbour "+there.stretch.point.Ref().String())...)
	}
	q.Evidence = append(q.Evidence, "they were read one after the other: was each typed for the other?")
	return q, len(q.Say) == 2
}
