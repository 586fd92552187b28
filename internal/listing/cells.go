package listing

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"sootline"
)

// ref reads the reference from one column, from several, or from both.
func (r *rowReader) ref() Ref {
	r.behind = ""
	r.holdDittos()
	r.holdPutOut()
	r.holdSpan()
	ref, at, ok := r.written()
	if !ok {
		return Ref{}
	}
	r.holdLoop()
	ref.Panel = r.merge(ref.Panel, r.panel, 'P', at)
	ref.Loop = r.merge(ref.Loop, r.loop, 'L', at)
	r.holdSite()
	r.holdAgainstSerial(ref)
	r.holdAgainstRegister(ref)
	return ref
}

// written reads the point or address column; at is the column it came from.
func (r *rowReader) written() (ref Ref, at int, ok bool) {
	if cell, kind := r.get(r.point); cell != "" {
		ref, ok := r.pointCell(cell, kind)
		return ref, r.point.column, ok && r.agrees(ref)
	}
	if cell, _ := r.get(r.serial); cell != "" && r.address.column < 0 {
		return r.bySerial(cell)
	}
	cell, _ := r.get(r.address)
	if wanted, _ := r.get(r.wanted); cell == "" && wanted != "" {
		return Ref{}, r.wanted.column, true
	}
	if cell == "" {
		at, hint := max(r.point.column, r.address.column), ""
		if at < 0 {
			hint = "say which column names the point"
		}
		r.fail(at, "a reference to a point such as 1.2.073", "nothing", hint)
		return Ref{}, at, false
	}
	cell, of := cutRange(cell)
	n, err := parseAddress(strings.TrimSuffix(cell, ".0")) // a whole number as programs write it that reckon in fractions
	if err != nil {
		r.fail(r.address.column, "a whole number from 0 up as the address", quoteShort(cell), "")
	}
	return Ref{Address: n, Range: of}, r.address.column, err == nil
}

func (r *rowReader) pointCell(cell string, kind cellKind) (Ref, bool) {
	const want = "a reference to a point such as 1.2.073"
	if isMangled(cell, kind) {
		r.fail(r.point.column, want, fmt.Sprintf("the date %s, which a spreadsheet made of it", cell), "format the column as text and write the reference again")
		return Ref{}, false
	}
	if isShortRef(cell, kind) {
		digits := r.u.profile.AddressDigits
		if digits == 0 {
			r.fail(r.point.column, want, fmt.Sprintf("the number %s, which could also be %s0", cell, cell), "say how many digits the addresses have, or format the column as text")
			return Ref{}, false
		}
		if missing := digits - (len(cell) - 1 - strings.IndexByte(cell, '.')); missing > 0 {
			cell += strings.Repeat("0", missing)
		}
	}
	cell = r.cutLead(cell)
	plain, of := sootline.CutRange(cell) // here and not in ParseRef: elsewhere 12.5m is a length
	ref, err := ParseRef(plain)
	if of != "" {
		ref.Range = of
	}
	if ref = r.u.turn(ref); err == nil && ref == (Ref{}) && r.u.refOrder.countsInZones() {
		r.fail(r.point.column, "a device of a zone of the register", quoteShort(cell), "name the point by its loop and address")
		return ref, false
	}
	if err != nil {
		r.fail(r.point.column, want, quoteShort(cell)+": "+err.Error(), "")
	}
	return ref, err == nil
}

// merge fills what the reference leaves out from its own column, and refuses a contradiction. A
// constant only fills.
func (r *rowReader) merge(have string, s slot, label byte, at int) string {
	cell, _ := r.get(s)
	if cell == "" && have == "" && s.column >= 0 && r.u.Columns[s.column].carries {
		return r.carried(s, at)
	}
	if cell == "" {
		return have
	}
	name := parseName(cell, label)
	if have == "" {
		return name
	}
	if name != have && cell != s.constant {
		r.fail(at, fmt.Sprintf("%s %s, as its own column says", s.field, name), fmt.Sprintf("%s %s", s.field, have), "")
	}
	return have
}

// when reads the date and the time of day.
func (r *rowReader) when(needed bool) Civil {
	r.within = ""
	cell, kind := r.get(r.date)
	if r.date.column < 0 && r.parts[0].column >= 0 {
		cell, kind = r.joinedDay(), cellDate
	}
	if cell == "" {
		if needed {
			hint := ""
			if r.date.column < 0 {
				hint = "say on which day this was"
			}
			r.fail(r.date.column, "a date", "nothing", hint)
		}
		return Civil{}
	}
	order := r.u.profile.DateOrder
	if r.date.column >= 0 && kind&cellDate == 0 {
		order = r.u.Columns[r.date.column].DateOrder
	}
	c := r.told.civil
	if r.told.cell != cell || r.told.kind != kind || r.told.order != order { // the rows of a visit often have one
		var err error
		c, err = r.dateCell(cell, kind, order)
		if day, ok := r.dayOfMonth(cell); err != nil && ok {
			c, err, r.within = day, nil, cell
		}
		if err != nil {
			r.badDate(r.date.column, cell, err, order)
			return Civil{}
		}
		if r.within == "" {
			r.told = toldDate{cell, kind, order, c}
		}
	}
	if r.date.column >= 0 && r.u.Columns[r.date.column].midnights {
		c = Civil{Year: c.Year, Month: c.Month, Day: c.Day}
	}
	r.holdWeekday(c)
	if cell, kind := r.get(r.clock); cell != "" {
		if err := r.clockCell(&c, cell, kind); err != nil {
			r.fail(r.clock.column, "a time of day such as 14:05", quoteShort(cell), "")
		}
	}
	return c
}

