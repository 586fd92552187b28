package main

import (
	"bytes"
	"io"
	"sync"
	"unicode/utf8"

	"sootline"
)

// screen is a stream as commands write to it: what stored text would have a terminal
// do, other than show the text, is shown as its code, and so is what is no text in
// UTF-8. It stands before every stream, since what a file or a pipe gets is shown
// some day: as another program's output, or by whoever looks at a log.
type screen struct {
	w    io.Writer
	mu   sync.Mutex // requests are logged by several at once
	rest []byte     // the beginning of a character that the next write ends
}

// onScreen guards a stream.
func onScreen(w io.Writer) *screen { return &screen{w: w} }

func (s *screen) Write(text []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
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
	s.rest = bytes.Clone(all[end:])
	if _, err := io.WriteString(s.w, sootline.Shown(string(all[:end]))); err != nil {
		return 0, err
	}
	return len(text), nil
}

// end shows the beginning of a character that nothing ended.
func (s *screen) end() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.rest) == 0 {
		return nil
	}
	_, err := io.WriteString(s.w, sootline.Shown(string(s.rest)))
	s.rest = nil
	return err
}

// behind gives the stream that a screen guards, for what the program itself has a
// terminal do.
func behind(w io.Writer) io.Writer {
	if s, ok := w.(*screen); ok {
		return s.w
	}
	return w
}

// exact gives a stream for what programs read: every byte goes out as it is, but to a
// terminal, where nobody reads it but people.
func exact(w io.Writer) io.Writer {
	if terminal(w) {
		return w
	}
	return behind(w)
}
