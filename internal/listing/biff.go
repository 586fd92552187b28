package listing

import (
	"encoding/binary"
	"errors"
	"io"
	"unicode/utf16"
)

// Records of old workbooks ([MS-XLS] 2.1.4): a number, a length, and up to 8224 bytes; what is longer goes
// on in records of its own.

const (
	recEOF       = 0x000a
	recBOF       = 0x0809
	recContinue  = 0x003c
	recSheet     = 0x0085
	recStrings   = 0x00fc
	recFormat    = 0x041e
	recXF        = 0x00e0
	recDateMode  = 0x0022
	recPassword  = 0x002f
	recRow       = 0x0208
	recColumns   = 0x007d
	recMerged    = 0x00e5
	recShared    = 0x00fd // a cell with a text of the table of texts
	recLabel     = 0x0204
	recRich      = 0x00d6
	recNumber    = 0x0203
	recRK        = 0x027e
	recManyRK    = 0x00bd
	recFormula   = 0x0006
	recText      = 0x0207 // the result of the formula before it
	recTruth     = 0x0205
	mostRecord   = 8224
	biff8        = 0x0600
	sheetOfCells = 0
)

var errRecord = errors.New("a record is cut short")

// records reads one record after another.
type records struct {
	src  io.ReaderAt
	at   int64
	buf  []byte // bytes read ahead
	kind uint16
	data []byte // of the record at hand
	pos  int    // in data
	err  error
}

func newRecords(src io.ReaderAt, at int64) *records { return &records{src: src, at: at} }

// next reads the next record; false at the end or with an error.
func (r *records) next() bool {
	head := r.ahead(4)
	if len(head) < 4 {
		return false
	}
	kind, n := binary.LittleEndian.Uint16(head), int(binary.LittleEndian.Uint16(head[2:]))
	if n > mostRecord {
		r.err = errRecord
		return false
	}
	if r.data = r.ahead(n); len(r.data) < n {
		r.err = errRecord
		return false
	}
	r.kind, r.pos = kind, 0
	return true
}

// ahead gives the next bytes; they hold until it is called again.
func (r *records) ahead(n int) []byte {
	if len(r.buf) < n {
		more := make([]byte, max(n, 16<<10))
		k := copy(more, r.buf)
		got, err := r.src.ReadAt(more[k:], r.at)
		if err != nil && err != io.EOF {
			r.err = err
		}
		r.at += int64(got)
		r.buf = more[:k+got]
	}
	n = min(n, len(r.buf))
	out := r.buf[:n:n]
	r.buf = r.buf[n:]
	return out
}

// bytes gives n bytes of the record at hand, which may go on in the next one.
func (r *records) bytes(n int) []byte {
	if r.err == nil && r.pos+n <= len(r.data) {
		r.pos += n
		return r.data[r.pos-n : r.pos]
	}
	var out []byte
	for r.err == nil && len(out) < n {
		if r.pos == len(r.data) && !r.goesOn() {
			break
		}
		k := min(n-len(out), len(r.data)-r.pos)
		out = append(out, r.data[r.pos:r.pos+k]...)
		r.pos += k
	}
	if len(out) < n {
		if r.err == nil {
			r.err = errRecord
		}
		return make([]byte, min(n, 8))
	}
	return out
}

// goesOn goes to the record that the one at hand goes on in.
func (r *records) goesOn() bool {
	if !r.next() {
		return false
	}
	if r.kind != recContinue {
		r.err = errRecord
		return false
	}
	return true
}

func (r *records) u8() int  { return int(r.bytes(1)[0]) }
func (r *records) u16() int { return int(binary.LittleEndian.Uint16(r.bytes(2))) }
func (r *records) u32() int { return int(binary.LittleEndian.Uint32(r.bytes(4))) }

// skip passes over bytes without keeping them.
func (r *records) skip(n int) {
	for n > 0 && r.err == nil {
		k := min(n, mostRecord)
		r.bytes(k)
		n -= k
	}
}

// text reads a text of n letters ([MS-XLS] 2.5.293, 2.5.294): of one byte or two each, with how it is
// dressed behind it. Where it goes on in another record, that says anew how many bytes a letter has.
func (r *records) text(n int) string {
	flags := r.u8()
	runs, more := 0, 0
	if flags&8 != 0 {
		runs = r.u16()
	}
	if flags&4 != 0 {
		more = r.u32()
	}
	letters := make([]uint16, 0, min(n, mostRecord))
	for r.err == nil && len(letters) < n {
		if r.pos == len(r.data) {
			if !r.goesOn() {
				break
			}
			flags = r.u8()
		}
		letters = r.letters(letters, n, flags&1 != 0)
	}
	if len(letters) < n && r.err == nil {
		r.err = errRecord
	}
	r.skip(4 * runs)
	r.skip(more)
	return plainText(string(utf16.Decode(letters)))
}

// letters takes as many letters as the record at hand has.
func (r *records) letters(into []uint16, n int, wide bool) []uint16 {
	if !wide {
		k := min(n-len(into), len(r.data)-r.pos)
		for _, b := range r.data[r.pos : r.pos+k] {
			into = append(into, uint16(b))
		}
		r.pos += k
		return into
	}
	k := min(n-len(into), (len(r.data)-r.pos)/2)
	for i := range k {
		into = append(into, binary.LittleEndian.Uint16(r.data[r.pos+2*i:]))
	}
	if r.pos += 2 * k; k == 0 {
		r.err = errRecord // half a letter
	}
	return into
}
