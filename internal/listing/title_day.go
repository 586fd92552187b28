package listing

import "strings"

// titleFillers may stand in a title beside its day without making it another one.
const titleFillers = `
title: from, to, in, by, vom, von, zum, im, mit, par, en, por, con, per, con, op, bij, list, listing, export, extract, protocol, record, log, sheet, points, detectors, devices, loop, all, monday, tuesday, wednesday, thursday, friday, saturday, sunday, liste, protokoll, auszug, alle, aller, montag, dienstag, mittwoch, donnerstag, freitag, samstag, sonntag, proces verbal, tous, toutes, lundi, mardi, mercredi, jeudi, vendredi, samedi, dimanche, lista, registro, todos, todas, lunes, martes, miercoles, jueves, viernes, sabado, domingo, elenco, verbale, tutti, tutte, lunedi, martedi, mercoledi, giovedi, venerdi, sabato, domenica, lijst, verslag, maandag, dinsdag, woensdag, donderdag, vrijdag, zaterdag, zondag, annual, yearly, quarterly, monthly, routine, regular, jahrlich, annuel, annuelle, anual, annuale, jaarlijks
`

// titleSays gives what a title says of the rows below it. Its day counts only where the other words beside it are known: "Birthday"
// or a word that nobody knows may make it the day of anything.
func (u *Understanding) titleSays(title string) context {
	c := u.lx.contextOf(title)
	if c[Date] != "" && !u.knowsTitle(title) {
		delete(c, Date)
	}
	return c
}

// knowsTitle: every word of a title is known to leave its day alone.
func (u *Understanding) knowsTitle(title string) bool {
	lx := u.lx
	for word := range strings.FieldsSeq(fold(title)) {
		_, number := wholeNumber(word)
		_, period := partOfYear(word)
		switch {
		case number, period, monthNumber(word) > 0, isDateFiller(word), isDigit(word[0]), len(word) == 1:
		case lx.headings[word] != "", lx.dayFillers[word], lx.titleFillers[word], lx.visits[word], lx.events[word] != "", lx.printed[word]:
		case lx.nearHeading(word, shortestSlip, nil) != "", u.known.isName(word), u.known.isType(word):
		default:
			return false
		}
	}
	return true
}
