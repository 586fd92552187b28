package listing

import (
	"fmt"
	"strings"
)

// dayFillers may stand beside the word for a date without changing which day it is of.
const dayFillers = `
day: the, of, of the, at, on, and, a, for, reading, readings, value, values, measurement, measured, visit, test, check, inspection, service, maintenance, site, survey of values, der, die, das, des, am, und, ablesung, messung, prufung, besuch, besuchs, wartung, wert, le, la, les, de, du, d, l, et, releve, mesure, visite, essai, passage, entretien, el, del, y, lectura, medicion, visita, prueba, mantenimiento, il, lo, della, dello, dell, e, lettura, misura, prova, manutenzione, het, van, een, en, meting, aflezing, bezoek, onderhoud, controle, dd, mm, mmm, yyyy, yy, tt, jj, jjjj, aaaa, aa, gg, m, j, t, utc, gmt, local, lokal, ortszeit, iso, day, tag, jour, dia, giorno, dag
`

// unsureTitleWords stand beside days that are those of a paper and not of what it lists.
const unsureTitleWords = `
paper: rev, revision, revised, version, ver, issue, edition, template, form, drawing, draft, modified, updated, approved, contract, invoice, order, quote, stand, fassung, ausgabe, vorlage, formular, zeichnung, entwurf, geandert, freigegeben, auftrag, rechnung, angebot, indice, revue, modele, formulaire, plan, brouillon, modifie, approuve, contrat, facture, commande, devis, edicion, plantilla, formulario, plano, borrador, modificado, aprobado, contrato, factura, pedido, edizione, revisione, versione, modello, modulo, disegno, bozza, modificato, approvato, contratto, fattura, ordine, versie, revisie, uitgave, sjabloon, formulier, tekening, concept, gewijzigd, goedgekeurd, contractnummer, factuur, bestelling
`

func (lx *lexicon) learnDayWords() {
	lx.dayFillers, lx.unsureTitles, lx.visits = map[string]bool{}, map[string]bool{}, map[string]bool{}
	eachWord(visitWords, func(_, word string) { lx.visits[word] = true })
	lx.titleFillers = map[string]bool{}
	eachWord(titleFillers, func(_, word string) { lx.titleFillers[word] = true })
	eachWord(dayFillers, func(_, word string) { lx.dayFillers[word] = true })
	eachWord(unsureTitleWords, func(_, word string) { lx.unsureTitles[word] = true })
}

// dayWordIn finds a word for a date in a heading, or one a slip away; the heading may hold another word that is longer.
func (lx *lexicon) dayWordIn(heading string) string {
	isDate := func(f Field) bool { return f == Date }
	for word := range strings.FieldsSeq(fold(heading)) {
		if lx.headings[word] == Date || lx.headings[word] == "" && lx.nearHeading(word, shortestSlip-1, isDate) != "" {
			return word
		}
	}
	return ""
}

// isWholeDay: nothing in a heading of a day may make it another day than that of the row, such as that of an order.
func (s *study) isWholeDay(i int) bool {
	lx, m, full := s.u.lx, s.matches[i], fold(s.u.Columns[i].Heading)
	if lx.headings[full] != "" || m.strength == strengthNear && !strings.Contains(full, " ") {
		return true
	}
	known := map[string]bool{}
	for word := range strings.FieldsSeq(m.word) {
		known[word] = true
	}
	for word := range strings.FieldsSeq(full) {
		if _, digits := wholeNumber(word); digits || known[word] || lx.dayFillers[word] {
			continue
		}
		switch f := lx.headings[word]; {
		case f == Date || f == Time || f == Value || f == What || f == s.u.Kind.adapt(Date):
		case s.u.Kind == KindEvents && lx.events[word] != "", lx.events[word] == Tested:
		default:
			return false
		}
	}
	return true
}

