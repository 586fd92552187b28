package sootline

import (
	"encoding/json"
	"math"
	"strconv"
)

// ReadKind is the kind of [Read].
const ReadKind Kind = "read"

// Read is one look at a resting value: the samples in the order they were
// taken, in the unit of the type sheet.
type Read struct {
	Samples  []float64 `json:"samples" form:"samples"`
	Quantity string    `json:"quantity,omitempty" form:"quantity, where it is not the type's own"` // empty: the type's own
	Remark   string    `json:"remark,omitempty" form:"in words"`
}

// mostSamples is the largest number of samples in one look: three minutes at
// one a second, with room.
const mostSamples = 1000

// Kind is ReadKind.
func (Read) Kind() Kind { return ReadKind }

func (x Read) say() string {
	return Joined("read "+samplesSaid(x.Samples), x.Quantity, x.Remark)
}

func (x Read) check() error {
	if len(x.Samples) == 0 || len(x.Samples) > mostSamples {
		return Errorf(Invalid, "", "a reading has from 1 to %d samples, found %d", mostSamples, len(x.Samples))
	}
	for _, sample := range x.Samples {
		if !finite(sample) {
			return Errorf(Invalid, "", "a sample is to be a number, and %v is none", sample)
		}
	}
	return nil
}

// checkNew refuses what no meter shows.
func (x Read) checkNew() error {
	for _, sample := range x.Samples {
		if !Showable(sample) {
			return Errorf(Invalid, "compare it with the meter", "a sample of %g is more than any meter shows", sample)
		}
	}
	return nil
}

// MostShown is the largest amount that a resting value may have, either side of zero: far
// beyond what any meter of the trade shows (a choice of ours, no source).
const MostShown = 1e9

// Showable reports whether a meter can show a resting value.
func Showable(x float64) bool { return math.Abs(x) <= MostShown }

func (x Read) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Readings = append(p.Readings, Reading{At: e.At, Samples: x.Samples, Quantity: x.Quantity, Entry: e})
	r.others = r.others || x.Quantity != ""
	r.Readings++
}

// MarshalJSON writes what encoding/json would.
func (x Read) MarshalJSON() ([]byte, error) { return x.append(nil), nil }

// append writes the JSON of a reading without reflection: readings are nearly
// all of a log book.
func (x Read) append(dst []byte) []byte {
	dst = append(dst, `{"samples":[`...)
	for i, sample := range x.Samples {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = appendNumber(dst, sample)
	}
	dst = append(dst, ']')
	dst = appendOptional(dst, "quantity", x.Quantity)
	dst = appendOptional(dst, "remark", x.Remark)
	return append(dst, '}')
}

func appendOptional(dst []byte, key, value string) []byte {
	if value == "" {
		return dst
	}
	dst = append(dst, `,"`...)
	dst = append(dst, key...)
	dst = append(dst, `":`...)
	return appendString(dst, value)
}

// appendNumber writes a finite number as encoding/json does.
func appendNumber(dst []byte, x float64) []byte {
	const exact = 1 << 53 // up to here a float64 holds every whole number
	if whole := int64(x); x != 0 && math.Abs(x) < exact && float64(whole) == x {
		return strconv.AppendInt(dst, whole, 10) // most values are, and their digits are known at once
	}
	if size := math.Abs(x); size == 0 || (1e-6 <= size && size < 1e21) {
		return strconv.AppendFloat(dst, x, 'f', -1, 64)
	}
	text, err := json.Marshal(x)
	if err != nil {
		return append(dst, '0') // not reached: check refuses what JSON cannot hold
	}
	return append(dst, text...)
}

// decodeRead takes the short way for the usual body, {"samples":[...]}, and
// leaves any other to encoding/json.
func decodeRead(raw []byte) (Body, error) {
	const open = `{"samples":[`
	if len(raw) < len(open)+2 || string(raw[:len(open)]) != open || string(raw[len(raw)-2:]) != "]}" {
		return decode[Read](raw)
	}
	list := raw[len(open) : len(raw)-2]
	samples := make([]float64, 0, 1+len(list)/8)
	for start := 0; start <= len(list); {
		end := start
		for end < len(list) && list[end] != ',' {
			if c := list[end]; (c < '0' || c > '9') && c != '.' && c != '-' {
				return decode[Read](raw)
			}
			end++
		}
		sample, err := strconv.ParseFloat(string(list[start:end]), 64)
		if err != nil {
			return decode[Read](raw)
		}
		samples = append(samples, sample)
		start = end + 1
	}
	return Read{Samples: samples}, nil
}
