package listing

import "slices"

// areOpposed: of two columns of results one is headed as passed and one as failed.
func areOpposed(poles []polarity) bool {
	return len(poles) == 2 && slices.Contains(poles, polePassed) && slices.Contains(poles, poleFailed)
}

// addOpposed reads a row of two such columns of which one alone is marked: the mark chooses the column, whatever mark it is.
func (o *outcomes) addOpposed(e *evidence) bool {
	if !o.opposed {
		return false
	}
	a, b := o.cells[1], o.cells[2]
	at := 0
	switch {
	case a == "" && isChoice(o.u.lx, b):
		at = 1
	case b != "" || !isChoice(o.u.lx, a):
		return false
	}
	e.results.pass, e.results.fail = o.poles[at] == polePassed, o.poles[at] == poleFailed
	o.cells[1+at] = o.u.Columns[o.results[at].column].Heading // what the mark says
	e.words = append(e.words, o.cells[1+at])
	return true
}

// isChoice: a yes or a mark, and no word against it.
func isChoice(lx *lexicon, cell string) bool {
	word := fold(cell)
	yes, known := lx.yes[word]
	return known && yes || isTick(word) || isCross(word)
}
