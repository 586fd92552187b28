package app

import (
	"context"
	"errors"
	"io"
	"maps"
	"os"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/listing"
)

// Intake is a set of listings that were opened and looked at, ready to be
// previewed and taken in.
type Intake struct {
	Tables []*IntakeTable
	Notes  []Unread // what of the files was not looked at
	files  []*os.File
	reads  heeding
	known  *listing.Known // what the register of the site says
}

// IntakeTable is one table of one file, and what was understood of it.
type IntakeTable struct {
	Path string
	*listing.Table
	*listing.Understanding
	Learned *Learned // what was answered of a listing of this shape; nil: nothing
	profile listing.Profile
	shape   shape
	reads   *heeding
	known   *listing.Known

	compared   []Compared             // of the understanding below
	comparedOf *listing.Understanding // which questions were compared last
}

// Handed is a listing that lies in a file of another name than it is called by,
// such as what came on standard input.
type Handed struct{ Name, File string }

// Look opens listings and understands each of their tables. The profiles hold
// what people fixed or answered before. It ends with the context.
func (a *App) Look(ctx context.Context, site sootline.ID, paths []string, profiles []listing.Profile) (*Intake, error) {
	var handed []Handed
	for _, path := range paths {
		handed = append(handed, Handed{path, path})
	}
	return a.LookAt(ctx, site, handed, profiles)
}

// LookAt is [App.Look] at listings by the names that they are called by.
func (a *App) LookAt(ctx context.Context, site sootline.ID, all []Handed, profiles []listing.Profile) (*Intake, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return nil, err
	}
	in := &Intake{known: knownOf(r)}
	defer in.reads.during(ctx)()
	for _, one := range all {
		if err := in.look(one, profiles, a); err != nil {
			return nil, errors.Join(err, in.Close())
		}
	}
	if err := in.knowSchedules(r); err != nil {
		return nil, errors.Join(err, in.Close())
	}
	in.leaveCovers()
	return in, nil
}

func (in *Intake) look(one Handed, profiles []listing.Profile, a *App) error {
	path := one.Name
	a.progress("reading "+path, 0, 0)
	f, err := os.Open(one.File)
	if err != nil {
		return sootline.Errorf(sootline.NotFound, "", "open listing: %w", err)
	}
	in.files = append(in.files, f)
	info, err := f.Stat()
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "open listing: %w", err)
	}
	if info.IsDir() {
		return sootline.Errorf(sootline.Invalid, "name the files in it, for example "+path+"/*.csv", "%s is a folder", path)
	}
	return in.open(path, io.NewSectionReader(&heedingFile{f, &in.reads}, 0, info.Size()), info.Size(), profiles)
}

// open understands every table of a listing.
func (in *Intake) open(path string, src io.ReaderAt, size int64, profiles []listing.Profile) error {
	file, err := listing.Open(path, src, size, listing.Limits{})
	if err != nil {
		return in.reads.unreadable(err)
	}
	for _, note := range file.Notes {
		in.Notes = append(in.Notes, Unread{Text: path + ": " + note})
	}
	for _, table := range file.All() {
		if !in.admit(path, table, profiles) {
			continue
		}
		profile := listing.ProfileFor(profiles, table)
		parts, err := in.known.Parts(table, profile)
		if err != nil {
			return in.reads.unreadable(err)
		}
		for _, part := range parts {
			in.Tables = append(in.Tables, &IntakeTable{Path: path, Table: part.Table, Understanding: part.Understanding, profile: profile, shape: shapeOf(part.Understanding), reads: &in.reads, known: in.known})
		}
	}
	return nil
}

func (t *IntakeTable) understand() error {
	u, err := t.known.Understand(t.Table, t.profile)
	if err != nil {
		return t.reads.unreadable(err)
	}
	t.Understanding = u
	return nil
}

// During has what is read of the files end with a context, until the function that
// it gives is called.
func (in *Intake) During(ctx context.Context) (over func()) { return in.reads.during(ctx) }

// Answer answers a question about the table and looks at it again.
func (t *IntakeTable) Answer(id, value string) error {
	if err := t.profile.Answer(id, value); err != nil {
		return sootline.Errorf(sootline.Invalid, "", "%w", err)
	}
	return t.understand()
}

// Choose sets what the table lists and what its columns hold, by the names of
// kinds and fields (docs/formats/listings.md), and looks at it again. What is as
// it was found is left to be found; a choice that does not fit changes nothing.
func (t *IntakeTable) Choose(kind string, columns []string) error {
	next := t.profile
	if kind != string(t.Kind) {
		next.Kind, next.Columns = listing.Kind(kind), nil // what columns were said to hold was of another kind
		columns = nil
	}
	next.Columns = maps.Clone(next.Columns)
	for i, field := range columns[:min(len(columns), len(t.Columns))] {
		if column := t.Columns[i]; field != string(column.Field) {
			if next.Columns == nil {
				next.Columns = map[string]listing.Field{}
			}
			delete(next.Columns, column.Heading)
			next.Columns[strconv.Itoa(i+1)] = listing.Field(field)
		}
	}
	before := t.profile
	t.profile = next
	err := t.understand()
	if err != nil {
		t.profile = before
	}
	return err
}

// Kinds are what a table may list.
func Kinds() []listing.Kind {
	return []listing.Kind{listing.KindTypes, listing.KindSchedule, listing.KindReadings, listing.KindEvents}
}

// KindName tells what a table lists, in words.
func KindName(kind listing.Kind) string {
	switch kind {
	case listing.KindTypes:
		return "type sheets"
	case listing.KindSchedule:
		return "a schedule of points"
	case listing.KindReadings:
		return "readings"
	case listing.KindEvents:
		return "events"
	}
	return "nothing that is known"
}

// Fields are what a column of the table may hold; the last one is that it is not used.
func (t *IntakeTable) Fields() []listing.Field {
	return append(t.Kind.Fields(), listing.Unused)
}

// Close closes the files.
func (in *Intake) Close() error {
	var errs []error
	for _, f := range in.files {
		errs = append(errs, f.Close())
	}
	return errors.Join(errs...)
}

// unreadable puts a listing's trouble into the words of an Error.
func unreadable(err error) error {
	if fault, ok := errors.AsType[*listing.FileError](err); ok {
		return &sootline.Error{Code: sootline.Invalid, Message: fault.File + ": " + fault.Trouble, Ways: sootline.Out(fault.Hint), Err: err}
	}
	return sootline.Errorf(sootline.Invalid, "", "%w", err)
}
