package app

import (
	"cmp"
	"context"
	"io"
	"os"
	"path/filepath"
	"slices"

	"sootline"
	"sootline/internal/store"
)

// witnessFile is what a file kept elsewhere holds of a site's chains.
type witnessFile struct {
	name   string
	heads  []sootline.Head // by station and number
	signed []sootline.SignedHead
}

// readWitness reads an export or a book; the file is not changed.
func readWitness(ctx context.Context, path string, site sootline.ID) (*witnessFile, error) {
	file := &witnessFile{name: filepath.Base(path)}
	isBook, err := file.readExport(ctx, path, site)
	if err == nil && isBook {
		file.heads, err = store.HeadsIn(ctx, path, site)
	}
	if err != nil {
		return nil, err
	}
	if len(file.heads) == 0 {
		return nil, sootline.Errorf(sootline.NotFound, "name a file of this site, or another site", "%s holds no line of this site", path).Do(sootline.Give, "site", "NAME")
	}
	return file, nil
}

// readExport reads the file as an export, unless it is a book.
func (w *witnessFile) readExport(ctx context.Context, path string, site sootline.ID) (isBook bool, err error) {
	f, err := os.Open(path)
	if err != nil {
		return false, sootline.Errorf(sootline.NotFound, "", "read %s: %w", path, err)
	}
	defer f.Close()
	if store.LooksLikeABook(f) {
		return true, nil
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return false, sootline.Errorf(sootline.Unavailable, "", "read %s: %w", path, err)
	}
	x, err := readExport(ctx, f)
	if err != nil || x.site() != site {
		return false, err
	}
	if err := cmp.Or(x.check(), x.unbroken()); err != nil {
		return false, sootline.Errorf(sootline.Damaged, "compare with another file", "%s is not whole itself: %w", path, err)
	}
	for i := range x.lines {
		e := &x.lines[i].Entry
		w.heads = append(w.heads, sootline.Head{Station: e.Station, Seq: e.Seq, Hash: e.Hash})
	}
	w.signed = x.heads
	slices.SortFunc(w.heads, func(a, b sootline.Head) int {
		return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(a.Seq, b.Seq))
	})
	return false, nil
}

// unbroken follows the file's own chains: what is broken witnesses nothing.
func (x *export) unbroken() error {
	lines := slices.Clone(x.lines)
	slices.SortStableFunc(lines, func(a, b store.Line) int {
		return cmp.Or(cmp.Compare(a.Entry.Station, b.Entry.Station), cmp.Compare(a.Entry.Seq, b.Entry.Seq))
	})
	ledger := sootline.Ledger{}
	for i := range lines {
		if fault := ledger.Follow(lines[i].Text, &lines[i].Entry); fault != nil {
			return fault
		}
	}
	return nil
}
