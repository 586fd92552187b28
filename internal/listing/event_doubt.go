package listing

import "strings"

// doubtMarks gives the marks in a cell that leave what it says in doubt: a question mark, brackets around all of it, or a day
// or year of its own, which may be when it happened in place of that of the row.
func doubtMarks(cell string) (marks []string) {
	cell = strings.TrimSpace(cell)
	if strings.ContainsAny(cell, "?¿？") {
		marks = append(marks, "?")
	}
	if len(cell) > 1 && strings.ContainsRune("([{", rune(cell[0])) && strings.ContainsRune(")]}", rune(cell[len(cell)-1])) {
		marks = append(marks, "brackets")
	}
	if day := dayIn(titleWords(cell)); day != "" {
		return append(marks, day)
	}
	for word := range strings.FieldsSeq(fold(cell)) {
		if _, ok := yearAlone(word); ok {
			marks = append(marks, word)
		}
	}
	return marks
}
