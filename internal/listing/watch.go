package listing

import (
	"fmt"
	"strings"
)

// facts is what every row of a column says of its dates or numbers.
type facts struct {
	seen                          [allOrders + 1]int // values by the set of orders that they allow
	real, realLow, text, textHigh int                // days of a workbook or year first, those up to the 12th; days as text, those beyond it
	dots, others                  int                // dates with dots, with other marks
	points, commas, open          int                // numbers by their decimal mark
	shortRefs                     int                // references stored as numbers
	example                       string             // of an open one
	sameDay                       int                // the day of the month that all real days have; -1: they differ
	months                        [13]bool           // the months of real days
	clocks, midnights             int                // days with a time of day, those of them at midnight to the second
	told                          string             // the last day with a time behind it, perhaps
	toldClock, toldMidnight       bool               // what that was
	beyond                        int                // values beyond a number
	beyondExample                 string
	monthExample                  string // a cell that names a month and no day
}

// prepare readies the facts once the columns are fixed.
func (u *Understanding) prepare() {
	u.facts = make([]facts, len(u.Columns))
	for i, c := range u.Columns {
		if c.Field == Point || c.Field == Address || c.Field == Wanted || c.Field == Serial && u.Kind != KindSchedule {
			u.total = append(u.total, i)
		}
	}
	u.watchSeconds()
	if u.Kind == KindEvents {
		u.asides = &asides{outcomes: outcomesOf(u), ticks: u.ticksOf(), trials: u.trialsOf(), rows: map[string]*aside{}}
	}
}

// observe watches one row for what needs the whole table.
func (u *Understanding) observe(row *Row) {
	why := u.skip(row)
	u.watchTitles(row, why)
	if why != "" {
		u.noteSkipped(why, row.Line)
		return
	}
	u.Rows++
	u.asides.observe(row)
	u.seconds.observe(u, row)
	for i, c := range row.Cells {
		if c == "" {
			continue
		}
		if i == len(u.Columns) {
			u.Columns = append(u.Columns, Column{Index: i, At: u.place(i), Field: Unused, Why: fmt.Sprintf("it has no heading and begins in row %d", row.Line)})
			u.facts = append(u.facts, facts{})
		} else if i > len(u.Columns) {
			u.widen(i, row.Line)
		}
		column := &u.Columns[i]
		column.Filled++
		switch f := column.Field; {
		case f == Date || f == Fitted:
			u.facts[i].date(c, row.kind(i))
		case f == Category:
			u.noteCategory(c, row.Line)
		case f == Point && row.kinds != nil:
			u.facts[i].ref(c, row.kind(i))
		case f.isNumeric():
			if _, ok := beyond(c); ok && f == Value {
				u.facts[i].noteBeyond(c)
			}
			u.facts[i].number(c, row.kind(i))
		}
	}
}

func (u *Understanding) widen(to, line int) {
	for i := len(u.Columns); i <= to; i++ {
		u.Columns = append(u.Columns, Column{Index: i, At: u.place(i), Field: Unused, Why: fmt.Sprintf("it has no heading and begins in row %d", line)})
		u.facts = append(u.facts, facts{})
	}
}

func (u *Understanding) noteSkipped(why string, line int) {
	if why == "" || line == u.HeaderLine {
		return
	}
	for i := range u.Skipped {
		if u.Skipped[i].Why == why {
			u.Skipped[i].Count++
			return
		}
	}
	u.Skipped = append(u.Skipped, Skipped{why, 1, line})
}

func (f *facts) date(cell string, kind cellKind) {
	f.clock(cell, kind)
	if kind&(cellDate|cellNumber) != 0 || (len(cell) >= 10 && cell[4] == '-') {
		f.realDay(cell)
		return // a workbook's own date, or one with its year in front: nothing to find out
	}
	raw, ok := splitDate(strings.TrimSpace(cell))
	if !ok {
		f.month(cell)
	}
	if !ok || raw.fixed {
		return
	}
	can := raw.orders()
	f.seen[can]++
	if f.text++; can == canDMY || can == canMDY {
		f.textHigh++
	}
	if raw.mark == '.' {
		f.dots++
	} else {
		f.others++
	}
	if f.example == "" && can&(can-1) != 0 {
		f.example = cell
	}
}

func (f *facts) ref(cell string, kind cellKind) {
	if isShortRef(cell, kind) {
		f.shortRefs++
		f.example = cell
	}
}

// isShortRef: a reference kept as a number has lost the zeros at its end, unless its format shows them.
func isShortRef(cell string, kind cellKind) bool {
	return kind&cellNumber != 0 && kind&cellShown == 0 && strings.IndexByte(cell, '.') >= 0
}

