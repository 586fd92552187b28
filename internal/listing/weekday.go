package listing

import (
	"fmt"
	"strings"
	"time"
)

// weekdays is a set of days of the week; a short form can be of several, as "mar" or "do" in different languages.
type weekdays uint8

// weekdayWords are the languages' own, from memory.
const weekdayWords = `
0: sun, sunday, so, sonntag, dim, dimanche, dom, domingo, domenica, zo, zon, zondag, do
1: mon, monday, mo, montag, lun, lundi, lunes, lunedi, lu, ma, maandag, maa
2: tue, tues, tuesday, di, dienstag, mar, mardi, ma, martes, martedi, dinsdag, din
3: wed, weds, wednesday, mi, mittwoch, mer, mercredi, me, mie, miercoles, mercoledi, wo, woe, woensdag, mit
4: thu, thur, thurs, thursday, do, donnerstag, don, jeu, jeudi, je, jue, jueves, ju, gio, giovedi, gi, donderdag
5: fri, friday, fr, freitag, fre, ven, vendredi, ve, vie, viernes, vi, venerdi, vr, vri, vrijdag
6: sat, saturday, sa, samstag, sonnabend, sam, samedi, sab, sabado, sabato, za, zat, zaterdag
`

var weekdaysOf = func() map[string]weekdays {
	all := map[string]weekdays{}
	eachWord(weekdayWords, func(day, word string) { all[word] |= 1 << (day[0] - '0') })
	return all
}()

// cutWeekday takes the day of the week off the front of a text.
func cutWeekday(s string) (weekdays, string) {
	const longest = 12 // bytes
	if s == "" || !isLetter(s[0]) {
		return 0, s
	}
	to := 0
	for to < len(s) && isLetter(s[to]) {
		to++
	}
	if to > longest || to == len(s) {
		return 0, s
	}
	return weekdaysOf[fold(s[:to])], strings.TrimLeft(s[to:], "., ")
}

// held gives the error where a day does not fall on the day of the week that stands beside it.
func (w weekdays) held(c Civil, err error) (Civil, error) {
	if err != nil || w == 0 {
		return c, err
	}
	if day := c.weekday(); w&(1<<day) == 0 {
		return Civil{}, fmt.Errorf("%w: %s is a %s", errWeekday, c.text(), day)
	}
	return c, nil
}

func (c Civil) weekday() time.Weekday {
	return time.Date(c.Year, time.Month(c.Month), c.Day, 0, 0, 0, 0, time.UTC).Weekday()
}

// onWeekday leaves those orders in which the day falls on its day of the week; all of them where none does.
func (r *rawDate) onWeekday(can orders) orders {
	var held orders
	if r.on == 0 {
		return can
	}
	for _, order := range can.list() {
		if c, err := newCivil(r.arrange(order)); err == nil && r.on&(1<<c.weekday()) != 0 {
			held |= order.set()
		}
	}
	if held == 0 {
		return can
	}
	return held
}

const areWeekdays = "its cells are days of the week"

// holdsDays takes the role of the date from a column of days of the week.
func (s *study) holdsDays(i int, m match) match {
	if m.field != Date || m.strength == strengthProfile || len(s.content[i].distinct) == 0 || !allWeekdays(s.content[i].distinct) {
		return m
	}
	s.barred[i] = areWeekdays
	return match{strength: strengthExact}
}

// findWeekdays finds a column of nothing but days of the week, which are held against the dates.
func (s *study) findWeekdays() {
	s.u.weekday = -1
	for i, c := range s.u.Columns {
		named := s.barred[i] == areWeekdays || weekdayHeads[fold(c.Heading)]
		if c.Field == Unused && (named || eachLong(s.content[i].distinct)) && len(s.content[i].distinct) > 0 && allWeekdays(s.content[i].distinct) && s.matches[i].strength < strengthProfile {
			s.u.weekday = i
			s.u.Columns[i].Why += "; its days of the week are held against the dates"
			return
		}
	}
}

// weekdayHeads are headings of days of the week that are no words for a date.
var weekdayHeads = map[string]bool{"weekday": true, "day of week": true, "day of the week": true, "wochentag": true, "jour de semaine": true, "dia de la semana": true, "giorno della settimana": true, "weekdag": true}

// eachLong: two letters may be the initials of a person.
func eachLong(cells map[string]bool) bool {
	for cell := range cells {
		if len(fold(cell)) < 3 {
			return false
		}
	}
	return true
}

func allWeekdays(cells map[string]bool) bool {
	for cell := range cells {
		if weekdaysOf[fold(cell)] == 0 {
			return false
		}
	}
	return true
}

// holdWeekday refuses a row whose day does not fall on the day of the week in a column of its own.
func (r *rowReader) holdWeekday(c Civil) {
	cell, _ := slot{column: r.u.weekday, field: Unused}.get(r.row)
	if cell == "" || c.Year == 0 {
		return
	}
	if _, err := weekdaysOf[fold(cell)].held(c, nil); err != nil {
		r.fail(r.u.weekday, "the day of the week on which "+c.text()+" fell", quoteShort(cell), "")
	}
}

// dateLeads may stand before a day, and say no more than that it is one. Common practice, no source.
const dateLeads = `
lead: on, the, am, den, der, vom, dem, le, la, du, au, les, el, al, del, il, lo, dal, op, per, de, date, datum, data, fecha
`

var leadsOfDates = func() map[string]bool {
	all := map[string]bool{}
	eachWord(dateLeads, func(_, word string) { all[word] = true })
	return all
}()

// leadsDate: a word before a day leaves it that day: a word of dates, or a day of the week that may be misspelt. Any other
// may make another day of it, or say what stands under it, as "found" and "ordered" do.
func leadsDate(word string) bool {
	said := fold(word)
	if leadsOfDates[said] || weekdaysOf[said] != 0 {
		return true
	}
	if len(said) < shortestSlip {
		return false
	}
	for day := range weekdaysOf {
		if len(day) >= shortestSlip && isSlip(said, day) {
			return true
		}
	}
	return false
}
