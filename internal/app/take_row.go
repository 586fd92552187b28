package app

import "sootline/internal/listing"

// RowOutcome says what one row became, or would become.
type RowOutcome struct {
	Table   *IntakeTable
	Line    int
	Cells   []string // as written; reused by the next row
	Becomes Becomes
	Why     string // it cannot be used
}

// Becomes is what becomes of a row.
type Becomes string

// What becomes of rows. A type may have several rows, so that only the table as
// a whole tells which sheets are new.
const (
	RowAdded    Becomes = "added"
	RowSame     Becomes = "known already"
	RowRepeated Becomes = "repeats another"
	RowLeft     Becomes = "cannot be used"
	RowOfSheet  Becomes = "part of a type sheet"
)

// recordAndTell takes a row, and tells what became of it where somebody wants to know.
func (t *taker) recordAndTell(o *TableOutcome, record listing.Record, fault *listing.RowError, take func(listing.Record) error) error {
	if t.opts.Row == nil {
		return t.record(o, record, fault, take)
	}
	before := *o
	t.trouble = ""
	if err := t.record(o, record, fault, take); err != nil {
		return err
	}
	return t.opts.Row(RowOutcome{o.Table, record.Line, record.Cells, o.since(&before), t.trouble})
}

// since tells what became of the row that was taken between before and now.
func (o *TableOutcome) since(before *TableOutcome) Becomes {
	switch {
	case o.Left > before.Left:
		return RowLeft
	case o.Rows > before.Rows:
		return RowAdded
	case o.Same > before.Same:
		return RowSame
	case o.Repeated > before.Repeated:
		return RowRepeated
	}
	return RowOfSheet
}