func (f *facts) number(cell string, kind cellKind) {
	if kind&cellNumber != 0 {
		return
	}
	m := decimalMark(cell)
	if m == markNone {
		return
	}
	if m == markOpen || m == markBroken || len(cell) > 10 {
		if parts := splitSamples(cell); len(parts) > 1 {
			for _, p := range parts {
				f.mark(decimalMark(p), cell)
			}
			return
		}
	}
	f.mark(m, cell)
}

func (f *facts) mark(m mark, cell string) {
	switch m {
	case markPoint:
		f.points++
	case markComma:
		f.commas++
	case markOpen:
		f.open++
		f.example = cell
	}
}

// settle decides what needed every row, or asks.
func (u *Understanding) settle() {
	defer u.askCategories()
	defer u.askTitleBetween()
	defer u.askOutcomes()
	defer u.askBeyond()
	defer u.askSeconds()
	var points, commas int
	for i := range u.facts {
		points += u.facts[i].points
		commas += u.facts[i].commas
	}
	for i := range u.Columns {
		c, f := &u.Columns[i], &u.facts[i]
		switch {
		case c.Field.isDate():
			order, why := u.settleOrder(f, fmt.Sprintf("of column %q", u.columnName(i)))
			c.DateOrder, c.Why = order, c.Why+why
			u.doubtSwapped(c, f)
			u.doubtMonths(c, f)
			c.midnights = f.clocks > 0 && f.clocks == f.midnights
		case c.Field.isNumeric():
			u.settleDecimal(c, f, points, commas)
		case c.Field == Point && f.shortRefs > 0 && u.profile.AddressDigits == 0:
			u.askOnce(AskDigits, fmt.Sprintf("Column %q holds references as spreadsheet numbers, such as %s: the zeros at their end are lost. How many digits do its addresses have?",
				u.columnName(i), f.example), Choice{"1", "as many as are there"}, Choice{"2", "two: 1.1 is loop 1 address 10"}, Choice{"3", "three: 1.1 is loop 1 address 100"})
		}
	}
}

func (u *Understanding) askOnce(id, text string, choices ...Choice) {
	for _, q := range u.Questions {
		if q.ID == id {
			return
		}
	}
	u.ask(id, text, choices...)
}

// settleOrder finds the order that all dates allow, with the reason, or asks; where tells which dates.
func (u *Understanding) settleOrder(f *facts, where string) (DateOrder, string) {
	can, values := allOrders, 0
	for set := orders(1); set <= allOrders; set++ {
		if f.seen[set] > 0 {
			can &= set
			values += f.seen[set]
		}
	}
	list := can.list()
	switch {
	case u.profile.DateOrder != "":
		return u.profile.DateOrder, "; the profile gives the order of its dates"
	case values == 0:
		return "", ""
	case len(list) == 1:
		return list[0], fmt.Sprintf("; all of %d dates are days of the calendar only as %s", values, orderText(list[0]))
	case len(list) > 1 && f.others == 0 && can&canDMY != 0:
		return DMY, "; dates with dots put the day first by common practice"
	case len(list) > 0:
		u.askOrder(f, where, list)
		return "", ""
	}
	u.askOrder(f, where, []DateOrder{DMY, MDY})
	return "", "; its dates mix two orders"
}

func (u *Understanding) askOrder(f *facts, where string, list []DateOrder) {
	var choices []Choice
	for _, d := range list {
		text := orderText(d)
		if day, err := ParseDate(f.example, d); err == nil {
			text += fmt.Sprintf(": %s is %s", strings.TrimSpace(f.example), Civil{Year: day.Year, Month: day.Month, Day: day.Day}.text())
		}
		choices = append(choices, Choice{string(d), text})
	}
	u.askOnce(AskOrder, fmt.Sprintf("In which order are the dates %s written?", where), choices...)
}

func orderText(d DateOrder) string {
	switch d {
	case MDY:
		return "month, day, year"
	case YMD:
		return "year, month, day"
	}
	return "day, month, year"
}

func (u *Understanding) settleDecimal(c *Column, f *facts, points, commas int) {
	switch {
	case u.profile.Decimal != "":
		c.Decimal = u.profile.Decimal
	case u.Kind == KindTypes && f.open > 0: // each row is of another type, whose figures say nothing of how the next are written
	case f.points > 0 && f.commas == 0, f.points+f.commas+f.open == 0 && commas == 0, f.points+f.commas == 0 && points > 0 && commas == 0:
		c.Decimal = "point"
	case f.commas > 0 && f.points == 0, f.points+f.commas == 0 && commas > 0 && points == 0:
		c.Decimal = "comma"
	case f.points > 0 && f.commas > 0:
		c.Why += "; its numbers mix decimal points and commas"
	}
	if c.Decimal == "" && f.open > 0 {
		u.askOnce(AskDecimal, fmt.Sprintf("Is %q in column %q a number with decimals, or thousands?", strings.TrimSpace(f.example), u.columnName(c.Index)),
			Choice{"point", "the point is the decimal mark"}, Choice{"comma", "the comma is the decimal mark"})
	}
}
