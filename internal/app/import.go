package app

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"

	"sootline"
	"sootline/internal/store"
)

// Imported says what an import brought.
type Imported struct {
	Site     string
	Lines    int // in the file
	Added    int
	Gaps     int             // places where lines are missing that no station has handed in yet
	Unsigned []store.Stretch // of what was added: lines that no signature covers
	Headless []string        // stations of the file that are known to sign, and whose head it does not carry
	Photos   int             // that an archive brought
}

// Import brings in the log of one site as another book exported it, alone or as an archive with its photos: the union
// of both. Nothing is taken from a file whose chains are not what their stations
// wrote, that ends before a head that it carries, or that contradicts the book.
func (a *App) Import(ctx context.Context, from io.Reader) (Imported, error) {
	return a.importing(ctx, from, false)
}

// ImportOwn is Import by who is certain that lines in the name of this book's own
// stations, which nothing signs, are theirs: of a book that was lost.
func (a *App) ImportOwn(ctx context.Context, from io.Reader) (Imported, error) {
	return a.importing(ctx, from, true)
}

func (a *App) importing(ctx context.Context, from io.Reader, own bool) (Imported, error) {
	if err := a.needs(sootline.Manager); err != nil {
		return Imported{}, err
	}
	photos, lines, err := unpacked(from)
	if err != nil {
		return Imported{}, err
	}
	file, err := readExport(ctx, lines)
	if err == nil {
		err = file.check()
	}
	if err == nil {
		err = photos.check(file)
	}
	if err != nil {
		return Imported{}, err
	}
	var out Imported
	err = a.Book.Write(ctx, func(tx *store.Tx) error {
		out = Imported{Lines: len(file.lines)}
		if err := a.merge(tx, file, own, &out); err != nil {
			return err
		}
		if out.Photos, err = photos.put(tx); err != nil {
			return err
		}
		return a.journal(tx, LogImported, out.Site, fmt.Sprintf("%d lines, %d new", out.Lines, out.Added))
	})
	return out, err
}

// merge brings what the file holds into the book.
func (a *App) merge(tx *store.Tx, file *export, own bool, out *Imported) error {
	site := file.site()
	if err := a.Who.MaySee(site); err != nil { // also where the book does not have it: a new site is for who keeps the book
		return err
	}
	kept, err := tx.Kept(site)
	if err != nil {
		return err
	}
	if err := sameKeys(kept.Heads, file.heads); err != nil {
		return err
	}
	held, known, err := heldHashes(tx, file)
	if err != nil {
		return err
	}
	fresh, err := held.fresh(file.lines)
	if err != nil {
		return err
	}
	if err := held.asSealed(file.lines); err != nil {
		return err
	}
	if err := held.keepTo(kept.Heads); err != nil {
		return err
	}
	out.Gaps = held.gaps(fresh)
	if err := a.foreign(tx, kept.Heads, file.heads, fresh, own); err != nil {
		return err
	}
	if err := sameUnderID(tx, site, known, fresh); err != nil {
		return err
	}
	if err := amendsWritten(tx, site, fresh); err != nil {
		return err
	}
	out.Headless = file.headless(kept.Heads)
	out.Added = len(fresh)
	if out.Site, err = nameSite(tx, site, file.lines); err != nil {
		return err
	}
	if err := importRuns(tx, fresh); err != nil {
		return err
	}
	if out.Unsigned, err = keepHeads(tx, site, kept.Heads, file.heads, fresh); err != nil {
		return err
	}
	return a.pinImported(tx, site, fresh)
}

// held are the hashes of the lines that a book has of a site, by station and
// number.
type held map[place]sootline.Hash

type place struct {
	station string
	seq     int64
}

