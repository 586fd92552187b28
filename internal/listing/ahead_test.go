package listing

import (
	"iter"
	"strings"
	"testing"
)

// recordsOf yields so many readings, and counts how many were asked for.
func recordsOf(n int, asked *int) iter.Seq2[Record, *RowError] {
	return func(yield func(Record, *RowError) bool) {
		row := ReadingRow{}
		cells := []string{""}
		for i := range n {
			*asked++
			row.Samples = append(row.Samples[:0], float64(i))
			cells[0] = strings.Repeat("x", i%7)
			if !yield(Record{Line: i, Cells: cells, Reading: &row}, nil) {
				return
			}
		}
	}
}

// TestAhead: records arrive in order and whole, and reading ends with the taker.
func TestAhead(t *testing.T) {
	for _, n := range []int{0, 1, batchRows, 5*batchRows + 3} {
		asked, got := 0, 0
		for r := range ahead(recordsOf(n, &asked), nil) {
			if r.Line != got || r.Reading.Samples[0] != float64(got) || len(r.Cells[0]) != got%7 {
				t.Fatalf("record %d is %+v", got, r)
			}
			got++
		}
		if got != n {
			t.Errorf("%d records of %d", got, n)
		}
	}
	asked := 0
	for r := range ahead(recordsOf(1<<30, &asked), nil) {
		if r.Line == 10 {
			break
		}
	}
	before := asked
	if before > (batches+2)*batchRows {
		t.Errorf("%d records were read for 11", before)
	}
}

// TestAheadPanics: a fault of the reader is told as an error, after what was read before it.
func TestAheadPanics(t *testing.T) {
	failing := func(yield func(Record, *RowError) bool) {
		yield(Record{Line: 1}, nil)
		panic("no bottom")
	}
	last, read := "", 0
	for _, fault := range ahead(failing, func(err error) *RowError { return &RowError{Found: err.Error()} }) {
		if fault != nil {
			last = fault.Found
		} else {
			read++
		}
	}
	if read != 1 || !strings.Contains(last, "no bottom") {
		t.Errorf("%d read, told %q", read, last)
	}
}
