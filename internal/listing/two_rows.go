package listing

import (
	"fmt"
	"hash/maphash"
	"iter"
)

// Two rows may have two values of one point and day. Neither says that it corrects the other, so which of them holds is asked.

// SecondMeant is what a person said of such rows.
type SecondMeant string

// What a person may say.
const (
	SecondFirst SecondMeant = "first" // of the rows of a point and day, the first holds
	SecondLast  SecondMeant = "last"  // the last
	SecondAll   SecondMeant = "all"   // each is a reading of its own
	SecondLeft  SecondMeant = "left"  // none: such rows are put aside
)

// mostSeconds bounds how many values are kept to be held against later rows: of a long list, those of some visits. With as many
// rows that differ, the rest is told of as it is taken.
const mostSeconds = 1 << 16

// seconds finds the points and days of a table that have several values.
type seconds struct {
	seed           maphash.Seed
	values         []int // the columns of values
	key            []int // other columns that tell values apart
	recent, before map[uint64]float64
	differ         map[uint64]twoValues
	rows           int // that differ from one before
	example        string
}

// twoValues are the first and the last value of a point, day and column.
type twoValues struct{ first, last float64 }

// watchSeconds begins to look for such rows.
func (u *Understanding) watchSeconds() {
	if u.Kind != KindReadings {
		return
	}
	w := &seconds{seed: maphash.MakeSeed(), recent: map[uint64]float64{}, before: map[uint64]float64{}, differ: map[uint64]twoValues{}}
	for i, c := range u.Columns {
		switch c.Field {
		case Value:
			w.values = append(w.values, i)
		case Serial, Date, Time, Day, Month, Year, Quantity, Unit:
			w.key = append(w.key, i)
		}
	}
	if len(u.visits) > 0 || u.has(Date, Day) {
		u.seconds = w
	}
}

// observe holds a row against those before it.
func (w *seconds) observe(u *Understanding, row *Row) {
	if w == nil || len(w.differ) >= mostSeconds {
		return
	}
	for key, value := range w.valuesOf(u, row) {
		seen, again := w.recent[key]
		if !again {
			seen, again = w.before[key]
		}
		if two, known := w.differ[key]; known {
			seen, again = two.last, true
		}
		if again && seen != value {
			if w.rows++; w.example == "" {
				w.example = fmt.Sprintf("number %d in row %d: %v, and before it %v", u.refOf(row).Address, row.Line, value, seen)
			}
			two, known := w.differ[key]
			if !known {
				two.first = seen
			}
			w.differ[key] = twoValues{two.first, value}
		}
		if len(w.recent) >= mostSeconds {
			w.before, w.recent = w.recent, w.before
			clear(w.recent)
		}
		w.recent[key] = value
	}
}

// valuesOf gives the values of a row, each by what tells it apart.
func (w *seconds) valuesOf(u *Understanding, row *Row) iter.Seq2[uint64, float64] {
	return func(yield func(uint64, float64) bool) {
		key, ok := w.keyOf(u, row)
		if !ok {
			return
		}
		for _, i := range w.values {
			const spread = 0x9e3779b97f4a7c15 // keeps the keys of the columns of a row apart
			if value, ok := anyNumber(trimmedAt(row.Cells, i)); ok && !yield(key^uint64(i+1)*spread, value) {
				return
			}
		}
	}
}

// keyOf tells rows apart by point and day; false: the row does not say them.
func (w *seconds) keyOf(u *Understanding, row *Row) (uint64, bool) {
	ref := u.refOf(row)
	carried := u.has(Loop) && ref.Loop == "" || u.has(Panel) && ref.Panel == "" // by rows above, which may be of another loop
	if carried || ref.Address <= 0 && u.cell(row, Serial) == "" || u.has(Date) && u.cell(row, Date) == "" {
		return 0, false
	}
	var h maphash.Hash
	h.SetSeed(w.seed)
	h.WriteString(ref.Panel)
	h.WriteByte(0)
	h.WriteString(ref.Loop)
	h.WriteByte(0)
	h.WriteString(string(ref.Range))
	for n := ref.Address; n > 0; n >>= 8 {
		h.WriteByte(byte(n))
	}
	for _, i := range w.key {
		cell := trimmedAt(row.Cells, i)
		if isOf(cell, dittoMarks) {
			return 0, false
		}
		h.WriteByte(0)
		h.WriteString(cell)
	}
	return h.Sum64(), true
}

// askSeconds asks which of such rows hold.
func (u *Understanding) askSeconds() {
	w := u.seconds
	if w == nil || w.rows == 0 || u.Kind == KindUnknown || u.profile.Second != "" {
		return
	}
	n := len(u.Questions)
	u.askOnce(AskSecond, fmt.Sprintf("Some rows have another value of the same point and day (the first is %s; in all, %d). Which of them hold?", w.example, w.rows),
		Choice{string(SecondFirst), "of each point and day, the first"}, Choice{string(SecondLast), "the last, which corrects those before it"},
		Choice{string(SecondAll), "all of them: it was read again on that day"}, Choice{string(SecondLeft), "none: put such rows aside"})
	if len(u.Questions) > n {
		u.Questions[n].Aside = true
	}
}

// isSecond refuses a row that may not hold, for another row has another value of its point and day.
func (r *rowReader) isSecond(row *Row) *RowError {
	w, said := r.u.seconds, r.u.profile.Second
	if w == nil || len(w.differ) == 0 || said == SecondAll {
		return nil
	}
	for key, value := range w.valuesOf(r.u, row) {
		two, differ := w.differ[key]
		switch {
		case !differ, said == SecondFirst && value == two.first, said == SecondLast && value == two.last:
		case said == "":
			return r.t.rowError(row.Line, "one value of a point and day", fmt.Sprintf("%v, and another in another row", value), "answer the question about such rows")
		default:
			return r.t.rowError(row.Line, "one value of a point and day", fmt.Sprintf("%v, and another in another row", value), "it was put aside, as was answered")
		}
	}
	return nil
}
