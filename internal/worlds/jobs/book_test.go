package jobs_test

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"

	"sootline/internal/worlds/jobs"
)

// book is a book in a folder of its own, with the program that keeps it.
type book struct {
	program, folder string

	server *exec.Cmd
	file   string // where the book lies in its folder
}

func (b *book) path() string { return filepath.Join(b.folder, b.file) }

// environ keeps the book and the folders of the person apart from those of whoever runs the jobs.
func (b *book) environ() []string {
	return append(os.Environ(), "HOME="+b.folder, "XDG_DATA_HOME="+b.folder, "XDG_CONFIG_HOME="+b.folder, "SOOTLINE_BOOK="+b.path(), "SOOTLINE_BY=A. Tech")
}

// run runs the program on the book, as the way round a gap in the pages.
func (b *book) run(args ...string) error {
	cmd := exec.Command(b.program, args...)
	cmd.Dir, cmd.Env = b.folder, b.environ()
	out, err := cmd.CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w: %s", strings.Join(args, " "), err, out)
	}
	return nil
}

// The ways round, by the command line: they bring the book to where a part of a job would have.

func (b *book) AddSite() error { return b.run("site", "add", jobs.SiteName) }

func (b *book) ChooseRules() error {
	return b.run("visit", "rules", "--use", "plain", "--site", jobs.SiteName)
}

func (b *book) TakeIn(files []string) error {
	return b.run(append(append([]string{"take"}, files...), "--yes", "--site", jobs.SiteName)...)
}

func (b *book) OpenVisit() error {
	return b.run("visit", "open", "--minutes", "240", "--confirm", "responsible,monitoring,outputs,disabled", "--site", jobs.SiteName)
}

var address = regexp.MustCompile(`http://\S+`)

// serve starts the program's pages on a free port of this machine and gives their address.
func (b *book) serve() (string, error) {
	b.server = exec.Command(b.program, "serve", "--listen", "127.0.0.1:0")
	b.server.Dir, b.server.Env = b.folder, b.environ()
	var complaints bytes.Buffer
	b.server.Stderr = &complaints
	out, err := b.server.StdoutPipe()
	if err != nil {
		return "", err
	}
	if err := b.server.Start(); err != nil {
		return "", err
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if at := address.FindString(lines.Text()); at != "" {
			go func() {
				for lines.Scan() { // what it says later is let go, so that it never waits for a reader
				}
			}()
			return at, nil
		}
	}
	return "", errors.Join(fmt.Errorf("the pages did not start: %s", complaints.String()), b.stop())
}

// stop stops the pages.
func (b *book) stop() error {
	if b.server == nil || b.server.Process == nil {
		return nil
	}
	if err := b.server.Process.Signal(os.Interrupt); err != nil {
		return err
	}
	return b.server.Wait()
}

// copy makes a book of its own from a finished one, which must not be open.
func (b *book) copy(folder string) (*book, error) {
	if err := os.CopyFS(folder, os.DirFS(b.folder)); err != nil {
		return nil, err
	}
	return &book{program: b.program, folder: folder, file: b.file}, nil
}
