package listing

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strconv"
)

// xlsReader walks the records of a sheet and puts cells of one row together.
type xlsReader struct {
	*grid
	b      *xlsBook
	r      *records
	before *xlsBefore
	depth  int // of charts inside the sheet
	begun  bool
	result place // where the text of a formula goes

	waiting  []waiting // the first cells of the next row
	waitLine int
}

type waiting struct {
	column int
	cell   cell
}

// place is where a cell stands, from 0, and its style.
type place struct{ row, column, style int }

// next gives the next row with cells; io.EOF after the last one.
func (r *xlsReader) next() (Row, error) {
	for {
		if err := r.untilRow(); err != nil {
			return Row{Line: r.line}, err
		}
		switch {
		case !r.begun && len(r.waiting) == 0:
			return Row{}, io.EOF
		case !r.begun:
			continue
		}
		r.begun = false
		row, err := r.end()
		if !r.pass(r.before.hidden[r.line-1], err) {
			return row, err
		}
	}
}

// untilRow reads records until one begins another row, or there are no more.
func (r *xlsReader) untilRow() error {
	if len(r.waiting) > 0 {
		r.begin(r.waitLine)
		r.begun = true
		for _, w := range r.waiting {
			r.put(w.column, w.cell)
		}
		r.waiting = r.waiting[:0]
	}
	for len(r.waiting) == 0 && r.depth >= 0 && r.r.next() {
		var err error
		switch r.r.kind {
		case recBOF:
			r.depth++
		case recEOF:
			if r.depth--; r.depth == 0 {
				r.depth = -1
			}
		default:
			if r.depth == 1 {
				err = r.record()
			}
		}
		if err != nil {
			return err
		}
	}
	return r.r.err
}

// record takes one record of a sheet in.
func (r *xlsReader) record() error {
	in := r.r
	switch in.kind {
	case recColumns:
		from, to := in.u16(), in.u16()
		in.bytes(4)
		if in.u16()&1 != 0 {
			r.hide(from, to)
		}
	case recShared:
		at, n := r.place(), in.u32()
		if n < len(r.b.strings) {
			return r.set(at, cell{text: r.b.strings[n]})
		}
	case recLabel, recRich:
		at := r.place()
		return r.set(at, cell{text: in.text(in.u16())})
	case recNumber:
		at := r.place()
		return r.set(at, r.number(at, math.Float64frombits(binary.LittleEndian.Uint64(in.bytes(8)))))
	case recRK:
		at := r.place()
		return r.set(at, r.number(at, rk(uint32(in.u32()))))
	case recManyRK:
		return r.many()
	case recTruth:
		at, value, isError := r.place(), in.u8(), in.u8()
		return r.set(at, truth(value, isError == 1))
	case recFormula:
		return r.formula()
	case recText:
		return r.set(r.result, cell{text: in.text(in.u16())})
	}
	return nil
}

func (r *xlsReader) place() place { return place{r.r.u16(), r.r.u16(), r.r.u16()} }

// many: numbers side by side.
func (r *xlsReader) many() error {
	in := r.r
	at := place{row: in.u16(), column: in.u16()}
	for in.pos+8 <= len(in.data) && in.err == nil {
		at.style = in.u16()
		if err := r.set(at, r.number(at, rk(uint32(in.u32())))); err != nil {
			return err
		}
		at.column++
	}
	return nil
}

// formula takes the stored result; a text follows in a record of its own.
func (r *xlsReader) formula() error {
	in := r.r
	at := r.place()
	b := in.bytes(8)
	if b[6] != 0xff || b[7] != 0xff {
		return r.set(at, r.number(at, math.Float64frombits(binary.LittleEndian.Uint64(b))))
	}
	switch b[0] {
	case 0:
		r.result = at
	case 1, 2:
		return r.set(at, truth(int(b[2]), b[0] == 2))
	}
	return nil
}

// set puts a cell; those of another row wait until the row at hand was given.
func (r *xlsReader) set(at place, c cell) error {
	line := at.row + 1
	switch {
	case r.r.err != nil:
		return r.r.err
	case line < r.line || len(r.waiting) > 0 && line != r.waitLine:
		return fmt.Errorf("row %d stands behind row %d", line, max(r.line, r.waitLine))
	case line == r.line && r.begun:
		r.put(at.column, c)
	case line == r.line:
		return fmt.Errorf("row %d stands there twice", line)
	default:
		r.waitLine = line
		r.waiting = append(r.waiting, waiting{at.column, c})
	}
	return nil
}

// number gives a number as its style shows it.
func (r *xlsReader) number(at place, v float64) cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return cell{}
	}
	var f cellFormat
	if at.style < len(r.b.formats) {
		f = r.b.formats[at.style]
	}
	return f.show(strconv.FormatFloat(v, 'f', -1, 64), r.b.epoch1904)
}

// truth gives a yes or no, or what people see where a formula fails ([MS-XLS] 2.5.10).
func truth(value int, isError bool) cell {
	if !isError {
		return cell{text: map[bool]string{true: "TRUE", false: "FALSE"}[value != 0]}
	}
	names := map[int]string{0x00: "#NULL!", 0x07: "#DIV/0!", 0x0f: "#VALUE!", 0x17: "#REF!", 0x1d: "#NAME?", 0x24: "#NUM!", 0x2a: "#N/A"}
	return cell{text: names[value]}
}
