package listing

import (
	"cmp"
	"errors"
	"iter"
	"strings"
)

// Record is one typed row. Exactly one of the five is set when there is no error. All it points to is
// reused by the next step; the strings are not.
type Record struct {
	Line     int
	Cells    []string // as written
	Type     *TypeRow
	Schedule *ScheduleRow
	Reading  *ReadingRow
	Event    *EventRow
	Found    *FoundRow
}

// Records yields the rows of t, typed. A row that cannot be taken gives its cells and a RowError, and
// the next one follows; where a question is open, the rows that hang on it are such rows. A row of a wide
// table gives one record for each visit at which the point was read, perhaps none, then at most one
// RowError for all its cells that cannot be used.
func (u *Understanding) Records(t *Table) iter.Seq2[Record, *RowError] {
	return ahead(u.records(t), func(err error) *RowError {
		return t.rowError(0, "the rest of the table", err.Error(), "")
	})
}

// records yields them one by one.
func (u *Understanding) records(t *Table) iter.Seq2[Record, *RowError] {
	return func(yield func(Record, *RowError) bool) {
		if u.Kind == KindUnknown {
			yield(Record{}, t.rowError(0, "a list of types, points, readings or events", "a table that could be several", "say which kind it is"))
			return
		}
		r := newRowReader(u, t)
		grouped := u.Kind == KindReadings && (len(r.groups) > 1 || u.has(Cleansed, Exchanged))
		var in Row // the row in hand: one for all, so that none is a piece of memory of its own
		for row, err := range t.rows(u.profile.choice()) {
			in = row
			if err != nil {
				bad, fatal := asRowError(t, err)
				r.carryOver(&in, "", false)
				r.keepForDittos(&in, "", false)
				if !fatal && row.Line < u.HeaderLine {
					continue
				}
				if !yield(Record{Line: row.Line, Cells: row.Cells}, bad) || fatal {
					return
				}
				continue
			}
			r.fillDittos(&in)
			skipped := u.skip(&in)
			r.carryOver(&in, skipped, true)
			r.keepForDittos(&in, skipped, true)
			r.passTitle(&in, skipped)
			if skipped != "" {
				continue
			}
			if !r.readRow(&in, grouped, yield) {
				return
			}
		}
	}
}

// readRow yields what one row says, and reports false once yield does.
func (r *rowReader) readRow(row *Row, grouped bool, yield func(Record, *RowError) bool) bool {
	if bad := r.isBelow(row); bad != nil {
		return yield(Record{Line: row.Line, Cells: row.Cells}, bad)
	}
	if bad := r.isSecond(row); bad != nil {
		return yield(Record{Line: row.Line, Cells: row.Cells}, bad)
	}
	switch {
	case len(r.u.visits) > 0 && r.u.Kind == KindEvents:
		return r.readTrials(row, yield)
	case len(r.u.visits) > 0:
		return r.readVisits(row, yield)
	case grouped:
		return r.readGroups(row, yield)
	case len(r.ticks) > 0:
		return r.readTicks(row, yield)
	}
	return yield(r.read(row))
}

// asRowError turns an error of reading into one of a row; fatal when no more rows follow.
func asRowError(t *Table, err error) (bad *RowError, fatal bool) {
	if errors.As(err, &bad) {
		return bad, false
	}
	return t.rowError(0, "the rest of the table", err.Error(), ""), true
}

// slot is where a field comes from: a column, or a constant of the profile where the cell is empty.
type slot struct {
	column   int
	constant string
	field    Field
}

// toldDate is a date as its cell has it, and as it was read.
type toldDate struct {
	cell  string
	kind  cellKind
	order DateOrder
	civil Civil
}

// rowReader types the rows of one table.
type rowReader struct {
	u   *Understanding
	t   *Table
	row *Row
	err *RowError // the first trouble in the row

	point, panel, loop, address, wanted, date, clock slot
	rest                                             []slot  // the other fields of the kind
	values                                           []int   // columns of samples
	groups                                           [][]int // the same, those of each quantity together

	schedule ScheduleRow
	reading  ReadingRow
	event    EventRow
	found    FoundRow
	serial   slot
	above    map[bool]string // the loop (true) and the panel of the rows above
	parts    [3]slot         // of a day in three columns: year, month, day
	told     toldDate        // the last one
	sheet    TypeRow
	outcomes *outcomes // of a table of events
	ticks    []tick
	ticksSay []*outcomes  // as ticks
	trials   []trial      // of a wide table of events
	within   string       // the month that a row names as its day
	dittoed  []int        // columns of which a cell may be as the one above
	rowAbove []string     // what these hold in the row above
	behind   string       // the words behind the reference of the row
	below    titleBetween // that the row stands under, where its rows are to be put aside
}

func newRowReader(u *Understanding, t *Table) *rowReader {
	r := &rowReader{u: u, t: t, above: map[bool]string{}, dittoed: u.canBeDittoed()}
	r.rowAbove = make([]string, len(r.dittoed))
	if u.Kind == KindEvents {
		r.ticks, r.ticksSay = u.ticksOf(), outcomesOf(u)
		r.outcomes, r.trials = r.ticksSay[0], u.trialsOf()
	}
	r.point, r.panel, r.loop, r.address = u.slot(Point), u.slot(Panel), u.slot(Loop), u.slot(Address)
	if u.Kind == KindSchedule {
		r.wanted = u.slot(Wanted)
	} else {
		r.wanted = slot{column: -1}
	}
	r.serial = slot{column: -1}
	if u.Kind != KindSchedule && u.Kind != KindTypes {
		r.serial = u.slot(Serial)
	}
	r.parts = [3]slot{u.slot(Year), u.slot(Month), u.slot(Day)}
	r.date, r.clock = u.slot(u.Kind.adapt(Date)), u.slot(Time)
	for _, f := range u.Kind.Fields() {
		if f.isRef() || f.isDate() || f == Time || f == Value || f == Result || f == Setting || f == Serial && u.Kind != KindSchedule {
			continue
		}
		if s := u.slotOf(f); s.column >= 0 || s.constant != "" {
			r.rest = append(r.rest, s)
		}
	}
	for i, c := range u.Columns {
		if c.Field == Value {
			r.values = append(r.values, i)
			r.group(i)
		}
	}
	return r
}

