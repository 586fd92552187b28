package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// progress is a line on the terminal that tells how far long work has come. It
// appears after half a second, so that short work stays silent, and leaves
// nothing behind.
type progress struct {
	w     io.Writer
	began time.Time
	last  time.Time
	width int
}

// working gives the function that shows progress, or nil where nobody watches.
func (s *session) working() func(app.Progress) {
	if !terminal(s.err) {
		return nil
	}
	s.progress = progress{w: behind(s.err), began: time.Now()}
	return s.progress.show
}

// indexing gives the function that shows how far indexing a book has come, or nil
// where nobody watches.
func (s *session) indexing(path string) store.Working {
	show := s.working()
	if show == nil {
		return nil
	}
	return func(done, total int) {
		show(app.Progress{What: "indexing " + filepath.Base(path), Done: done, Total: total})
	}
}

func (p *progress) show(at app.Progress) {
	const patience, pace = 500 * time.Millisecond, 100 * time.Millisecond
	if time.Since(p.began) < patience || time.Since(p.last) < pace {
		return
	}
	p.last = time.Now()
	text := at.What
	if at.Total > 0 {
		text += fmt.Sprintf("  %d of %d, %d %%", at.Done, at.Total, 100*at.Done/at.Total)
	}
	text = sootline.Shown(text)
	fmt.Fprintf(p.w, "\r%-*s", p.width, text)
	p.width = max(p.width, len(text))
}

func (p *progress) clear() {
	if p.width > 0 {
		fmt.Fprintf(p.w, "\r%s\r", strings.Repeat(" ", p.width))
		p.width = 0
	}
}