// isHeaded: somebody wrote over the column what it holds, so that its cells alone say nothing.
func (s *study) isHeaded(i int) bool { return s.u.HeaderLine > 0 && s.u.Columns[i].Heading != "" }

// giveDay takes a column of days without a heading for those of the rows.
func (s *study) giveDay(date Field) {
	for i, role := range s.roles {
		if role == Date && !s.isHeaded(i) && s.u.Columns[i].Field == Unused && s.matches[i].strength < strengthExact {
			s.give(date, i)
			return
		}
	}
}

// askDay asks for the day of the rows, and offers the columns of days of which the headings do not say whose they are,
// and the day of a title that may be another.
func (s *study) askDay() {
	u, says := s.u, "The list has no column of dates."
	var choices []Choice
	for i, c := range u.Columns {
		may := s.barred[i] == "" && s.matches[i].strength < strengthExact || u.Kind == KindEvents && s.isLastTest(i)
		if s.roles[i] == Date && c.Field == Unused && s.isHeaded(i) && may {
			says = fmt.Sprintf("Column %q holds days, and its heading may be of others.", c.Heading)
			choices = append(choices, s.columnChoice(i))
		}
	}
	if title := u.unsureTitle; title != "" && len(choices) == 0 {
		if day := u.titleDay(title); day != "" {
			says = fmt.Sprintf("The title %q has a day, which may be that of the paper.", quoteless(title))
			choices = append(choices, Choice{day, "on " + day + ", as in the title"})
		}
	}
	u.askOnce(AskDate, "On which day was this? "+says, choices...)
}

// quoteless shortens a title for a sentence.
func quoteless(title string) string {
	const most = 60
	if letters := []rune(title); len(letters) > most {
		return string(letters[:most]) + "…"
	}
	return title
}

// titleDay gives the day in a title, year first; empty where its order cannot be told.
func (u *Understanding) titleDay(title string) string {
	text := dayIn(titleWords(title))
	raw, ok := splitDate(text)
	if !ok {
		return ""
	}
	order := u.profile.DateOrder
	if order == "" && raw.mark == '.' && raw.orders()&canDMY != 0 {
		order = DMY
	}
	day, err := ParseDate(text, order)
	if err != nil {
		return ""
	}
	return Civil{Year: day.Year, Month: day.Month, Day: day.Day}.text()
}

// noteUnsureTitle keeps the first title whose day may be another than that of the rows.
func (u *Understanding) noteUnsureTitle(title string) {
	if u.unsureTitle == "" && u.titleSays(title)[Date] == "" && dayIn(titleWords(title)) != "" {
		u.unsureTitle = title
	}
}

// isUnsureTitle: the title is of a paper, or of a print without its hour; a panel prints the hour with the day (common
// practice, no source).
func (lx *lexicon) isUnsureTitle(title string) bool {
	printed := false
	for word := range strings.FieldsSeq(fold(title)) {
		if lx.unsureTitles[word] {
			return true
		}
		printed = printed || lx.printed[word]
	}
	return printed && !hasClock(title)
}

// hasClock: a time of day stands in a text.
func hasClock(text string) bool {
	for word := range strings.FieldsSeq(text) {
		var clock Civil
		if strings.ContainsAny(word, ":hH.") && isDigit(word[0]) && clock.setClock(strings.TrimRight(word, ",;")) == nil {
			return true
		}
	}
	return false
}

// doubtFitted asks what the days of a schedule are that are headed as days and nothing else.
func (s *study) doubtFitted(c *Column, m match) {
	if s.u.Kind != KindSchedule || c.Field != Fitted || m.field != Date {
		return
	}
	key := columnKey(c.Index)
	s.u.askOnce(AskFitted, fmt.Sprintf("Are the days of column %q those on which the devices were fitted?", s.u.columnName(c.Index)),
		Choice{string(Fitted) + " " + key, "yes, fitted on that day"}, Choice{string(Unused) + " " + key, "no: leave them out"})
}
