package sootline

import (
	"bytes"
	"encoding/json"
	"fmt"
	"time"
	"unicode/utf8"
)

// The one spelling of times, texts and bodies in a log book.

const timeLayout = "2006-01-02T15:04:05.000Z"

func appendTime(dst []byte, t time.Time) []byte {
	return t.UTC().AppendFormat(dst, timeLayout)
}

// parseTime reads what appendTime writes. time.Parse would do, at ten times the
// cost, and a log book has two of them a line.
func parseTime(s []byte) (time.Time, error) {
	if len(s) != len(timeLayout) {
		return time.Time{}, fmt.Errorf("instant %q: expected the form %s", s, timeLayout)
	}
	part := func(from, to int) (n int) {
		for _, c := range s[from:to] {
			if c < '0' || c > '9' {
				return -100_000_000
			}
			n = n*10 + int(c-'0')
		}
		return n
	}
	year, month, day := part(0, 4), part(5, 7), part(8, 10)
	t := time.Date(year, time.Month(month), day, part(11, 13), part(14, 16), part(17, 19), part(20, 23)*1e6, time.UTC)
	// Whatever was out of range or out of place comes out written otherwise.
	var again [len(timeLayout)]byte
	if !bytes.Equal(appendTime(again[:0], t), s) {
		return time.Time{}, fmt.Errorf("instant %q: expected the form %s", s, timeLayout)
	}
	return t, nil
}

// plain reports whether text stands in JSON as it is.
func plain[T string | []byte](s T) bool {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c > '~' || c == '"' || c == '\\' {
			return false
		}
	}
	return true
}

// appendString writes text in quotes; text that is not UTF-8 is made so.
func appendString(dst []byte, s string) []byte {
	if plain(s) {
		dst = append(dst, '"')
		dst = append(dst, s...)
		return append(dst, '"')
	}
	text, err := marshal(string(bytes.ToValidUTF8([]byte(s), []byte(string(utf8.RuneError)))))
	if err != nil {
		return append(dst, `""`...) // not reached: every valid text has a JSON form
	}
	return append(dst, text...)
}

// bodyJSON is the one spelling of a body.
func bodyJSON(body Body) ([]byte, error) {
	if read, ok := body.(Read); ok {
		return read.MarshalJSON()
	}
	return marshal(body)
}

// marshal is json.Marshal that leaves <, > and & as they are.
func marshal(v any) ([]byte, error) {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(buf.Bytes(), []byte("\n")), nil
}
