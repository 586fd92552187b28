package listing

import (
	"slices"
	"strings"
)

// titleFillers may stand in a title beside its day without making it another one.
const titleFillers = `
title: from, to, in, by, vom, von, zum, im, mit, par, en, por, con, per, con, op, bij, list, listing, export, extract, protocol, record, log, sheet, points, detectors, devices, loop, all, monday, tuesday, wednesday, thursday, friday, saturday, sunday, liste, protokoll, auszug, alle, aller, montag, dienstag, mittwoch, donnerstag, freitag, samstag, sonntag, proces verbal, proces, verbal, tous, toutes, lundi, mardi, mercredi, jeudi, vendredi, samedi, dimanche, lista, registro, todos, todas, lunes, martes, miercoles, jueves, viernes, sabado, domingo, elenco, verbale, tutti, tutte, lunedi, martedi, mercoledi, giovedi, venerdi, sabato, domenica, lijst, verslag, maandag, dinsdag, woensdag, donderdag, vrijdag, zaterdag, zondag, annual, yearly, quarterly, monthly, routine, regular, jahrlich, annuel, annuelle, anual, annuale, jaarlijks
`

// titleFields are those whose words may stand in a title beside the day of its rows: how, where, when and by whom it was
// read. Words for fitting, alarms or work are not among them, for a day beside them may be of that.
var titleFields = []Field{Point, Panel, Loop, Address, number, Type, Device, Zone, Area, Floor, Location, Date, Time, Day, Month, Year, Value, By, Result}

// byWords stand before the name of whoever read or tested.
var byWords = []string{"by", "von", "durch", "par", "por", "da", "door"}

// titleSays gives what a title says of the rows below it. Its day counts only where the other words beside it are known: "Birthday"
// or a word that nobody knows may make it the day of anything.
func (u *Understanding) titleSays(title string) context {
	c := u.lx.contextOf(title)
	if c[Date] != "" && !u.knowsTitle(title) {
		delete(c, Date)
	}
	return c
}

// knowsTitle: every word of a title beside its day is known to leave that the day of the rows.
func (u *Understanding) knowsTitle(title string) bool {
	words := titleWords(title)
	day := strings.Fields(fold(dayIn(words)))
	said := strings.Fields(fold(strings.Join(words, " ")))
	for i := range said {
		if len(day) > 0 && i+len(day) <= len(said) && slices.Equal(said[i:i+len(day)], day) {
			said = slices.Delete(slices.Clone(said), i, i+len(day))
			break
		}
	}
	for i, word := range said {
		before := ""
		if i > 0 {
			before = said[i-1]
		}
		if len(said) > i+1 && i > 0 && slices.Contains(byWords, word) && u.knowsTitleWord(before, "") {
			return true // a name follows
		}
		if !u.knowsTitleWord(word, before) {
			return false
		}
	}
	return true
}

func (u *Understanding) knowsTitleWord(word, before string) bool {
	lx := u.lx
	_, number := wholeNumber(word)
	_, period := partOfYear(word)
	may := func(f Field) bool { return slices.Contains(titleFields, f) }
	switch {
	case len(word) == 1 && !isDigit(word[0]):
		return lx.dayFillers[word] || slices.Contains([]Field{Loop, Panel, Zone, Area, Floor}, lx.headings[before])
	case lx.printed[word]:
		return u.paged
	case number, period, isDateFiller(word), isDigit(word[0]), may(lx.headings[word]), lx.events[word] == Tested:
		return true
	case rowNouns[word], lx.dayFillers[word], lx.titleFillers[word], lx.visits[word], u.known.isName(word), u.known.isType(word):
		return true
	}
	return lx.nearHeading(word, shortestSlip, may) != ""
}

// isPaged: a page has its number above the headings, as prints of panels do. The day that is printed there is that on
// which the panel read its values (common practice, no source); on other papers it need not be.
func (s *study) isPaged() bool {
	for _, row := range s.sample {
		if s.u.HeaderLine > 0 && row.Line >= s.u.HeaderLine {
			return false
		}
		if n := filledCells(row.Cells); n > 0 && n <= 3 && s.u.lx.isPage(strings.Join(row.Cells, " ")) {
			return true
		}
	}
	return false
}
