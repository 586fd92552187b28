package app

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"sootline"
	"sootline/internal/listing"
)

// leftFiles are the files into which an intake puts the rows it cannot use. They
// appear under their names just before the intake is settled, so that no row is
// lost whenever the program is killed, and never in the place of a file that is
// there: that one may have been mended and not taken yet.
type leftFiles struct {
	files map[*TableOutcome]*leftFile
	order []*leftFile
}

type leftFile struct {
	outcome *TableOutcome
	part    *os.File
	buffer  *bufio.Writer
	left    *listing.Left
}

func newLeftFiles() *leftFiles { return &leftFiles{files: map[*TableOutcome]*leftFile{}} }

func (l *leftFiles) add(o *TableOutcome, record listing.Record, why string) error {
	f := l.files[o]
	if f == nil {
		part, err := os.CreateTemp(filepath.Dir(o.Table.Path), ".left-*.part")
		if err != nil {
			return leftTrouble(o, err)
		}
		f = &leftFile{outcome: o, part: part, buffer: bufio.NewWriter(part)}
		l.files[o] = f
		l.order = append(l.order, f)
		if f.left, err = listing.NewLeft(f.buffer, o.Table.Understanding); err != nil {
			return leftTrouble(o, err)
		}
	}
	return leftTrouble(o, f.left.Add(record.Cells, why))
}

func leftTrouble(o *TableOutcome, err error) error {
	if err == nil {
		return nil
	}
	return sootline.Errorf(sootline.Unavailable, "make the folder writable and see that it has room, or copy the listing to one that is and has; nothing was taken in",
		"the rows of %s that cannot be used could not be written beside it: %w", o.Table.Path, err)
}

// keep gives the files their names.
func (l *leftFiles) keep() error {
	for _, f := range l.order {
		err := errors.Join(f.left.Close(), f.buffer.Flush(), f.part.Chmod(0o600), f.part.Sync(), f.part.Close())
		if err == nil {
			f.outcome.LeftFile, err = settle(f.part.Name(), leftName(f.outcome))
		}
		if err != nil {
			return leftTrouble(f.outcome, err)
		}
	}
	return nil
}

// leftName is NAME.left, or NAME.SHEET.left where the listing has several sheets.
func leftName(o *TableOutcome) string {
	stem := strings.TrimSuffix(o.Table.Path, filepath.Ext(o.Table.Path))
	if sheet := o.Table.Table.Name; sheet != "" {
		stem += "." + strings.Map(func(c rune) rune {
			if strings.ContainsRune(`/\:*?"<>|`, c) || c < ' ' {
				return '-'
			}
			return c
		}, sheet)
	}
	return strings.TrimSuffix(stem, ".left") + ".left"
}

// settle gives the part its name, with a number where the name is taken.
func settle(part, stem string) (string, error) {
	for n := 1; ; n++ {
		name := stem + ".csv"
		if n > 1 {
			name = fmt.Sprintf("%s-%d.csv", stem, n)
		}
		err := os.Link(part, name) // unlike a rename, never in the place of another file
		if errors.Is(err, os.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		return name, os.Remove(part)
	}
}

// discard removes what an intake that failed has begun or kept.
func (l *leftFiles) discard() error {
	var errs []error
	for _, f := range l.order {
		f.part.Close() //nolint:errcheck // it may be closed already, and it goes
		for _, name := range []string{f.part.Name(), f.outcome.LeftFile} {
			if err := os.Remove(name); !errors.Is(err, os.ErrNotExist) {
				errs = append(errs, err)
			}
		}
	}
	return errors.Join(errs...)
}