// heldHashes reads what the book holds of the site of a file, and which of the
// file's ids it knows.
func heldHashes(tx *store.Tx, file *export) (h held, known map[sootline.ID]bool, err error) {
	h, known = held{}, make(map[sootline.ID]bool, len(file.lines))
	for i := range file.lines {
		known[file.lines[i].Entry.ID] = false
	}
	for line, err := range tx.Lines(file.site()) {
		if err != nil {
			return nil, nil, err
		}
		h[place{line.Entry.Station, line.Entry.Seq}] = line.Entry.Hash
		if _, comes := known[line.Entry.ID]; comes {
			known[line.Entry.ID] = true
		}
	}
	return h, known, nil
}

// fresh gives the lines that the book does not have, station by station in the
// order of their numbers, and remembers them. Two different lines of one number
// cannot both be what the station wrote.
func (h held) fresh(lines []store.Line) ([]store.Line, error) {
	var fresh []store.Line
	for _, line := range lines {
		at := place{line.Entry.Station, line.Entry.Seq}
		switch hash, ok := h[at]; {
		case !ok:
			h[at] = line.Entry.Hash
			fresh = append(fresh, line)
		case hash != line.Entry.Hash:
			return nil, sootline.Errorf(sootline.Conflict, "find out which of the two logs is the station's own; nothing was imported",
				"line %d of station %s says something else in this book", at.seq, at.station)
		}
	}
	return sortedLines(fresh), nil
}

// sortedLines sorts lines by station and number.
func sortedLines(lines []store.Line) []store.Line {
	slices.SortFunc(lines, func(a, b store.Line) int {
		return cmp.Or(cmp.Compare(a.Entry.Station, b.Entry.Station), cmp.Compare(a.Entry.Seq, b.Entry.Seq))
	})
	return lines
}

// asSealed checks the seal of every line of a file whose forerunner is known. One that
// the book holds already and that says something else under the seal that it had would
// not come in, and whoever handed it in would think that it had.
func (h held) asSealed(lines []store.Line) error {
	for i := range lines {
		e := &lines[i].Entry
		before, ok := h[place{e.Station, e.Seq - 1}]
		if !ok && e.Seq > 1 {
			continue
		}
		chain := sootline.Chain{Seq: e.Seq - 1, Hash: before}
		if fault := chain.Follow(lines[i].Text, e); fault != nil {
			return sootline.Errorf(sootline.Damaged, freshExport, "%w", fault)
		}
	}
	return nil
}

// gaps counts the fresh lines whose forerunner is not known.
func (h held) gaps(fresh []store.Line) (n int) {
	for i := range fresh {
		e := &fresh[i].Entry
		if _, ok := h[place{e.Station, e.Seq - 1}]; !ok && e.Seq > 1 {
			n++
		}
	}
	return n
}

// nameSite makes sure that the book knows the site by its name. A file without the
// entry that opened the site is no log of it, and one that brings a time zone that
// is not known would move its days.
func nameSite(tx *store.Tx, site sootline.ID, lines []store.Line) (string, error) {
	before, err := siteFacts(tx, site, nil)
	if err != nil {
		return "", err
	}
	after, err := siteFacts(tx, site, lines)
	switch {
	case err != nil:
		return "", err
	case after.Name == "":
		return "", sootline.Errorf(sootline.Invalid, "ask for an export of the whole log; nothing was imported",
			"the file does not hold the entry that opened the site, so that the site would have no name")
	case after.ZoneUnknown != "" && after.ZoneUnknown != before.ZoneUnknown:
		return "", sootline.Errorf(sootline.Invalid, "correct the entry in the book that wrote it, and export the log anew; nothing was imported",
			"%s", after.ZoneDoubt())
	}
	return after.Name, tx.PutSite(site, after.Name)
}

// importRuns writes lines in runs of consecutive numbers, as pages hold them.
func importRuns(tx *store.Tx, lines []store.Line) error {
	for start := 0; start < len(lines); {
		end := start + 1
		for end < len(lines) && lines[end].Entry.Station == lines[start].Entry.Station && lines[end].Entry.Seq == lines[end-1].Entry.Seq+1 {
			end++
		}
		if err := tx.Import(lines[start:end]); err != nil {
			return err
		}
		start = end
	}
	return nil
}
