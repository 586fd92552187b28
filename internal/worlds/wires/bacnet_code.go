package wires

import (
	"encoding/binary"
	"errors"
	"math"
)

// The encoding of ASHRAE 135, clauses 20 and J, from memory.

// errShort says that bytes ended too early, or tags are not those expected.
var errShort = errors.New("not encoded as expected")

// framed puts what goes before a message to one address: BVLC and NPDU.
func framed(apdu []byte) []byte {
	control := byte(0)
	if apdu[0]>>4 == 0 { // a confirmed request expects a reply
		control = 4
	}
	out := []byte{0x81, 0x0a, 0, 0, 1, control}
	out = append(out, apdu...)
	binary.BigEndian.PutUint16(out[2:], uint16(len(out)))
	return out
}

// unframed gives the APDU of a datagram and the function of its BVLC.
func unframed(b []byte) (apdu []byte, function byte, err error) {
	if len(b) < 4 || b[0] != 0x81 || int(binary.BigEndian.Uint16(b[2:])) != len(b) {
		return nil, 0, errShort
	}
	function = b[1]
	if function != 0x0a && function != 0x0b {
		return nil, function, nil
	}
	b = b[4:]
	if len(b) < 2 || b[0] != 1 || b[1]&0x80 != 0 {
		return nil, function, errShort
	}
	control, at := b[1], 2
	for _, bit := range []byte{0x20, 0x08} { // destination, source: network, length, address
		if control&bit != 0 {
			if len(b) < at+3 {
				return nil, function, errShort
			}
			at += 3 + int(b[at+2])
		}
	}
	if control&0x20 != 0 {
		at++ // hop count
	}
	if len(b) <= at {
		return nil, function, errShort
	}
	return b[at:], function, nil
}

// tagged writes a tag with its content; class 0 is application, 8 context.
func tagged(number, class byte, content []byte) []byte {
	if n := len(content); n > 4 {
		return append([]byte{number<<4 | class | 5, byte(n)}, content...)
	}
	return append([]byte{number<<4 | class | byte(len(content))}, content...)
}

func opened(number byte) byte { return number<<4 | 0x0e }

func closed(number byte) byte { return number<<4 | 0x0f }

// least is a number in as few bytes as it takes.
func least(n uint32) []byte {
	out := binary.BigEndian.AppendUint32(nil, n)
	for len(out) > 1 && out[0] == 0 {
		out = out[1:]
	}
	return out
}

func four(n uint32) []byte { return binary.BigEndian.AppendUint32(nil, n) }

// The application tags that are used.
const (
	tagUnsigned   = 2
	tagReal       = 4
	tagText       = 7
	tagBits       = 8
	tagEnumerated = 9
	tagObject     = 12
)

func realValue(v float64) []byte {
	return tagged(tagReal, 0, four(math.Float32bits(float32(v))))
}

func textValue(s string) []byte { return tagged(tagText, 0, append([]byte{0}, s...)) }

// flagsValue is a string of four bits.
func flagsValue(flags byte) []byte { return tagged(tagBits, 0, []byte{4, flags & 0xf0}) }

// field is a tag that was read. content is nil at an opening or closing tag.
type field struct {
	number  byte
	context bool
	content []byte
}

// fields reads tags up to the end.
func fields(b []byte) ([]field, error) {
	var out []field
	for len(b) > 0 {
		f := field{number: b[0] >> 4, context: b[0]&8 != 0}
		n, at := int(b[0]&7), 1
		if f.number == 15 || n == 5 && len(b) < 2 {
			return nil, errShort
		}
		if n == 5 {
			n, at = int(b[1]), 2
		}
		if f.context && b[0]&7 >= 6 {
			b = b[1:]
			out = append(out, f)
			continue
		}
		if n > 253 || len(b) < at+n {
			return nil, errShort
		}
		f.content = append([]byte{}, b[at:at+n]...)
		b = b[at+n:]
		out = append(out, f)
	}
	return out, nil
}

// contexts gives the numbers of context tags, by tag.
func contexts(b []byte) (map[byte]uint32, error) {
	all, err := fields(b)
	if err != nil {
		return nil, err
	}
	out := map[byte]uint32{}
	for _, f := range all {
		if !f.context || f.content == nil || len(f.content) > 4 {
			return nil, errShort
		}
		n := uint32(0)
		for _, c := range f.content {
			n = n<<8 | uint32(c)
		}
		out[f.number] = n
	}
	return out, nil
}
