package listing

import (
	"fmt"
	"slices"
	"strings"
)

// Two values of one point on one day are samples of one reading only where a word says so: a running number, a plural.
// Else the one may correct the other, or be of another thing.

// doubtSameDay asks about visits of which two columns are headed alike.
func (s *study) doubtSameDay() {
	if s.u.Kind != KindReadings || s.profileHas(Value) {
		return
	}
	var groups [][]int
	for _, v := range s.u.visits {
		groups = append(groups, v.columns)
	}
	s.askAlike(groups)
}

// byHeadingAlone puts columns together that are headed by the same text.
func (s *study) byHeadingAlone(at []int) (groups [][]int) {
	for _, i := range at {
		k := slices.IndexFunc(groups, func(group []int) bool {
			return s.u.sameMeasure(group[0], i) && fold(s.u.Columns[group[0]].Heading) == fold(s.u.Columns[i].Heading)
		})
		if k < 0 {
			groups = append(groups, []int{i})
			continue
		}
		groups[k] = append(groups[k], i)
	}
	return groups
}

// askAlike asks which columns hold, of groups that go together, where those of a group are headed alike.
func (s *study) askAlike(groups [][]int) {
	var first, last, all []string
	twice := -1
	for _, group := range groups {
		alike := s.headedAlike(group)
		for k, i := range group {
			all = append(all, columnKey(i))
			if !alike || k == 0 {
				first = append(first, columnKey(i))
			}
			if !alike || k == len(group)-1 {
				last = append(last, columnKey(i))
			}
		}
		if alike && twice < 0 {
			twice = group[0]
		}
	}
	if twice < 0 {
		return
	}
	s.u.askOnce(AskValue, fmt.Sprintf("Several columns are headed %q, and no word says how they differ. Which of them hold?", s.u.Columns[twice].Heading),
		Choice{strings.Join(all, ","), "all of them: samples of one reading"},
		Choice{strings.Join(first, ","), "of columns headed alike, the first"}, Choice{strings.Join(last, ","), "of columns headed alike, the last"})
}

// headedAlike: of several columns, all are headed by the same text.
func (s *study) headedAlike(at []int) bool {
	if len(at) < 2 {
		return false
	}
	head := fold(s.u.Columns[at[0]].Heading)
	return head != "" && !slices.ContainsFunc(at, func(i int) bool { return fold(s.u.Columns[i].Heading) != head || slices.Contains(s.merged, i) })
}

// doubtPairsInCells asks what two numbers in most cells of the one column of values are, where its heading is of one.
func (s *study) doubtPairsInCells(at []int) {
	if len(at) != 1 || !s.u.Columns[at[0]].lists || slices.ContainsFunc(strings.Fields(fold(s.u.Columns[at[0]].Heading)), s.u.lx.isOfSeveral) {
		return
	}
	i, pair := at[0], ""
	for cell := range s.content[i].distinct {
		switch n := len(splitSamples(cell)); {
		case n > 2:
			return
		case n == 2 && (pair == "" || cell < pair):
			pair = cell
		}
	}
	if pair == "" {
		return
	}
	s.u.askOnce(AskValue, fmt.Sprintf("Most cells of column %q hold two numbers, such as %s. Are they samples of one reading?", s.u.columnName(i), quoteShort(pair)),
		Choice{columnKey(i), "yes, samples of one reading"}, Choice{columnKey(i) + "=" + string(Unused), "no, they are other things: leave the column out"})
}

// severalWords say in the heading of values that a cell has several. Common practice, no source.
const severalWords = `
several: values, readings, samples, measurements, werte, messwerte, ablesungen, messungen, proben, valeurs, lectures, mesures, releves, echantillons, valores, lecturas, medidas, muestras, valori, letture, misure, campioni, waarden, metingen, aflezingen, monsters
`

func (lx *lexicon) learnSeveral() {
	lx.several = map[string]bool{}
	eachWord(severalWords, func(_, word string) { lx.several[word] = true })
}

// isOfSeveral: a folded word of a heading says that its cells hold several values.
func (lx *lexicon) isOfSeveral(word string) bool { return lx.several[word] }
