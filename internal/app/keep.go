package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"time"

	"sootline"
	"sootline/internal/keep"
	"sootline/internal/store"
)

// BackupsFile is the file beside a book that tells what came of its backups. It is
// not in the book: a book that is put back must not bring an older account back.
func BackupsFile(book string) string { return book + ".backups" }

// KeepBackup copies the book as it stands to places, encrypted where there are
// recipients. What keeps it from pinning the ends of the chains before does not
// keep it from copying: it is given back as trouble. A place that fails does not
// keep the copy from the others.
func (a *App) KeepBackup(ctx context.Context, keys keep.Keys, places ...keep.Place) (kept keep.Copy, trouble, err error) {
	if err := a.needs(sootline.Manager); err != nil {
		return kept, nil, err
	}
	if err := a.Book.MayCopy(); err != nil {
		return kept, nil, err
	}
	began := a.Now()
	places, missing := a.present(ctx, places, began)
	if len(places) == 0 {
		return kept, nil, missing
	}
	defer func() { err = errors.Join(missing, err) }()
	folder, err := a.aside()
	if err != nil {
		return kept, nil, a.noteFailed(places, began, err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	trouble = a.pinEnds(ctx)
	began = a.Now()
	mark, err := a.Book.Mark(ctx) // before the copy, which holds all that is under it
	file := filepath.Join(folder, "copy.db")
	if err == nil {
		err = a.Book.Backup(ctx, file)
	}
	if err != nil {
		return kept, trouble, a.noteFailed(places, began, err)
	}
	for _, place := range places {
		one, failed := keep.Put(ctx, place, file, began, keys.To)
		if failed == nil {
			kept = one
			err = errors.Join(err, a.noteKept(place, one, mark))
			continue
		}
		err = errors.Join(err, a.noteFailed([]keep.Place{place}, began, failed))
	}
	return kept, trouble, err
}

// aside makes a folder beside the book, where there is as much room as it needs.
func (a *App) aside() (string, error) {
	if a.Book == nil { // a drill on a machine without one
		return os.MkdirTemp("", "sootline"+asideMark+"*")
	}
	return Aside(a.Book.Path())
}

const asideMark = ".keeping-"

// Aside makes a folder beside a book that need not be there yet; what a killed
// program left of others goes.
func Aside(book string) (string, error) {
	left, err := filepath.Glob(globbed(book) + asideMark + "*")
	if err != nil {
		return "", err
	}
	for _, folder := range left {
		if info, err := os.Stat(folder); err == nil && info.IsDir() && time.Since(info.ModTime()) > 24*time.Hour {
			if err := os.RemoveAll(folder); err != nil {
				return "", err
			}
		}
	}
	if err := os.MkdirAll(filepath.Dir(book), 0o700); err != nil {
		return "", noAside(book, err)
	}
	folder, err := os.MkdirTemp(filepath.Dir(book), filepath.Base(book)+asideMark+"*") // mode 0700
	if err != nil {
		return "", noAside(book, err)
	}
	return folder, nil
}

func noAside(book string, err error) error {
	return sootline.Errorf(sootline.Unavailable, "the book's folder must be writable and have room", "no folder could be made beside book %s: %w", book, err)
}

// globbed gives a path as a pattern that means itself.
func globbed(path string) string {
	var pattern []rune
	for _, c := range path {
		switch c {
		case '*', '?', '[', '\\':
			pattern = append(pattern, '\\')
		}
		pattern = append(pattern, c)
	}
	return string(pattern)
}

// fingerprint tells marks apart.
func fingerprint(mark store.Mark) string {
	text, err := json.Marshal(mark)
	if err != nil {
		panic(err) // it is made of texts and numbers
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

func (a *App) noteKept(place keep.Place, kept keep.Copy, mark store.Mark) error {
	text, err := json.Marshal(mark)
	if err != nil {
		return err
	}
	return keep.Change(BackupsFile(a.Book.Path()), func(s *keep.State) {
		p := s.Places[place.String()]
		p.Last, p.Holds, p.Seen, p.Tried, p.Failed = &kept, fingerprint(mark), kept.At, kept.At, ""
		s.Places[place.String()] = p
		s.Marks[kept.Name()] = text
	})
}

// noteFailed notes why places got nothing, and gives that back.
func (a *App) noteFailed(places []keep.Place, at time.Time, why error) error {
	noted := keep.Change(BackupsFile(a.Book.Path()), func(s *keep.State) {
		for _, place := range places {
			p := s.Places[place.String()]
			p.Tried, p.Failed = at, sentenceOf(why)
			s.Places[place.String()] = p
		}
	})
	return errors.Join(why, noted)
}

// sentenceOf is what is kept of an error: its first sentence, and the way out.
func sentenceOf(err error) string {
	fault, ok := errors.AsType[*sootline.Error](err)
	if !ok {
		return err.Error()
	}
	if hint := fault.Ways.String(); hint != "" {
		return fault.Message + " (" + hint + ")"
	}
	return fault.Message
}
