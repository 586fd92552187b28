package app

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"errors"
	"io"
	"slices"

	"sootline"
	"sootline/internal/store"
)

// maxLine is the longest line of an export that is taken.
const maxLine = 4 << 20

// Imported says what an import brought.
type Imported struct {
	Site  string
	Lines int // in the file
	Added int
	Gaps  int // places where lines are missing that no station has handed in yet
}

// Import brings in the log of one site as another book exported it: the union of
// both. Nothing is taken from a file whose chains are not what their stations
// wrote, or that contradicts the book.
func (a *App) Import(ctx context.Context, from io.Reader) (Imported, error) {
	lines, err := readLines(from)
	if err != nil {
		return Imported{}, err
	}
	out := Imported{Lines: len(lines)}
	return out, a.Book.Write(ctx, func(tx *store.Tx) error {
		site := lines[0].Entry.Site
		held, err := heldHashes(tx, site)
		if err != nil {
			return err
		}
		fresh, err := held.fresh(lines)
		if err != nil {
			return err
		}
		if out.Gaps, err = held.follow(fresh); err != nil {
			return err
		}
		out.Added = len(fresh)
		if out.Site, err = nameSite(tx, site, lines); err != nil {
			return err
		}
		return importRuns(tx, fresh)
	})
}

// readLines reads an export, which must be of one site.
func readLines(from io.Reader) ([]store.Line, error) {
	var lines []store.Line
	var parser sootline.Parser
	scan := bufio.NewScanner(from)
	scan.Buffer(make([]byte, 64<<10), maxLine)
	for n := 1; scan.Scan(); n++ {
		text := bytes.Clone(bytes.TrimRight(scan.Bytes(), "\r"))
		if len(text) == 0 {
			continue
		}
		entry, err := parser.Parse(text)
		if err != nil {
			return nil, sootline.Errorf(cmp.Or(sootline.ErrorCode(err), sootline.Invalid), "", "line %d: %w", n, err)
		}
		if entry.Seq < 1 {
			return nil, sootline.Errorf(sootline.Invalid, "hand in what an export of a log book wrote", "line %d has the number %d in its chain; they begin at 1", n, entry.Seq).Do(sootline.ExportLog)
		}
		if len(lines) > 0 && entry.Site != lines[0].Entry.Site {
			return nil, sootline.Errorf(sootline.Invalid, "export and import one site at a time", "line %d is of another site than the lines before it", n)
		}
		lines = append(lines, store.Line{Text: text, Entry: entry})
	}
	if err := scan.Err(); errors.Is(err, bufio.ErrTooLong) {
		return nil, sootline.Errorf(sootline.Invalid, "hand in what an export of a log book wrote", "a line is longer than %d bytes", maxLine).Do(sootline.ExportLog)
	} else if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "", "read the export: %w", err)
	}
	if len(lines) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "hand in what an export of a log book wrote", "there is no entry in it").Do(sootline.ExportLog)
	}
	return lines, nil
}

// held are the hashes of the lines that a book has of a site, by station and
// number.
type held map[place]sootline.Hash

type place struct {
	station string
	seq     int64
}

func heldHashes(tx *store.Tx, site sootline.ID) (held, error) {
	h := held{}
	for line, err := range tx.Lines(site) {
		if err != nil {
			return nil, err
		}
		h[place{line.Entry.Station, line.Entry.Seq}] = line.Entry.Hash
	}
	return h, nil
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
	slices.SortFunc(fresh, func(a, b store.Line) int {
		return cmp.Or(cmp.Compare(a.Entry.Station, b.Entry.Station), cmp.Compare(a.Entry.Seq, b.Entry.Seq))
	})
	return fresh, nil
}

// follow checks the seal of every fresh line whose forerunner is known, and
// counts those whose forerunner is not.
func (h held) follow(fresh []store.Line) (gaps int, err error) {
	for i := range fresh {
		e := &fresh[i].Entry
		before, ok := h[place{e.Station, e.Seq - 1}]
		if !ok && e.Seq > 1 {
			gaps++
			continue
		}
		chain := sootline.Chain{Seq: e.Seq - 1, Hash: before}
		if fault := chain.Follow(fresh[i].Text, e); fault != nil {
			return 0, sootline.Errorf(sootline.Damaged, "ask its station for a fresh export; nothing was imported", "%w", fault)
		}
	}
	return gaps, nil
}

// nameSite makes sure that the book knows the site by its name, which follows from
// the few entries that can give it one or take one back.
func nameSite(tx *store.Tx, site sootline.ID, lines []store.Line) (string, error) {
	naming := []sootline.Kind{sootline.OpenedKind, sootline.CorrectedKind, sootline.WithdrawnKind}
	var entries []sootline.Entry
	for line, err := range tx.LinesOfKinds(site, naming...) {
		if err != nil {
			return "", err
		}
		entries = append(entries, line.Entry)
	}
	for _, line := range lines {
		if slices.Contains(naming, line.Entry.Body.Kind()) {
			entries = append(entries, line.Entry)
		}
	}
	name := sootline.Fold(entries, Always).Site.Name
	return name, tx.PutSite(site, name)
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
