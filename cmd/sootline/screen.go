package main

import (
	"io"
	"unicode/utf8"

	"sootline"
)

// screen is a terminal as commands write to it: what stored text would have it do,
// other than show the text, is shown as its code. Files and pipes get every byte as
// it is.
type screen struct {
	w    io.Writer
	rest []byte // the beginning of a character that the next write ends
}

// onScreen guards a stream where it is a terminal.
func onScreen(w io.Writer) io.Writer {
	if terminal(w) {
		return &screen{w: w}
	}
	return w
}

func (s *screen) Write(text []byte) (int, error) {
	all := append(s.rest, text...)
	end := len(all)
	for back := 1; back < utf8.UTFMax && back <= len(all); back++ {
		if at := len(all) - back; utf8.RuneStart(all[at]) {
			if !utf8.FullRune(all[at:]) {
				end = at
			}
			break
		}
	}
	s.rest = append([]byte(nil), all[end:]...)
	if _, err := io.WriteString(s.w, sootline.Shown(string(all[:end]))); err != nil {
		return 0, err
	}
	return len(text), nil
}

// behind gives the stream that a screen guards, for what the program itself has a
// terminal do.
func behind(w io.Writer) io.Writer {
	if s, ok := w.(*screen); ok {
		return s.w
	}
	return w
}
