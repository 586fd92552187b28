package listing

import (
	"iter"

	"sootline"
)

// Records are read a little ahead of whoever takes them, beside their work: on two processors reading
// then costs the taker next to nothing.

const (
	batchRows  = 256
	batchBytes = 256 << 10 // of their cells
	batches    = 4         // so many are on the way at a time: memory stays flat
)

// batch is some records in a row, with all that they point to. It is used again once they were taken.
type batch struct {
	records   []Record
	faults    []*RowError
	cells     []string
	samples   []float64
	types     []TypeRow
	schedules []ScheduleRow
	readings  []ReadingRow
	events    []EventRow
	found     []FoundRow
	bytes     int // of the cells
}

func newBatch() *batch {
	return &batch{
		types: make([]TypeRow, 0, batchRows), schedules: make([]ScheduleRow, 0, batchRows),
		readings: make([]ReadingRow, 0, batchRows), events: make([]EventRow, 0, batchRows), found: make([]FoundRow, 0, batchRows),
	}
}

func (b *batch) clear() {
	clear(b.cells) // their texts are kept no longer
	clear(b.records)
	b.bytes = 0
	b.records, b.faults, b.cells, b.samples = b.records[:0], b.faults[:0], b.cells[:0], b.samples[:0]
	b.types, b.schedules, b.readings, b.events, b.found = b.types[:0], b.schedules[:0], b.readings[:0], b.events[:0], b.found[:0]
}

// add copies a record, whose parts are used again for the next one. There is room for what it points to,
// so that nothing moves that was pointed to before.
func (b *batch) add(r Record, fault *RowError) {
	from := len(b.cells)
	b.cells = append(b.cells, r.Cells...)
	for _, c := range r.Cells {
		b.bytes += len(c) + 16 // a string's own words
	}
	r.Cells = b.cells[from:len(b.cells):len(b.cells)]
	switch {
	case r.Type != nil:
		b.types = append(b.types, *r.Type)
		r.Type = &b.types[len(b.types)-1]
	case r.Schedule != nil:
		b.schedules = append(b.schedules, *r.Schedule)
		r.Schedule = &b.schedules[len(b.schedules)-1]
	case r.Reading != nil:
		from := len(b.samples)
		b.samples = append(b.samples, r.Reading.Samples...)
		b.readings = append(b.readings, *r.Reading)
		r.Reading = &b.readings[len(b.readings)-1]
		r.Reading.Samples = b.samples[from:len(b.samples):len(b.samples)]
	case r.Event != nil:
		b.events = append(b.events, *r.Event)
		r.Event = &b.events[len(b.events)-1]
	case r.Found != nil:
		b.found = append(b.found, *r.Found)
		r.Found = &b.found[len(b.found)-1]
	}
	b.records, b.faults = append(b.records, r), append(b.faults, fault)
}

// pump carries batches from the reader to the taker, and empty ones back.
type pump struct {
	full, empty chan *batch
	stop        chan struct{} // closed when the taker wants no more
	failed      error         // a panic of the reader; read it once full is closed
}

// ahead reads records beside whoever takes them. When it returns, nothing is read any more.
func ahead(records iter.Seq2[Record, *RowError], broken func(error) *RowError) iter.Seq2[Record, *RowError] {
	return func(yield func(Record, *RowError) bool) {
		p := &pump{full: make(chan *batch, batches), empty: make(chan *batch, batches), stop: make(chan struct{})}
		for range batches {
			p.empty <- newBatch()
		}
		go func() {
			defer close(p.full)
			defer sootline.Caught(&p.failed)
			p.fill(records)
		}()
		if p.drain(yield) && p.failed != nil {
			yield(Record{}, broken(p.failed))
		}
	}
}

// fill reads until there are no more records, or nobody wants them.
func (p *pump) fill(records iter.Seq2[Record, *RowError]) {
	b := <-p.empty
	defer func() { // also what was read before a panic
		if b != nil {
			p.full <- b
		}
	}()
	for r, fault := range records {
		b.add(r, fault)
		if len(b.records) < batchRows && b.bytes < batchBytes {
			continue
		}
		p.full <- b
		select {
		case b = <-p.empty:
			b.clear()
		case <-p.stop:
			b = nil
			return
		}
	}
}

// drain gives the records until there are no more; false when the taker wants no more. It waits for the
// reader to be through.
func (p *pump) drain(yield func(Record, *RowError) bool) bool {
	wanted := true
	defer func() {
		if wanted { // the taker panicked
			close(p.stop)
		}
		for range p.full {
			continue
		}
	}()
	for b := range p.full {
		for i, r := range b.records {
			if !yield(r, b.faults[i]) {
				wanted = false
				close(p.stop)
				return false
			}
		}
		p.empty <- b
	}
	return true
}
