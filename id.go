package sootline

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"slices"
	"time"
)

// ID is a UUID of version 7 (RFC 9562): 48 bits of Unix milliseconds, then 74
// bits of the station's own choosing. Sorting IDs sorts by time.
type ID [16]byte

// NewID makes an ID for the instant at from 10 bytes of randomness.
func NewID(at time.Time, random [10]byte) ID {
	var id ID
	binary.BigEndian.PutUint64(id[:8], uint64(at.UnixMilli())<<16)
	copy(id[6:], random[:])
	id[6] = id[6]&0x0f | 0x70
	id[8] = id[8]&0x3f | 0x80
	return id
}

// DerivedID makes an ID for the instant at from what is said rather than from
// chance: the same content at the same instant always has the same ID. Intake
// uses it, so that a listing taken twice adds nothing.
func DerivedID(at time.Time, content []byte) ID {
	sum := sha256.Sum256(content)
	return NewID(at, [10]byte(sum[:10]))
}

// Part gives the ID of the nth entry that is written with the one of this ID, from 1:
// what one form writes is found again by the ID of the form.
func (id ID) Part(n int) ID {
	part := DerivedID(time.UnixMilli(0), binary.BigEndian.AppendUint32(slices.Clone(id[:]), uint32(n)))
	copy(part[:6], id[:6])
	return part
}

// Zero reports whether the ID is the empty one, which names nothing.
func (id ID) Zero() bool { return id == ID{} }

// String gives the 36-character form of RFC 9562.
func (id ID) String() string { return string(id.append(nil)) }

func (id ID) append(dst []byte) []byte {
	for i, part := range [...][]byte{id[:4], id[4:6], id[6:8], id[8:10], id[10:]} {
		if i > 0 {
			dst = append(dst, '-')
		}
		dst = hex.AppendEncode(dst, part)
	}
	return dst
}

// MarshalText writes the 36-character form.
func (id ID) MarshalText() ([]byte, error) { return id.append(nil), nil }

// UnmarshalText reads the 36-character form, lower case only, so that one ID
// has one spelling.
func (id *ID) UnmarshalText(text []byte) error {
	parsed, err := ParseID(string(text))
	if err != nil {
		return err
	}
	*id = parsed
	return nil
}

// ParseID reads the 36-character, lower-case form.
func ParseID(s string) (ID, error) {
	var id ID
	if len(s) != 36 || s[8] != '-' || s[13] != '-' || s[18] != '-' || s[23] != '-' {
		return ID{}, Errorf(Invalid, "copy it whole", "id %q: expected 36 characters such as 01890a5d-ac96-774b-bcce-b302099a8057", clip(s))
	}
	at := 0
	for i := 0; i < len(s); i += 2 {
		switch i {
		case 8, 13, 18, 23: // a hyphen; one anywhere else is no digit
			i++
		}
		high, low := unhex(s[i]), unhex(s[i+1])
		if high > 15 || low > 15 {
			return ID{}, Errorf(Invalid, "copy it whole", "id %q: expected the digits 0-9 and a-f", s)
		}
		id[at] = high<<4 | low
		at++
	}
	return id, nil
}

func unhex(c byte) byte {
	switch {
	case '0' <= c && c <= '9':
		return c - '0'
	case 'a' <= c && c <= 'f':
		return c - 'a' + 10
	}
	return 255
}

// clip shortens text that goes into an error sentence.
func clip(s string) string {
	const most = 40
	if len(s) <= most {
		return s
	}
	return s[:most] + "..."
}
