package app

import (
	"context"
	"errors"
	"io"
	"os"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/listing"
	"sootline/internal/store"
)

// Leavers are people of a list who are to sign in no more.
type Leavers struct {
	Going   []store.Person // who may sign in
	Asked   []string       // who is asked in, and has not come yet
	Unknown []string       // whom the book does not know
	look    bool           // a look alone: all of it is undone
}

// errLooked undoes what was done for a look.
var errLooked = errors.New("a look alone")

// LookAtLeavers tells what [App.Leave] would do, and does nothing. What would be refused is refused.
func (a *App) LookAtLeavers(ctx context.Context, names []string) (Leavers, error) {
	l := Leavers{look: true}
	err := a.leave(ctx, names, &l)
	if errors.Is(err, errLooked) {
		err = nil
	}
	return l, err
}

// Leave takes everybody of a list out of those who may sign in, all of them or none, and ends all that was given out to
// them; who is asked in is asked in no more. A name that the book does not know refuses the list, unless only the known ones
// are wanted: it may be misspelled, and who is meant would stay.
func (a *App) Leave(ctx context.Context, names []string, onlyKnown bool) (Leavers, error) {
	looked, err := a.LookAtLeavers(ctx, names)
	if err != nil {
		return looked, err
	}
	if len(looked.Unknown) > 0 && !onlyKnown {
		return looked, sootline.Errorf(sootline.NotFound, "mend these names, or take off the known ones alone",
			"nobody was taken off: the book knows nobody named %q", strings.Join(looked.Unknown, `", "`))
	}
	var l Leavers
	err = a.leave(ctx, names, &l)
	return l, err
}

func (a *App) leave(ctx context.Context, names []string, l *Leavers) error {
	if err := a.Who.MayKeepBook(); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		l.Going, l.Asked, l.Unknown = nil, nil, nil // a transaction may be tried again
		invited, err := tx.Invitations()
		if err != nil {
			return err
		}
		for _, name := range eachOnce(names) {
			if err := a.leaver(tx, name, invited, l); err != nil {
				return err
			}
		}
		if l.look {
			return errLooked
		}
		return nil
	})
}

// leaver takes off one name of a list.
func (a *App) leaver(tx *store.Tx, name string, invited []store.Invitation, l *Leavers) error {
	p, err := tx.Person(name)
	if err != nil {
		return err
	}
	known := p != nil
	if known {
		l.Going = append(l.Going, *p)
		if err := a.takeOff(tx, *p); err != nil {
			return err
		}
	}
	for _, in := range invited {
		if !store.SameName(in.Name, name) {
			continue
		}
		known = true
		l.Asked = append(l.Asked, in.Name)
		if _, err := tx.DropInvitation(in.Key); err != nil {
			return err
		}
		if err := a.journal(tx, InvitationDropped, in.Name, ""); err != nil {
			return err
		}
	}
	if !known {
		l.Unknown = append(l.Unknown, name)
	}
	return nil
}

func eachOnce(names []string) (once []string) {
	for _, name := range names {
		if !slices.ContainsFunc(once, func(other string) bool { return store.SameName(other, name) }) {
			once = append(once, name)
		}
	}
	return once
}

// LeaverList reads a list of names from a file.
func (a *App) LeaverList(ctx context.Context, path string) ([]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, sootline.Errorf(sootline.NotFound, "name the file with the names", "open list: %w", err)
	}
	defer f.Close() //nolint:errcheck // it was only read
	info, err := f.Stat()
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "", "open list: %w", err)
	}
	return ReadLeavers(ctx, path, f, info.Size())
}

const leaverListHint = "give a table with a column name, or a name a line"

// ReadLeavers reads names: of a table the column called name, else one a line. A line that cannot be read refuses the list.
func ReadLeavers(ctx context.Context, file string, src io.ReaderAt, size int64) (names []string, err error) {
	list, err := listing.Open(file, src, size, listing.Limits{})
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, leaverListHint, "%w", err)
	}
	column := -1
	for _, table := range list.Tables()[:min(1, len(list.Tables()))] {
		for row, err := range table.Rows() {
			if gone := ctx.Err(); gone != nil {
				return nil, gone
			}
			if err != nil {
				return nil, sootline.Errorf(sootline.Invalid, "mend that line: nobody was taken off", "%w", err)
			}
			if column < 0 {
				at := slices.IndexFunc(row.Cells, func(cell string) bool { return strings.EqualFold(strings.TrimSpace(cell), "name") })
				if column = max(at, 0); at >= 0 {
					continue
				}
			}
			name, err := nameOfLeaver(file, row, column)
			if err != nil {
				return nil, err
			}
			if name != "" {
				names = append(names, name)
			}
		}
	}
	if len(names) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, leaverListHint, "%s names nobody", file)
	}
	return names, nil
}

// nameOfLeaver is the name in a row; none of an empty row.
func nameOfLeaver(file string, row listing.Row, column int) (string, error) {
	if strings.TrimSpace(strings.Join(row.Cells, "")) == "" {
		return "", nil
	}
	name := ""
	if column < len(row.Cells) {
		name = strings.Clone(strings.TrimSpace(row.Cells[column]))
	}
	if name == "" {
		return "", sootline.Errorf(sootline.Invalid, leaverListHint, "%s, line %d: there is no name where names stand", file, row.Line)
	}
	return name, nil
}
