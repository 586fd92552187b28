package listing

import (
	"bytes"
	"encoding/binary"
	"math"
	"unicode/utf16"
)

// xlsMaker writes old workbooks, as small as tests need them.
type xlsMaker struct {
	texts   []string
	names   []string
	states  []byte
	bodies  [][]byte
	formats []string // number 164 and on; style n shows format n-1, style 0 none
}

func record(kind uint16, parts ...any) []byte {
	var data bytes.Buffer
	for _, p := range parts {
		if s, ok := p.(string); ok {
			data.WriteString(s)
			continue
		}
		if err := binary.Write(&data, binary.LittleEndian, p); err != nil {
			panic(err)
		}
	}
	out := binary.LittleEndian.AppendUint16(nil, kind)
	out = binary.LittleEndian.AppendUint16(out, uint16(data.Len()))
	return append(out, data.Bytes()...)
}

func wide(s string) []byte {
	var out []byte
	for _, u := range utf16.Encode([]rune(s)) {
		out = binary.LittleEndian.AppendUint16(out, u)
	}
	return out
}

// text is the number of letters in two bytes, that they have two bytes each, and the letters.
func xlsText(s string) []byte {
	letters := wide(s)
	out := binary.LittleEndian.AppendUint16(nil, uint16(len(letters)/2))
	return append(append(out, 1), letters...)
}

func (m *xlsMaker) sheet(name string, state byte, records ...[]byte) {
	m.names, m.states = append(m.names, name), append(m.states, state)
	body := record(recBOF, uint16(biff8), uint16(0x10), [12]byte{})
	for _, r := range records {
		body = append(body, r...)
	}
	m.bodies = append(m.bodies, append(body, record(recEOF)...))
}

// shared gives a cell with a text of the table of texts.
func (m *xlsMaker) shared(row, column uint16, s string) []byte {
	m.texts = append(m.texts, s)
	return record(recShared, row, column, uint16(0), uint32(len(m.texts)-1))
}

func xlsNumber(row, column, style uint16, v float64) []byte {
	return record(recNumber, row, column, style, math.Float64bits(v))
}

// stream gives the stream of records.
func (m *xlsMaker) stream() []byte {
	globals := record(recBOF, uint16(biff8), uint16(5), [12]byte{})
	for i, code := range m.formats {
		globals = append(globals, record(recFormat, uint16(164+i), xlsText(code))...)
	}
	globals = append(globals, record(recXF, uint16(0), uint16(0), [16]byte{})...)
	for i := range m.formats {
		globals = append(globals, record(recXF, uint16(0), uint16(164+i), [16]byte{})...)
	}
	texts := binary.LittleEndian.AppendUint32(nil, uint32(len(m.texts)))
	texts = binary.LittleEndian.AppendUint32(texts, uint32(len(m.texts)))
	kind := uint16(recStrings)
	flush := func() {
		globals = append(globals, record(kind, texts)...)
		kind, texts = recContinue, nil
	}
	for _, s := range m.texts {
		text := xlsText(s)
		if room := mostRecord - len(texts); room < len(text) {
			if room = room &^ 1; room > 8 { // the letters go on in the next record, in one byte each
				texts = append(texts, text[:room-1]...)
				flush()
				texts = append(texts, 0)
				for i := room - 1; i < len(text); i += 2 {
					texts = append(texts, text[i])
				}
				continue
			}
			flush()
		}
		texts = append(texts, text...)
	}
	flush()
	at := len(globals) + len(record(recEOF))
	for _, name := range m.names {
		at += 4 + 8 + 2*len(utf16.Encode([]rune(name)))
	}
	for i, name := range m.names {
		letters := wide(name)
		globals = append(globals, record(recSheet, uint32(at), m.states[i], byte(0), byte(len(letters)/2), byte(1), letters)...)
		at += len(m.bodies[i])
	}
	globals = append(globals, record(recEOF)...)
	for _, body := range m.bodies {
		globals = append(globals, body...)
	}
	return globals
}

// file wraps the stream in a container.
func (m *xlsMaker) file() []byte { return compoundOf("Workbook", m.stream()) }

// compoundOf is a container with one stream, of sectors of one size: first those of the table of
// sectors, then the list of streams, then the stream, which is made long enough to need no small ones.
func compoundOf(name string, stream []byte) []byte {
	size, shift := 512, byte(9)
	if len(stream) > 4<<20 { // the header lists the table's sectors of no larger one
		size, shift = 4096, 12
	}
	for len(stream) < 4096 || len(stream)%size != 0 {
		stream = append(stream, 0)
	}
	n := len(stream) / size
	tables := 1
	for tables*size/4 < tables+1+n {
		tables++
	}
	var next []uint32
	for range tables {
		next = append(next, 0xfffffffd)
	}
	next = append(next, sectorEnd)
	for i := range n {
		next = append(next, uint32(tables+2+i))
	}
	next[len(next)-1] = sectorEnd
	for len(next) < tables*size/4 {
		next = append(next, 0xffffffff)
	}
	head := make([]byte, size)
	copy(head, "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")
	u16, u32 := binary.LittleEndian.PutUint16, binary.LittleEndian.PutUint32
	u16(head[24:], 0x3e)
	u16(head[26:], 3)
	u16(head[28:], 0xfffe)
	u16(head[30:], uint16(shift))
	u16(head[32:], 6)
	u32(head[44:], uint32(tables))
	u32(head[48:], uint32(tables))
	u32(head[56:], 4096)
	u32(head[60:], sectorEnd)
	u32(head[68:], sectorEnd)
	for i := range 109 {
		u32(head[76+4*i:], 0xffffffff)
		if i < tables {
			u32(head[76+4*i:], uint32(i))
		}
	}
	out := head
	for _, at := range next {
		out = binary.LittleEndian.AppendUint32(out, at)
	}
	list := make([]byte, size)
	for i, entry := range []struct {
		name  string
		kind  byte
		start uint32
		size  int
	}{{"Root Entry", 5, sectorEnd, 0}, {name, 2, uint32(tables + 1), len(stream)}} {
		e := list[i*entrySize:]
		letters := wide(entry.name)
		copy(e, letters)
		u16(e[64:], uint16(len(letters)+2))
		e[66] = entry.kind
		u32(e[116:], entry.start)
		u32(e[120:], uint32(entry.size))
	}
	return append(append(out, list...), stream...)
}
