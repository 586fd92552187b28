package listing

import (
	"cmp"
	"fmt"
	"strings"
)

// A title may stand between rows, and change what those below it mean as one above the list does.

// titleBetween is such a title.
type titleBetween struct {
	line       int
	text, word string
	year       int // that the title says, and no day; 0: none
}

// titlesAndFooters is why rows of titles are passed over.
const titlesAndFooters = "titles and footers"

// turnIn reads a row that is passed over as a title between rows.
func (u *Understanding) turnIn(row *Row) titleBetween {
	text := strings.Join(nonEmpty(row.Cells), " ")
	if word := u.turnsRows(text); word != "" {
		return titleBetween{line: row.Line, text: strings.Clone(text), word: word}
	}
	if dayIn(titleWords(text)) != "" {
		return titleBetween{}
	}
	for word := range strings.FieldsSeq(fold(text)) {
		if year, ok := yearAlone(word); ok {
			return titleBetween{row.Line, strings.Clone(text), strings.Clone(word), year}
		}
	}
	return titleBetween{}
}

// turns reports whether the title makes another thing of a row below it: a year does so where the row has a day of another.
func (t *titleBetween) turns(u *Understanding, row *Row) bool {
	if t.word == "" || t.year == 0 {
		return t.word != ""
	}
	at := u.column(Date)
	if at < 0 {
		return false
	}
	day, err := ParseDate(trimmedAt(row.Cells, at), cmp.Or(u.profile.DateOrder, DMY))
	return err == nil && day.Year != t.year
}

// watchTitles looks for a title that may change what the rows below it mean; at the end of a list it is a note.
func (u *Understanding) watchTitles(row *Row, skipped string) {
	switch {
	case u.turned.word != "" || skipped == blankRows || skipped == headingsAgain:
	case skipped == titlesAndFooters && row.Line > u.HeaderLine:
		u.turning = u.turnIn(row)
	case skipped == "" && u.turning.turns(u, row):
		u.turned = u.turning
	}
}

// askTitleBetween asks about the first of them.
func (u *Understanding) askTitleBetween() {
	t := u.turned
	if t.word == "" || u.Kind == KindUnknown || u.profile.TitleMeans != "" {
		return
	}
	u.askOnce(AskTitle, fmt.Sprintf("The title %q in row %d has the word %q, which may change what the rows below it mean. Do they hold as they stand?", quoteless(t.text), t.line, t.word),
		Choice{string(TitleTaken), "yes, take them as they stand"}, Choice{string(TitleLeft), "no, put the rows below such a title aside"})
}

// passTitle keeps the title that the rows below it stand under.
func (r *rowReader) passTitle(row *Row, skipped string) {
	if skipped == titlesAndFooters && row.Line > r.u.HeaderLine && r.u.profile.TitleMeans == TitleLeft {
		r.below = r.u.turnIn(row)
	}
}

// isBelow refuses a row below a title that was answered to put its rows aside.
func (r *rowReader) isBelow(row *Row) *RowError {
	if !r.below.turns(r.u, row) {
		return nil
	}
	return r.t.rowError(row.Line, "a row that holds", fmt.Sprintf("it below the title %q", quoteless(r.below.text)), "it was put aside: such a title was answered to change what its rows mean")
}
