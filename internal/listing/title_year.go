package listing

import (
	"fmt"
	"strings"
)

// doubtTitleYear asks where a title says a year that none of the days below it is of.
func (s *study) doubtTitleYear() {
	u := s.u
	at := u.column(Date)
	if at < 0 || u.Kind != KindReadings && u.Kind != KindEvents || u.profile.TitleMeans != "" {
		return
	}
	for _, text := range s.titlesAbove() {
		year := u.yearOfTitle(text)
		if year == 0 || s.hasYear(at, year) {
			continue
		}
		u.askOnce(AskTitle, fmt.Sprintf("The title %q says %d, and no day of column %q is of that year. Do the rows hold as they stand?", quoteless(text), year, u.columnName(at)),
			Choice{string(TitleTaken), "yes, take them as they stand"}, Choice{string(TitleLeft), "no, leave the table out"})
		return
	}
}

// yearOfTitle gives the year that a title says of its rows, where it says no day; 0: none.
func (u *Understanding) yearOfTitle(title string) int {
	if dayIn(titleWords(title)) != "" || !u.knowsTitle(title) {
		return 0
	}
	found := 0
	for word := range strings.FieldsSeq(fold(title)) {
		if year, ok := yearAlone(word); ok {
			if found != 0 {
				return 0
			}
			found = year
		}
	}
	return found
}

// hasYear: a day of the column is of the year, or cannot be read.
func (s *study) hasYear(column, year int) bool {
	for cell := range s.content[column].distinct {
		day, err := ParseDate(cell, DMY)
		if err != nil {
			day, err = ParseDate(cell, MDY)
		}
		if err != nil || day.Year == year {
			return true
		}
	}
	return len(s.content[column].distinct) == 0
}
