package main

import (
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"golang.org/x/term"
)

// width is how wide output for people is at most: wider lines are read badly.
const width = 100

// leastColumns is the narrowest that output is made.
const leastColumns = 40

// wrap breaks text into lines that fit the terminal that is written to, the later ones indented.
func (s *session) wrap(text string, indent int) string { return wrapTo(text, indent, s.columns()) }

// wrap is the method for where no session is at hand: for the program's own terminal.
func wrap(text string, indent int) string { return wrapTo(text, indent, columnsOf(os.Stdout)) }

// say prints a line of words, broken where it is wider than the terminal; what goes on is indented.
func (s *session) say(indent int, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	lead := len(text) - len(strings.TrimLeft(text, " "))
	fmt.Fprintf(s.out, "%s%s\n", text[:lead], wrapFrom(text[lead:], lead, indent, s.columns()))
}

// typed is a command to be typed or copied, of parts that stay whole: where it is wider than the terminal it goes on in
// the next line, as a shell reads it.
func (s *session) typed(column int, parts []string) string {
	var b strings.Builder
	for i, part := range parts {
		size := len([]rune(part))
		switch {
		case i == 0:
		case column+1+size+len(` \`) > s.columns():
			b.WriteString(" \\\n    ")
			column = 4
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(part)
		column += size
	}
	return b.String()
}

// columns is how wide output may be.
func (s *session) columns() int { return columnsOf(s.out) }

// columnsOf is how wide output to a stream may be: as COLUMNS says, else as wide as the terminal, and no wider
// than is read well.
func columnsOf(w io.Writer) int {
	wide, err := strconv.Atoi(os.Getenv("COLUMNS"))
	if f, ok := behind(w).(interface{ Fd() uintptr }); err != nil && ok {
		wide, _, err = term.GetSize(int(f.Fd()))
	}
	if err != nil || wide <= 0 {
		return width
	}
	return min(width, max(leastColumns, wide))
}

// wrapTo is wrap for another width.
func wrapTo(text string, indent, width int) string { return wrapFrom(text, indent, indent, width) }

// wrapFrom is wrapTo where the first line begins in another column than the later ones.
func wrapFrom(text string, column, indent, width int) string {
	var b strings.Builder
	for i, word := range strings.Fields(text) {
		size := len([]rune(word))
		switch {
		case i == 0:
		case column+1+size > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			column = indent
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += size
	}
	return b.String()
}
