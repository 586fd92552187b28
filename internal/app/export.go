package app

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"errors"
	"io"

	"sootline"
	"sootline/internal/store"
)

// Export writes a site's log as JSON Lines, and after its entries the newest
// signed head of each station. It gives the number of entries.
func (a *App) Export(ctx context.Context, site sootline.ID, w io.Writer) (int, error) {
	if err := a.Who.MaySee(site); err != nil {
		return 0, err
	}
	buffer := bufio.NewWriterSize(w, 1<<16)
	n := 0
	put := func(line []byte) error {
		buffer.Write(line) //nolint:errcheck // a bufio.Writer keeps its first error for what follows
		if err := buffer.WriteByte('\n'); err != nil {
			return cannotExport(err)
		}
		return nil
	}
	kept, err := a.Book.Whole(ctx, site, func(line store.Line) error {
		n++
		return put(line.Text)
	})
	for i := 0; err == nil && i < len(kept.Heads); i++ {
		err = put(sootline.AppendHeadLine(nil, &kept.Heads[i].SignedHead))
	}
	if err != nil {
		return n, err
	}
	if err := buffer.Flush(); err != nil {
		return n, cannotExport(err)
	}
	return n, nil
}

// ExportReadable writes what can be read of a site's log, as [App.Export] writes all of
// it, and gives the stretches that cannot be read. A head whose line is lost is left
// out: an import would take it for a file that was cut off.
func (a *App) ExportReadable(ctx context.Context, site sootline.ID, w io.Writer) (saved Saved, err error) {
	if err := a.Who.MaySee(site); err != nil {
		return saved, err
	}
	kept, err := a.Book.KeptOf(ctx, site)
	if err != nil {
		return saved, err
	}
	buffer := bufio.NewWriterSize(w, 1<<16)
	put := func(line []byte) error {
		_, err := buffer.Write(append(line, '\n'))
		return err
	}
	there := map[sootline.Head]bool{}
	saved.Lost, err = a.Book.Readable(ctx, site, func(line store.Line) error {
		saved.Lines++
		there[sootline.Head{Station: line.Entry.Station, Seq: line.Entry.Seq, Hash: line.Entry.Hash}] = true
		return put(line.Text)
	})
	for i := 0; err == nil && i < len(kept.Heads); i++ {
		if head := &kept.Heads[i].SignedHead; there[head.Head] {
			err = put(sootline.AppendHeadLine(nil, head))
		}
	}
	if err == nil {
		err = buffer.Flush()
	}
	if err != nil && sootline.ErrorCode(err) == "" {
		err = cannotExport(err)
	}
	return saved, err
}

// Saved is what could be saved of a log.
type Saved struct {
	Lines int
	Lost  []store.Stretch // what is on pages that cannot be read
}

func cannotExport(err error) error {
	return sootline.Errorf(sootline.Unavailable, "its disk must have room, and its folder be writable", "%w", err)
}

// maxLine is the longest line of an export that is taken.
const maxLine = 4 << 20

// notAnExport is the way out of a file that is none.
const notAnExport = "hand in what an export of a log book wrote"

// export is a site's log as another book handed it on.
type export struct {
	lines []store.Line // at least one
	heads []sootline.SignedHead
}

func (x *export) site() sootline.ID { return x.lines[0].Entry.Site }

// readExport reads an export, which must be of one site. It ends with the context.
func readExport(ctx context.Context, from io.Reader) (*export, error) {
	x := &export{}
	var parser sootline.Parser
	scan := bufio.NewScanner(from)
	scan.Buffer(make([]byte, 64<<10), maxLine)
	for n := 1; scan.Scan(); n++ {
		text := bytes.Clone(bytes.TrimRight(scan.Bytes(), "\r"))
		if len(text) == 0 {
			continue
		}
		if err := x.take(&parser, text, n); err != nil {
			return nil, err
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	if err := scan.Err(); errors.Is(err, bufio.ErrTooLong) {
		return nil, sootline.Errorf(sootline.Invalid, notAnExport, "a line is longer than %d bytes", maxLine).Do(sootline.ExportLog)
	} else if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "", "read the export: %w", err)
	}
	if len(x.lines) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, notAnExport, "there is no entry in it").Do(sootline.ExportLog)
	}
	return x, nil
}

// take takes line n of the file.
func (x *export) take(parser *sootline.Parser, text []byte, n int) error {
	var site sootline.ID
	if sootline.IsHeadLine(text) {
		head, err := sootline.ParseHeadLine(text)
		if err != nil {
			return unreadableLine(n, err)
		}
		x.heads = append(x.heads, head)
		site = head.Site
	} else {
		entry, err := parser.Parse(text)
		if err != nil {
			return unreadableLine(n, err)
		}
		if entry.Seq < 1 {
			return sootline.Errorf(sootline.Invalid, notAnExport, "line %d has the number %d in its chain; they begin at 1", n, entry.Seq).Do(sootline.ExportLog)
		}
		x.lines = append(x.lines, store.Line{Text: text, Entry: entry})
		site = entry.Site
	}
	if len(x.lines) > 0 && site != x.site() {
		return sootline.Errorf(sootline.Invalid, "export and import one site at a time", "line %d is of another site than the lines before it", n)
	}
	return nil
}

func unreadableLine(n int, err error) error {
	return sootline.Errorf(cmp.Or(sootline.ErrorCode(err), sootline.Invalid), sootline.ErrorHint(err), "line %d: %w", n, err)
}

// freshExport is the way out of a file that is not what a station wrote.
const freshExport = "ask its station for a fresh export; nothing was imported"

// check reports a head that its key did not sign, or that the lines do not reach.
func (x *export) check() error {
	if len(x.heads) == 0 {
		return nil
	}
	hashes := make(held, len(x.lines))
	last := map[string]int64{}
	for i := range x.lines {
		e := &x.lines[i].Entry
		hashes[place{e.Station, e.Seq}] = e.Hash
		last[e.Station] = max(last[e.Station], e.Seq)
	}
	for i := range x.heads {
		h := &x.heads[i]
		hash, there := hashes[place{h.Station, h.Seq}]
		switch {
		case h.Site != x.site():
			return sootline.Errorf(sootline.Invalid, "export and import one site at a time", "the head of station %s is of another site than the lines", h.Station)
		case !h.Genuine():
			return sootline.Errorf(sootline.Damaged, freshExport, "the head of station %s is not signed by the key beside it", h.Station)
		case !there && h.Seq > last[h.Station]:
			return sootline.Errorf(sootline.Damaged, freshExport, "station %s signed %d lines, and the file ends at its line %d: the rest was cut off", h.Station, h.Seq, last[h.Station])
		case !there:
			return sootline.Errorf(sootline.Damaged, freshExport, "line %d of station %s, which it signed, is missing from the file", h.Seq, h.Station)
		case hash != h.Hash:
			return sootline.Errorf(sootline.Damaged, freshExport, "line %d of station %s is not the one that it signed: it, or one before it, was written anew", h.Seq, h.Station)
		}
	}
	return nil
}
