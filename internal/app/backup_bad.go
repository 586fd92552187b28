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

// inFolder is an error told without the path of a folder.
type inFolder struct {
	error
	folder string
}

func (e inFolder) Error() string {
	return strings.ReplaceAll(e.error.Error(), e.folder+string(filepath.Separator), "")
}

func (e inFolder) Unwrap() error { return e.error }
