package main

import (
	"bufio"
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"os/user"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"golang.org/x/term"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// session is one run of the program: its streams, and what the common flags say.
type session struct {
	in       io.Reader
	out, err io.Writer

	bookPath, siteName, by string
	progress               progress
	answers                *bufio.Reader
	noPager                bool
}

// open opens the book and hands it to the command.
func (s *session) open(ctx context.Context, create bool, do func(*app.App) error) (err error) {
	path, err := s.book()
	if err != nil {
		return err
	}
	who, err := s.who()
	if err != nil {
		return err
	}
	book, err := store.Open(ctx, path, create, s.indexing(path))
	s.progress.clear()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	return do(&app.App{
		Book: book, Heard: heardBeside(book), Logs: app.NewLogs(app.MostLogs), Who: sootline.Actor{Name: who, Role: sootline.Manager, Station: station(), From: app.AtMachine}, Now: now, Random: random, Working: s.working(),
	})
}

// openSite opens the book and finds the site that --site names.
func (s *session) openSite(ctx context.Context, do func(*app.App, store.SiteLine) error) error {
	return s.open(ctx, false, func(a *app.App) error {
		site, err := a.Site(ctx, s.siteName)
		if s.siteName != "" && sootline.ErrorCode(err) == sootline.NotFound {
			return usageError{err} // a slip in the command line, as a command that there is not
		}
		if err != nil {
			return err
		}
		return do(a, site)
	})
}

// book finds the book's file: --book, then $SOOTLINE_BOOK, then the data folder.
func (s *session) book() (string, error) {
	if s.bookPath != "" {
		return s.bookPath, nil
	}
	if path := os.Getenv("SOOTLINE_BOOK"); path != "" {
		return path, nil
	}
	folder, err := dataFolder()
	if err != nil {
		return "", sootline.Errorf(sootline.Unavailable, "name the book with --book FILE", "no place for the book: %w", err)
	}
	return filepath.Join(folder, "book.db"), nil
}

// besideBook gives how the files begin that lie beside a book: of one in a database they lie
// in this user's data folder, and are this machine's.
func besideBook(a *app.App) (string, error) {
	if file := a.Book.File(); file != "" {
		return file, nil
	}
	folder, err := dataFolder()
	if err == nil {
		err = os.MkdirAll(folder, 0o700)
	}
	if err != nil {
		return "", sootline.Errorf(sootline.Unavailable, "say in XDG_DATA_HOME where there is room", "no place for what the server keeps on this machine: %w", err)
	}
	return filepath.Join(folder, "server"), nil
}

// heardBeside is the folder in which what is heard of a book's sites is kept on this machine; empty: there is no place.
func heardBeside(book *store.Store) string {
	if file := book.File(); file != "" {
		return file + ".heard"
	}
	folder, err := dataFolder()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "server.heard")
}

// dataFolder is where a user's data lies: on Linux as the XDG base directory
// specification says, elsewhere where the system keeps an application's own.
func dataFolder() (string, error) {
	if data := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(data) {
		return filepath.Join(data, "sootline"), nil
	}
	if runtime.GOOS != "linux" {
		folder, err := os.UserConfigDir()
		return filepath.Join(folder, "sootline"), err
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share", "sootline"), err
}

// station names this computer's place in log books. It is made once and kept in
// the user's folder, not in the book: a copied book must not make two computers
// write as one. Where it cannot be kept, every run is a station of its own.
func station() string {
	fresh := "s-" + strings.ToLower(rand.Text()[:10])
	folder, err := dataFolder()
	if err != nil {
		return fresh
	}
	path := filepath.Join(folder, "station")
	if name := stationIn(path); name != "" {
		return name
	}
	if os.MkdirAll(folder, 0o700) != nil || keepStation(path, fresh) != nil {
		return fresh
	}
	return cmp.Or(stationIn(path), fresh) // another run may have been first
}

func stationIn(path string) string {
	name, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	text, err := sootline.ProperName("station", strings.TrimSpace(string(name)), 80)
	if err != nil {
		return "" // as where there is none
	}
	return text
}

// keepStation writes the name beside its place and moves it there whole, unless
// another run was first. A file that holds no name is what a full disk left.
func keepStation(path, name string) error {
	part, err := os.CreateTemp(filepath.Dir(path), ".station-*.part")
	if err != nil {
		return err
	}
	defer os.Remove(part.Name())
	_, err = fmt.Fprintln(part, name)
	if err := errors.Join(err, part.Chmod(0o600), part.Sync(), part.Close()); err != nil {
		return err
	}
	if info, err := os.Stat(path); err == nil && info.Size() == 0 {
		return os.Rename(part.Name(), path)
	}
	if err := os.Link(part.Name(), path); !errors.Is(err, os.ErrExist) {
		return err
	}
	return nil
}

// who is at work: --by, then $SOOTLINE_BY, then the login name.
func (s *session) who() (string, error) {
	by := cmp.Or(s.by, os.Getenv("SOOTLINE_BY"))
	if by != "" {
		return sootline.PersonName(by)
	}
	u, err := user.Current()
	if err != nil {
		return "", nil //nolint:nilerr // a machine need not know its users; nobody is named then
	}
	return sootline.Shown(u.Username), nil
}

// now is the clock. Tests of whole sessions fix it, so that what they print can
// be compared.
func now() time.Time {
	if fixed, err := time.Parse(time.RFC3339, os.Getenv("SOOTLINE_NOW")); err == nil {
		return fixed
	}
	return time.Now()
}

func random() (r [10]byte) {
	rand.Read(r[:]) // never fails (crypto/rand)
	return r
}

// terminal reports whether a stream is a terminal.
func terminal(stream any) bool {
	if s, ok := stream.(*screen); ok {
		stream = s.w
	}
	f, ok := stream.(interface{ Fd() uintptr })
	return ok && term.IsTerminal(int(f.Fd()))
}

// day reads a date flag as the end of that day on the site's clock, so that what
// happened on it counts; empty means now.
func day(flag string, zone *time.Location) (time.Time, error) {
	if flag == "" {
		return now(), nil
	}
	return sootline.ParseDayEnds(flag, zone)
}
