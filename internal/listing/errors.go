package listing

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// RowError says why one row could not be taken. The rows after it still arrive.
type RowError struct {
	File, Table string // the file's name; the sheet's name, empty for a text file
	Line        int    // the row in a sheet, the line in a text file, from 1; 0 when the whole table is meant
	Column      string // the heading, or "column 3"; empty when the whole row is meant
	Expected    string // what should stand there: "a date as day/month/year"
	Found       string // what stands there, shortened
	Hint        string // the way out
}

// Error gives one sentence: where, what was expected, what was found, what to do.
func (e *RowError) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Table != "" {
		fmt.Fprintf(&b, ", sheet %q", e.Table)
	}
	if e.Line > 0 {
		fmt.Fprintf(&b, ", row %d", e.Line)
	}
	if e.Column != "" {
		fmt.Fprintf(&b, ", column %q", e.Column)
	}
	b.WriteString(": " + e.Trouble())
	return b.String()
}

// Trouble gives the sentence without the place, as written into the last column of a left file.
func (e *RowError) Trouble() string {
	s := "expected " + e.Expected + ", found " + e.Found
	if e.Hint != "" {
		s += "; " + e.Hint
	}
	return s
}

// FileError says why a whole file or sheet could not be taken.
type FileError struct {
	File    string
	Trouble string // what is wrong, without the file's name
	Hint    string // the way out
	Err     error  // the cause, or nil
}

// Error gives one sentence.
func (e *FileError) Error() string {
	s := e.File + ": " + e.Trouble
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	if e.Hint != "" {
		s += "; " + e.Hint
	}
	return s
}

// Unwrap gives the cause.
func (e *FileError) Unwrap() error { return e.Err }

// quoteShort shows a cell in an error without letting a huge one through.
func quoteShort(s string) string {
	const most = 60
	s = strings.TrimSpace(s)
	if s == "" {
		return "nothing"
	}
	if utf8.RuneCountInString(s) > most {
		s = string([]rune(s[:min(len(s), 4*most)])[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
