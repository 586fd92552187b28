package address

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
)

// How many mistakes get rivals, how many rivals each has, and how much less
// likely the last of them is: a hundred times.
const (
	mostRivalled = 3
	mostRivals   = 5
	farthest     = 20
)

// rivals looks for what may be instead of each of the first mistakes, when the
// others are taken as they are.
func (s *scene) rivals(ctx context.Context, start belief, mistakes []Explanation) ([]Rival, error) {
	var all []Rival
	for k := range mistakes[:min(len(mistakes), mostRivalled)] {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		without := start
		for i, e := range mistakes {
			if i != k {
				without = without.after(e)
			}
		}
		all = append(all, s.newBoard(without).inPlaceOf(k, mistakes[k])...)
	}
	return all, nil
}

// inPlaceOf lists what accounts for all that one mistake accounts for.
func (b *board) inPlaceOf(k int, first Explanation) []Rival {
	traces := b.all()
	var all []Rival
	told := []Explanation{first}
	for _, e := range slices.Concat(b.ofSeveral(traces), b.singles(traces)) {
		if e.odds == 0 {
			e = b.rate(e)
		}
		if e.odds > first.odds+farthest || slices.ContainsFunc(told, e.is) {
			continue
		}
		if e.Clears, _ = b.try(e); e.Clears < len(traces) {
			continue
		}
		told = append(told, e)
		all = append(all, Rival{e, []int{k}, max(0, int(e.odds-first.odds))})
	}
	slices.SortStableFunc(all, func(a, b Rival) int { return cmp.Compare(a.Far, b.Far) })
	return all[:min(len(all), mostRivals)]
}

// instead lists what another whole set has in the place of several mistakes of
// the best, where that is one.
func instead(best *trail, others []*trail, d Diagnosis) []Rival {
	var all []Rival
	for _, t := range others {
		if far := int(t.all - best.all); t != best && far <= farthest {
			whole := t.whole()
			fresh, gone := beside(whole, d.Mistakes), beside(d.Mistakes, whole)
			told := func(r Rival) bool { return whole[fresh[0]].is(r.Explanation) }
			if len(fresh) == 1 && len(gone) > 0 && !slices.ContainsFunc(d.Rivals, told) && !slices.ContainsFunc(all, told) {
				all = append(all, Rival{whole[fresh[0]], gone, max(0, far)})
			}
		}
	}
	return all
}

// beside gives the indices of the explanations that are not among others.
func beside(all, others []Explanation) []int {
	var own []int
	for i, e := range all {
		if !slices.ContainsFunc(others, e.is) {
			own = append(own, i)
		}
	}
	return own
}

// is reports whether two explanations say the same, in whatever order they name the
// devices.
func (e Explanation) is(other Explanation) bool {
	if e.Kind != other.Kind || len(e.Moved) != len(other.Moved) || len(e.Moved) == 0 && e.Number != other.Number {
		return false
	}
	if slices.Equal(e.Moved, other.Moved) {
		return true
	}
	byDevice := func(a, b Misplaced) int { return cmp.Or(cmp.Compare(a.Device, b.Device), cmp.Compare(a.At, b.At)) }
	return slices.Equal(slices.SortedFunc(slices.Values(e.Moved), byDevice), slices.SortedFunc(slices.Values(other.Moved), byDevice))
}

// singles lists what explains the traces by one device: by itself, together with
// one sign, or hidden where another answers as it should.
func (b *board) singles(traces []Trace) []Explanation {
	var all []Explanation
	for _, t := range traces {
		all = append(all, b.alone(t))
		if t.Sign != NoAnswer {
			continue
		}
		for _, sign := range traces {
			if sign.Sign == NoAnswer {
				continue
			}
			if e := b.together(t, sign); e != nil {
				all = append(all, *e)
			}
		}
		all = append(all, b.hidden(t)...)
	}
	return all
}

// hidden explains a missing device by a slip that set it to a number at which
// another of its type answers, steadily.
func (b *board) hidden(t Trace) []Explanation {
	d := &b.loop.Devices[t.Device]
	r := b.loop.rangeOf(d)
	var all []Explanation
	add := func(n int, how Misreading, misread bool) {
		if n > 0 && n < len(b.at[r]) && len(b.at[r][n]) > 0 && len(b.own[r][n])+len(b.wide[r][n]) > 0 {
			e := b.rate(Explanation{Kind: DoubleNumber, How: how, Misread: misread, Number: t.Number, Moved: []Misplaced{b.misplaced(t.Device, n)}})
			e.odds += oddsHidden
			all = append(all, e)
		}
	}
	for m := Exchanged; m <= OneDial; m++ {
		for _, n := range d.misreadings(m) {
			add(n, m, true)
		}
	}
	add(d.Wanted-1, 0, false)
	add(d.Wanted+1, 0, false)
	return all
}

// next finds the device to test that tells most of a mistake and its rivals
// apart: where they have it at the most different numbers, weighed by how likely
// they are.
func (s *scene) next(d Diagnosis) string {
	says, most := "", 1e-9
	for k, mistake := range d.Mistakes {
		theories := []Rival{{Explanation: mistake}}
		for _, r := range d.Rivals {
			if r.Instead[0] == k {
				theories = append(theories, r)
			}
		}
		for _, t := range theories {
			for _, m := range t.Moved {
				if told := s.tells(theories, m.Device); told > most {
					says, most = "test "+s.nameOf(m.Device)+": "+s.outcomes(theories, m.Device), told
				}
			}
		}
	}
	return says
}

// atIn gives the number that a theory has a device at.
func (s *scene) atIn(e *Explanation, device int) int {
	for _, m := range e.Moved {
		if m.Device == device {
			return m.At
		}
	}
	return s.loop.Devices[device].Wanted
}

// tells is how much testing a device tells, in nats: the entropy of what the
// panel would show.
func (s *scene) tells(theories []Rival, device int) float64 {
	weight, sum := map[int]float64{}, 0.0
	for i := range theories {
		w := math.Pow(10, -float64(theories[i].Far)/10)
		weight[s.atIn(&theories[i].Explanation, device)] += w
		sum += w
	}
	told := 0.0
	for _, w := range weight {
		told -= w / sum * math.Log(w/sum)
	}
	return told
}

// outcomes says what each thing that the panel may show means for a device.
func (s *scene) outcomes(theories []Rival, device int) string {
	var numbers []int
	for i := range theories {
		if n := s.atIn(&theories[i].Explanation, device); !slices.Contains(numbers, n) {
			numbers = append(numbers, n)
		}
	}
	var says []string
	for _, n := range numbers {
		switch n {
		case 0:
			says = append(says, "if the panel shows nothing, it does not answer")
		case s.loop.Devices[device].Wanted:
			says = append(says, fmt.Sprintf("if it shows %d, that one is set rightly", n))
		default:
			says = append(says, fmt.Sprintf("if it shows %d, it is set to %d", n, n))
		}
	}
	return strings.Join(says, "; ")
}
