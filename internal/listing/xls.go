package listing

import (
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strconv"
)

// Old workbooks, BIFF8 ([MS-XLS]): what all sheets share stands in front, then one sheet after another.

// xlsBook holds what all sheets share.
type xlsBook struct {
	*archive
	stream    chain
	epoch1904 bool
	strings   []string
	formats   []cellFormat   // by style
	codes     map[int]string // of number formats
	merged    int            // merged ranges that its sheets may still have
}

// xlsSource streams one sheet.
type xlsSource struct {
	t      *Table
	b      *xlsBook
	from   int64
	before *xlsBefore
}

func (s *xlsSource) layout(layoutChoice) (encoding, separator string) { return "", "" }

// openXLS opens the container and reads what its sheets share.
func openXLS(name string, src io.ReaderAt, size int64, lim Limits) ([]*Table, error) {
	c, err := openCompound(src, size)
	if err != nil {
		return nil, damaged(name, err)
	}
	stream, found, err := c.find("Workbook", "Book", "EncryptedPackage", "WordDocument")
	if err != nil {
		return nil, damaged(name, err)
	}
	switch found {
	case "Workbook", "Book":
	case "EncryptedPackage":
		return nil, locked(name)
	default:
		return nil, &FileError{File: name, Trouble: "this is an old document that holds no workbook", Hint: "save its table as .xlsx or .csv"}
	}
	b := &xlsBook{archive: &archive{file: name, limits: lim, room: plainKept + mostKept*size}, stream: stream, codes: map[int]string{}, merged: lim.MaxMerges}
	tables, err := b.read()
	if err != nil {
		return nil, damaged(name, err)
	}
	return filled(tables), nil
}

func locked(name string) error {
	return &FileError{File: name, Trouble: "the workbook is locked by a password", Hint: "save it without one"}
}

// read reads the records in front of the sheets.
func (b *xlsBook) read() ([]*Table, error) {
	r := newRecords(b.stream, 0)
	if !r.next() || r.kind != recBOF || r.u16() != biff8 {
		return nil, &FileError{File: b.file, Trouble: "this workbook is of a kind older than 1997", Hint: "open it in a spreadsheet program and save it as .xlsx or .csv"}
	}
	var tables []*Table
	for r.next() && r.kind != recEOF {
		switch r.kind {
		case recPassword:
			return nil, locked(b.file)
		case recDateMode:
			b.epoch1904 = r.u16() == 1
		case recFormat:
			id := r.u16()
			b.codes[id] = r.text(r.u16())
			if err := b.keep(b.codes[id]); err != nil {
				return nil, err
			}
		case recXF:
			r.u16()
			id := r.u16()
			b.formats = append(b.formats, formatOf(strconv.Itoa(id), b.codes[id]))
		case recStrings:
			if err := b.readStrings(r); err != nil {
				return nil, err
			}
		case recSheet:
			t, err := b.sheet(r)
			if t != nil {
				tables = append(tables, t)
			}
			if err == nil {
				err = tooManySheets(b.archive, len(tables))
			}
			if err != nil {
				return nil, err
			}
		}
		if len(b.formats) > b.limits.MaxStyles || len(b.codes) > b.limits.MaxStyles {
			return nil, tooLarge(b.file)
		}
	}
	for _, t := range tables {
		t.epoch1904 = b.epoch1904
	}
	return tables, r.err
}

// sheet reads where a sheet stands; nil for one of no cells, such as a drawing.
func (b *xlsBook) sheet(r *records) (*Table, error) {
	from, state, kind := r.u32(), r.u8(), r.u8()
	t := &Table{File: b.file, Name: r.text(r.u8()), Hidden: state&3 != 0, limits: b.limits}
	t.src = &xlsSource{t: t, b: b, from: int64(from)}
	if kind != sheetOfCells {
		return nil, r.err
	}
	return t, b.keep(t.Name)
}

// readStrings reads the texts that cells share.
func (b *xlsBook) readStrings(r *records) error {
	r.u32()
	n, size := r.u32(), 0
	for range n {
		if r.pos == len(r.data) && !r.goesOn() {
			return r.err
		}
		s := r.text(r.u16())
		if r.err != nil {
			return r.err
		}
		if size += len(s); size > b.limits.MaxText || len(b.strings) == b.limits.MaxStrings {
			return tooLarge(b.file)
		}
		if err := b.keep(s); err != nil {
			return err
		}
		b.strings = append(b.strings, s)
	}
	return nil
}

// xlsBefore is what stands behind the rows of a sheet, or between them, and is needed before.
type xlsBefore struct {
	merges []merge
	hidden map[int]bool // rows from 0
	err    error
}

// lookAhead reads it once.
func (s *xlsSource) lookAhead() *xlsBefore {
	if s.before != nil {
		return s.before
	}
	before := &xlsBefore{hidden: map[int]bool{}}
	s.before = before
	r := newRecords(s.b.stream, s.from)
	for depth := 0; r.next(); {
		switch r.kind {
		case recBOF:
			depth++
		case recEOF:
			depth--
		case recRow:
			row := r.u16()
			r.bytes(10)
			if r.u8()&0x20 != 0 { // fDyZero
				before.hidden[row] = true
			}
		case recMerged:
			before.err = s.merges(r, before)
		}
		if depth == 0 || before.err != nil {
			break
		}
	}
	slices.SortFunc(before.merges, func(a, b merge) int { return a.top - b.top })
	return before
}

func (s *xlsSource) merges(r *records, before *xlsBefore) error {
	for range r.u16() {
		m := merge{top: r.u16() + 1, bottom: r.u16() + 1, left: r.u16() + 1, right: r.u16() + 1}
		if r.err != nil || m.bottom < m.top || m.right < m.left {
			return r.err
		}
		if s.b.merged--; s.b.merged < 0 {
			return &FileError{File: s.t.File, Trouble: fmt.Sprintf("the workbook has more than %d merged ranges", s.t.limits.MaxMerges), Hint: "undo them, or save the sheet as .csv"}
		}
		before.merges = append(before.merges, m)
	}
	return nil
}

func (s *xlsSource) rows(choice layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		before := s.lookAhead()
		if before.err != nil {
			yield(Row{}, s.t.broken(before.err))
			return
		}
		r := &xlsReader{grid: newGrid(s.t, choice), b: s.b, r: newRecords(s.b.stream, s.from), before: before}
		r.merges = before.merges
		yieldRows(r.grid, r.next, s.t.broken, yield)
	}
}

// rk is a number in four bytes ([MS-XLS] 2.5.217).
func rk(n uint32) float64 {
	v := math.Float64frombits(uint64(n&^3) << 32)
	if n&2 != 0 {
		v = float64(int32(n) >> 2)
	}
	if n&1 != 0 {
		v /= 100
	}
	return v
}
