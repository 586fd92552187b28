package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"sootline"
)

// pager stands before a terminal: what fits the screen goes there at the end, and what is longer goes to
// another program that shows it page by page.
type pager struct {
	tty     *os.File
	rows    int      // of the screen, without the line of the prompt
	command []string // of the other program
	held    bytes.Buffer
	lines   int
	page    io.WriteCloser // nil until there are too many lines
	done    *exec.Cmd
	left    bool // whoever reads has seen enough
}

// paged runs a command that shows something so that long output is read page by page, where it goes to a terminal.
func (s *session) paged(run func(*cobra.Command, []string) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		shown, ok := s.out.(*screen)
		if !ok {
			return run(cmd, args)
		}
		p := s.pagerFor(shown.w)
		if p == nil {
			return run(cmd, args)
		}
		tty := shown.w
		shown.w = p
		err := errors.Join(run(cmd, args), shown.end())
		shown.w = tty
		return errors.Join(err, p.end())
	}
}

// pagerFor gives the pager of a stream, or nil where there is to be none.
func (s *session) pagerFor(w io.Writer) *pager {
	tty, ok := w.(*os.File)
	if !ok || s.noPager || !terminal(tty) {
		return nil
	}
	_, rows, err := term.GetSize(int(tty.Fd()))
	if command := pagerCommand(); err == nil && rows > 1 && len(command) > 0 {
		return &pager{tty: tty, rows: rows - 1, command: command}
	}
	return nil
}

// pagerCommand is what PAGER says, else less or more where they are; nothing where PAGER is empty or cat, or is
// not there.
func pagerCommand() []string {
	choices := []string{"less", "more"}
	if said, ok := os.LookupEnv("PAGER"); ok {
		choices = []string{said}
	} else if runtime.GOOS == "windows" {
		return nil // its own does not show UTF-8
	}
	for _, choice := range choices {
		words := strings.Fields(choice)
		if len(words) == 0 || words[0] == "cat" {
			continue
		}
		if _, err := exec.LookPath(words[0]); err == nil {
			return words
		}
	}
	return nil
}

// Write holds lines back until they are more than fit the screen.
func (p *pager) Write(text []byte) (int, error) {
	if p.left {
		return len(text), nil
	}
	more := text
	if p.page == nil {
		p.held.Write(text)
		p.lines += bytes.Count(text, []byte("\n"))
		if p.lines <= p.rows {
			return len(text), nil
		}
		if err := p.begin(); err != nil {
			return 0, err
		}
		more = p.held.Bytes()
	}
	if _, err := p.page.Write(more); err != nil && !brokenPipe(err) {
		return 0, err
	} else if err != nil {
		p.left = true
	}
	return len(text), nil
}

// begin starts the other program.
func (p *pager) begin() (err error) {
	p.done = exec.Command(p.command[0], p.command[1:]...)
	p.done.Stdout, p.done.Stderr = p.tty, os.Stderr
	p.done.Env = append([]string{"LESS=" + cmp.Or(os.Getenv("LESS"), "FRX"), "LESSCHARSET=" + cmp.Or(os.Getenv("LESSCHARSET"), "utf-8")}, os.Environ()...)
	if p.page, err = p.done.StdinPipe(); err == nil {
		err = p.done.Start()
	}
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "choose another program in PAGER, or go without by --no-pager", "cannot show page by page with %s: %w", p.command[0], err)
	}
	return nil
}

// end shows what fits the screen, or waits until the rest was read.
func (p *pager) end() error {
	if p.page == nil {
		_, err := p.tty.Write(p.held.Bytes())
		return err
	}
	if err := p.page.Close(); err != nil && !brokenPipe(err) {
		return err
	}
	if err := p.done.Wait(); err != nil {
		return fmt.Errorf("%s: %w", p.command[0], err)
	}
	return nil
}

func brokenPipe(err error) bool { return errors.Is(err, syscall.EPIPE) || errors.Is(err, os.ErrClosed) }

// Fd is the terminal's: what goes to a pager is drawn as for the terminal that it is shown on.
func (p *pager) Fd() uintptr { return p.tty.Fd() }

// Read reads nothing: it and Close make the pager a terminal to those that look for one.
func (p *pager) Read([]byte) (int, error) { return 0, io.EOF }

// Close closes nothing: the terminal stays.
func (p *pager) Close() error { return nil }
