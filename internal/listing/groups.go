package listing

// readGroups yields a record for each quantity that a row has values of, then one error for all its cells
// that cannot be used. It reports false once yield does.
func (r *rowReader) readGroups(row *Row, yield func(Record, *RowError) bool) bool {
	r.row, r.err = row, nil
	ref, when := r.ref(), r.when(true)
	done := r.done()
	if r.err != nil {
		return yield(Record{Line: row.Line, Cells: row.Cells}, r.err)
	}
	var bad []*RowError
	read := false
	for _, columns := range r.groups {
		r.err = nil
		r.reading = ReadingRow{Ref: ref, When: when, Samples: r.reading.Samples[:0]}
		for _, column := range columns {
			if cell, kind := r.get(slot{column: column, field: Value}); cell != "" {
				r.sampleCell(column, cell, kind)
			}
		}
		r.describe(columns)
		if r.reading.Apart = r.u.Columns[columns[0]].apart; len(r.reading.Samples) > 0 {
			r.standApart(done)
		}
		switch {
		case r.err != nil:
			bad = append(bad, r.err)
		case len(r.reading.Samples) > 0:
			read = true
			if !yield(Record{Line: row.Line, Cells: row.Cells, Reading: &r.reading}, nil) {
				return false
			}
		}
	}
	if len(bad) == 0 && !r.yieldDone(ref, when, done, yield) {
		return false
	}
	read = read || len(done) > 0
	if len(bad) == 0 && !read {
		r.fail(r.values[0], "a value", "no value", "")
		bad = append(bad, r.err)
	}
	return len(bad) == 0 || yield(Record{Line: row.Line, Cells: row.Cells}, joinRowErrors(bad))
}