func (r *rowReader) dateCell(cell string, kind cellKind, order DateOrder) (Civil, error) {
	if kind&cellNumber != 0 || r.date.column >= 0 && r.u.Columns[r.date.column].serialDays {
		if serial, err := strconv.ParseFloat(cell, 64); err == nil && serial < 100_000 {
			if c, ok := fromSerial(serial, r.t.epoch1904); ok && serial >= 1 {
				return c, nil
			}
		}
	}
	if r.u.profile.Swapped == DaysExchanged && (kind&cellDate != 0 || isYearFirst(cell)) {
		cell = exchanged(cell)
	}
	return ParseDate(cell, order)
}

func (r *rowReader) clockCell(c *Civil, cell string, kind cellKind) error {
	if v, err := strconv.ParseFloat(cell, 64); kind&cellNumber != 0 && err == nil && v >= 0 && v < 1 {
		t, _ := fromSerial(v, true)
		cell = t.clockText()
	}
	// A time column of a workbook may hold a whole date.
	if whole, err := ParseDate(cell, ""); err == nil && whole.HasTime {
		cell = whole.clockText()
	}
	return c.setClock(cell)
}

func (r *rowReader) badDate(column int, cell string, err error, order DateOrder) {
	want := "a date"
	if order != "" {
		want = "a date as " + orderText(order)
	}
	hint := ""
	switch {
	case errors.Is(err, errDateOrder):
		hint = "say in which order the dates are written"
	}
	r.fail(column, want, quoteShort(cell)+": "+err.Error(), hint)
}

// samples gathers the values of one row; one cell may hold several.
func (r *rowReader) samples() {
	for _, column := range r.values {
		cell, kind := r.get(slot{column: column, field: Value})
		if cell != "" {
			r.sampleCell(column, cell, kind)
		}
	}
	if len(r.reading.Samples) == 0 {
		if len(r.values) == 0 {
			r.fail(-1, "a value", "no column for it", "say which column is the value")
			return
		}
		found := "no value"
		if i := r.u.hasInstead(r.row); i >= 0 {
			found = fmt.Sprintf("none, and %s under %q", quoteShort(strings.TrimSpace(r.row.Cells[i])), r.u.columnName(i))
		}
		r.fail(r.values[0], "a value", found, "")
	}
}

func (r *rowReader) sampleCell(column int, cell string, kind cellKind) {
	if r.u.lx.isVacant(cell) {
		return
	}
	if rest := r.u.spill(r.row, column); rest != "" {
		r.fail(column, "a value in one cell", quoteShort(cell+","+rest), "a decimal comma needs quotes where commas separate cells, or another separator")
		return
	}
	if r.beyondCell(column, cell, kind) {
		return
	}
	v, unit, err := r.number(column, cell, kind)
	if err != nil {
		if number, words := noted(cell); number != "" {
			if v, unit, err = r.number(column, number, kind); err == nil {
				r.reading.Remark = join(r.reading.Remark, words)
			}
		}
	}
	if err == nil {
		r.reading.Samples = append(r.reading.Samples, v)
		r.reading.Unit, r.reading.UnitInCell = unit, unit != ""
		return
	}
	parts := splitSamples(cell)
	if len(parts) < 2 {
		r.badNumber(column, cell, err)
		return
	}
	if !r.holdSamples(column, cell, len(parts)) {
		return
	}
	for _, p := range parts {
		v, _, err := r.number(column, p, kind)
		if err != nil {
			r.badNumber(column, cell, err)
			return
		}
		r.reading.Samples = append(r.reading.Samples, v)
	}
}

var (
	errNotNumber   = errors.New("not a number")
	errDecimalMark = errors.New("decimals or thousands?")
)

// number reads a cell with the decimal mark of its column, or with its own where the column has none.
func (r *rowReader) number(column int, cell string, kind cellKind) (float64, string, error) {
	decimal := byte('.')
	if kind&cellNumber == 0 {
		switch r.decimal(column) {
		case "comma":
			decimal = ','
		case "":
			switch decimalMark(cell) {
			case markOpen:
				return 0, "", errDecimalMark
			case markComma:
				decimal = ','
			}
		}
	}
	v, unit, ok := parseNumber(cell, decimal)
	if !ok {
		return 0, "", errNotNumber
	}
	return v, unit, nil
}

func (r *rowReader) decimal(column int) string {
	if column < 0 {
		return r.u.profile.Decimal
	}
	return r.u.Columns[column].Decimal
}

func (r *rowReader) badNumber(column int, cell string, err error) {
	hint := ""
	if errors.Is(err, errDecimalMark) {
		hint = "say which decimal mark the list has"
	}
	r.fail(column, "a number", quoteShort(cell), hint)
}

// join puts words behind others.
func join(words, more string) string {
	if words == "" || more == "" {
		return words + more
	}
	return words + "; " + more
}

// figure reads an optional number, in the unit of its field; the unit found with it comes back.
func (r *rowReader) figure(s slot, cell string, kind cellKind) (Figure, string) {
	if cell == "" || cell == "-" || cell == "–" {
		return Figure{}, ""
	}
	v, unit, err := r.number(s.column, cell, kind)
	if err != nil {
		r.badNumber(s.column, cell, err)
		return Figure{}, ""
	}
	if unit == "" && s.column >= 0 {
		unit = r.u.Columns[s.column].Unit
	}
	return Figure{v * unitFactor(s.field, unit), true}, unit
}
