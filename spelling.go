package sootline

import (
	"bytes"
	"encoding/json"
	"fmt"
	"time"
	"unicode/utf8"
)

// The one spelling of times, texts and bodies in a log book.

// timeLayout is the form of an instant, as the time package writes it.
const timeLayout = "2006-01-02T15:04:05.000Z"

// appendTime and parseTime do what the time package does for timeLayout, at a
// quarter of the cost: a log book has two times a line.
func appendTime(dst []byte, t time.Time) []byte {
	t = t.UTC()
	year, month, day := t.Date()
	hour, minute, second := t.Clock()
	ms := t.Nanosecond() / 1e6
	dst = append(appendTwo(appendTwo(dst, year/100), year%100), '-')
	dst = append(appendTwo(dst, int(month)), '-')
	dst = append(appendTwo(dst, day), 'T')
	dst = append(appendTwo(dst, hour), ':')
	dst = append(appendTwo(dst, minute), ':')
	dst = append(appendTwo(dst, second), '.')
	return append(appendTwo(dst, ms/10), byte('0'+ms%10), 'Z')
}

func appendTwo(dst []byte, n int) []byte { return append(dst, byte('0'+n/10), byte('0'+n%10)) }

func parseTime(s []byte) (time.Time, error) {
	const marks = "0000-00-00T00:00:00.000Z"
	if len(s) != len(marks) {
		return time.Time{}, fmt.Errorf("instant %q: expected the form %s", s, timeLayout)
	}
	for i := range len(marks) {
		digit := marks[i] == '0'
		if digit && (s[i] < '0' || s[i] > '9') || !digit && s[i] != marks[i] {
			return time.Time{}, fmt.Errorf("instant %q: expected the form %s", s, timeLayout)
		}
	}
	year, month, day := number(s[0:4]), number(s[5:7]), number(s[8:10])
	hour, minute, second := number(s[11:13]), number(s[14:16]), number(s[17:19])
	t := time.Date(year, time.Month(month), day, hour, minute, second, number(s[20:23])*1e6, time.UTC)
	// time.Date carries what is out of range into the next field.
	if t.Day() != day || int(t.Month()) != month || hour > 23 || minute > 59 || second > 59 {
		return time.Time{}, fmt.Errorf("instant %q: there is no such day or hour", s)
	}
	return t, nil
}

// number reads digits, which are known to be digits.
func number(digits []byte) (n int) {
	for _, c := range digits {
		n = n*10 + int(c-'0')
	}
	return n
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

// appendBody writes the one spelling of a body.
func appendBody(dst []byte, body Body) ([]byte, error) {
	if read, ok := body.(Read); ok {
		return read.append(dst), nil
	}
	text, err := marshal(body)
	return append(dst, madeSound(text)...), err
}

// madeSound writes the mark that stands for what was no UTF-8 as a letter: so it reads
// back, and encoding/json, which escapes it, would spell it otherwise the second time.
func madeSound(text []byte) []byte {
	const mark = `\ufffd`
	if !bytes.Contains(text, []byte(mark)) {
		return text
	}
	sound := make([]byte, 0, len(text))
	for i := 0; i < len(text); i++ {
		switch {
		case bytes.HasPrefix(text[i:], []byte(mark)):
			sound = utf8.AppendRune(sound, utf8.RuneError)
			i += len(mark) - 1
		case text[i] == '\\' && i+1 < len(text):
			sound = append(sound, text[i], text[i+1])
			i++
		default:
			sound = append(sound, text[i])
		}
	}
	return sound
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
