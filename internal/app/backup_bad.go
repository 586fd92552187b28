package app

import (
	"context"
	"path/filepath"
	"strings"

	"sootline"
	"sootline/internal/keep"
)

// BadBackup says of which backup of a place it is said that it is damaged or no book,
// without the folder that it was fetched to and that is gone by then, and names an
// earlier one. What is no fault of the backup, as a full disk, stays as it is.
func BadBackup(ctx context.Context, place keep.Place, kept keep.Copy, folder string, err error) error {
	if code := sootline.ErrorCode(err); code != sootline.Damaged && code != sootline.Invalid {
		return err
	}
	bad := sootline.Errorf(sootline.Damaged, "", "backup %s in %s is no good: %w", kept.Name(), place, inFolder{err, folder})
	bad.Ways = keep.Instead(ctx, place, kept).Or("look at the place where this one lay")
	return bad
}

// badOrBook is BadBackup where the open book may have the same fault: then the place is
// not to blame, and an earlier backup may be as bad.
func (a *App) badOrBook(ctx context.Context, place keep.Place, kept keep.Copy, folder string, err error) error {
	if a.Book == nil || sootline.ErrorCode(err) != sootline.Damaged {
		return BadBackup(ctx, place, kept, folder, err)
	}
	here := a.examine(ctx, &Drilled{})
	if sootline.ErrorCode(here) != sootline.Damaged {
		return BadBackup(ctx, place, kept, folder, err)
	}
	there, open := bookless(err, filepath.Join(folder, "book.db")), bookless(here, a.Book.Path())
	if there == open {
		return sootline.Errorf(sootline.Damaged, "mend the open book, or take a backup from before it was damaged; the place is not to blame",
			"backup %s in %s has the same fault as the open book, of which it is a copy: %s", kept.Name(), place, there)
	}
	bad := sootline.Errorf(sootline.Damaged, "", "backup %s in %s is no good: %s; the open book is damaged too, so that the place need not be to blame: %s", kept.Name(), place, there, open)
	bad.Ways = keep.Instead(ctx, place, kept).Or("check the open book")
	return bad
}

// bookless is what an error says of a book, without its path.
func bookless(err error, path string) string {
	return strings.NewReplacer("copy of "+path+".restored: ", "", path+".restored", "file", path, "file").Replace(err.Error())
}

// inFolder is an error told without the path of a folder.
type inFolder struct {
	error
	folder string
}

func (e inFolder) Error() string {
	return strings.ReplaceAll(e.error.Error(), e.folder+string(filepath.Separator), "")
}

func (e inFolder) Unwrap() error { return e.error }