// group puts a column of values with those of the same quantity.
func (r *rowReader) group(i int) {
	for k, group := range r.groups {
		if r.u.sameMeasure(group[0], i) {
			r.groups[k] = append(group, i)
			return
		}
	}
	r.groups = append(r.groups, []int{i})
}

func (u *Understanding) slot(f Field) slot {
	return slot{u.column(f), cmp.Or(strings.TrimSpace(u.profile.Constants[f]), u.context[f]), f}
}

func (r *rowReader) read(row *Row) (Record, *RowError) {
	r.row, r.err = row, nil
	rec := Record{Line: row.Line, Cells: row.Cells}
	switch r.u.Kind {
	case KindTypes:
		rec.Type = r.readType()
	case KindSchedule:
		rec.Schedule = r.readSchedule()
	case KindReadings:
		rec.Reading = r.readReading()
	case KindEvents:
		rec.Event = r.readEvent()
	case KindNumbers:
		rec.Found = r.readFound()
	}
	if r.err != nil {
		return Record{Line: row.Line, Cells: row.Cells}, r.err
	}
	return rec, nil
}

// get gives the trimmed cell of a slot. A value that a merged cell carries down speaks only for fields
// that may be shared.
func (r *rowReader) get(s slot) (string, cellKind) { return s.get(r.row) }

func (s slot) get(row *Row) (string, cellKind) {
	if s.column >= 0 && s.column < len(row.Cells) {
		kind := row.kind(s.column)
		if c := strings.TrimSpace(row.Cells[s.column]); c != "" && (kind&cellCarried == 0 || s.field.mayCarry()) {
			return c, kind
		}
	}
	return s.constant, 0
}

// fail keeps the first trouble of the row.
func (r *rowReader) fail(column int, expected, found, hint string) {
	if r.err != nil {
		return
	}
	r.err = r.t.rowError(r.row.Line, expected, found, hint)
	if column >= 0 {
		r.err.Column = r.u.columnName(column)
	}
}

// otherThan reports whether two names differ, where both are given.
func otherThan(name, own string) bool { return name != "" && own != "" && name != own }

func (r *rowReader) readReading() *ReadingRow {
	s := &r.reading
	*s = ReadingRow{Ref: r.ref(), When: r.when(true), Samples: s.Samples[:0]}
	r.samples()
	r.holdValue()
	r.describe(r.values)
	s.Remark = join(s.Remark, r.behind)
	return s
}

// describe fills what is said of a reading besides its samples, which stand in columns.
func (r *rowReader) describe(columns []int) {
	s := &r.reading
	if len(columns) > 0 {
		s.Quantity = r.u.Columns[columns[0]].Quantity
		s.Unit = cmp.Or(s.Unit, r.u.Columns[columns[0]].Unit)
	}
	for _, slot := range r.rest {
		cell, _ := r.get(slot)
		switch slot.field {
		case By:
			s.By = cell
		case Remark:
			s.Remark = join(cell, s.Remark)
		case Quantity:
			s.Quantity = cmp.Or(s.Quantity, cell)
		case Unit:
			s.Unit = cmp.Or(s.Unit, cell)
		}
	}
	if r.within != "" {
		s.Remark = join(s.Remark, "read within "+r.within)
	}
}

func (r *rowReader) readEvent() *EventRow {
	s := &r.event
	*s = EventRow{Ref: r.ref(), When: r.when(true)}
	for _, slot := range r.rest {
		cell, _ := r.get(slot)
		switch slot.field {
		case What:
			s.Said = cell
		case Type:
			if !r.u.lx.isVacant(cell) {
				s.Type = cell
			}
		case NewSerial:
			s.Serial = cell
		case Cause:
			s.Cause = cell
		case Text:
			s.Text = cell
		case Category:
			s.Category = r.category(slot, cell)
		case Attended:
			s.Attended, _ = r.yesNo(slot, cell)
		case By:
			s.By = cell
		}
	}
	if r.within != "" {
		s.Text = join(s.Text, "within "+r.within)
	}
	s.Text = join(s.Text, r.behind)
	r.happened(s)
	r.holdNewSerial(s)
	return s
}

// happened settles what happened and how it went.
func (r *rowReader) happened(s *EventRow) {
	switch o := r.outcomes.of(r.row); {
	case o.left:
		r.fail(r.u.column(What), "how the test went", quoteShort(o.key), "it was put aside; write passed, failed or what else happened")
	case o.key != "":
		r.fail(r.u.column(What), "an answer to what this says of the test", quoteShort(o.key), "answer the question about it, or write passed or failed")
	case o.what == "":
		r.fail(r.u.column(What), "one of tested, cleaned, replaced, alarm, fault, disabled or restored", quoteShort(s.Said), "write one of these words")
	default:
		s.What, s.Outcome, s.Told, s.Sure = o.what, o.outcome, o.told, o.sure
	}
}
