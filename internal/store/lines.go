package store

import (
	"bytes"
	"context"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"

	"github.com/klauspost/compress/zstd"

	"sootline"
)

// Line is one line of a log and the entry that it says.
type Line struct {
	Text  []byte // valid until the next step
	Entry sootline.Entry
}

// view reads a book: as it stands, or as a transaction sees it.
type view struct {
	ctx  context.Context
	q    querier
	path string
}

func (s *Store) view(ctx context.Context) view { return view{ctx, s.read, s.path} }

func (tx *Tx) view() view { return view{tx.ctx, tx.tx, tx.path} }

// Lines gives the lines of a site's log, station by station, each station's in
// the order in which it wrote them.
func (s *Store) Lines(ctx context.Context, site sootline.ID) iter.Seq2[Line, error] {
	return s.view(ctx).lines(site)
}

// Lines gives the lines of a site's log as the transaction sees them.
func (tx *Tx) Lines(site sootline.ID) iter.Seq2[Line, error] { return tx.view().lines(site) }

// Entries gives a site's log, in no particular order.
func (s *Store) Entries(ctx context.Context, site sootline.ID) ([]sootline.Entry, error) {
	return collect(s.Lines(ctx, site))
}

// Entries gives a site's log as the transaction sees it.
func (tx *Tx) Entries(site sootline.ID) ([]sootline.Entry, error) { return collect(tx.Lines(site)) }

// LinesAfter gives the lines that came after those up to which a reader has seen
// each station's chain; of a station that is not named, all. What was seen before
// is not opened, but for the page in which the new lines begin.
func (s *Store) LinesAfter(ctx context.Context, site sootline.ID, seen map[string]int64) iter.Seq2[Line, error] {
	return s.view(ctx).linesAfter(site, seen)
}

// LinesAfter gives the lines after those that were seen, as the transaction sees
// them; see [Store.LinesAfter].
func (tx *Tx) LinesAfter(site sootline.ID, seen map[string]int64) iter.Seq2[Line, error] {
	return tx.view().linesAfter(site, seen)
}

// LinesOfKinds gives the lines of the kinds, station by station. Only pages that
// hold one are opened.
func (s *Store) LinesOfKinds(ctx context.Context, site sootline.ID, kinds ...sootline.Kind) iter.Seq2[Line, error] {
	return s.view(ctx).linesOfKinds(site, kinds)
}

// LinesOfKinds gives the lines of the kinds, as the transaction sees them; see
// [Store.LinesOfKinds].
func (tx *Tx) LinesOfKinds(site sootline.ID, kinds ...sootline.Kind) iter.Seq2[Line, error] {
	return tx.view().linesOfKinds(site, kinds)
}

func collect(lines iter.Seq2[Line, error]) ([]sootline.Entry, error) {
	var entries []sootline.Entry
	for line, err := range lines {
		if err != nil {
			return nil, err
		}
		entries = append(entries, line.Entry)
	}
	return entries, nil
}

// What the queries for pages end with. Pages of a chain do not overlap, so that
// the page with a number of it is the last that does not begin after it.
const (
	ofSite    = `WHERE site = $1 ORDER BY station, first`
	ofStation = `WHERE site = $1 AND station = $2 AND first >= COALESCE(
		(SELECT MAX(first) FROM page WHERE site = $1 AND station = $2 AND first <= $3), 0) ORDER BY first`
	onePage = `WHERE site = $1 AND station = $2 AND first = $3`
)

func (v view) lines(site sootline.ID) iter.Seq2[Line, error] {
	return func(yield func(Line, error) bool) {
		var parser sootline.Parser
		v.wholePages(&parser, yield, ofSite, site.String())
	}
}

func (v view) linesAfter(site sootline.ID, seen map[string]int64) iter.Seq2[Line, error] {
	return func(yield func(Line, error) bool) {
		ends, err := v.heads(site)
		if err != nil {
			yield(Line{}, translate(v.path, "read", err))
			return
		}
		var parser sootline.Parser
		for _, station := range slices.Sorted(maps.Keys(ends)) {
			after := seen[station]
			if ends[station].Seq <= after {
				continue
			}
			fresh := func(line Line, err error) bool { return err == nil && line.Entry.Seq <= after || yield(line, err) }
			if !v.wholePages(&parser, fresh, ofStation, site.String(), station, after+1) {
				return
			}
		}
	}
}

// wholePages gives every line of the pages that a query chooses, and reports
// whether to go on. What the book says of a page must be what the page holds.
func (v view) wholePages(parser *sootline.Parser, yield func(Line, error) bool, where string, args ...any) bool {
	for page, err := range v.pages(where, args...) {
		if err != nil {
			yield(Line{}, translate(v.path, "read", err))
			return false
		}
		var held head
		for _, text := range sootline.SplitLines(page.text) {
			line, err := v.parse(parser, text)
			if !yield(line, err) || err != nil {
				return false
			}
			held.cover(&line.Entry)
		}
		if held != page.head {
			yield(Line{}, damaged(v.path, fmt.Errorf("page %d of station %q does not hold what the book says it holds", page.first, page.station)))
			return false
		}
	}
	return true
}

func (v view) parse(parser *sootline.Parser, text []byte) (Line, error) {
	entry, err := parser.Parse(text)
	if err != nil {
		err = sootline.Errorf(sootline.Damaged, "see where", "book %s holds a line that cannot be read: %w", v.path, err).Do(sootline.VerifyLog).Or(restoreHint).Do(sootline.RestoreBackup)
	}
	return Line{text, entry}, err
}

func (v view) linesOfKinds(site sootline.ID, kinds []sootline.Kind) iter.Seq2[Line, error] {
	return func(yield func(Line, error) bool) {
		places, err := v.pagesWith(site, kinds)
		if err != nil {
			yield(Line{}, translate(v.path, "read", err))
			return
		}
		var parser sootline.Parser
		for _, at := range places {
			if !v.kindsOfPage(&parser, yield, site, at, kinds) {
				return
			}
		}
	}
}

// kindsOfPage gives the lines of the kinds of one page. A line in which the kind
// is not spelled is passed over unread; see sootline.AppendLine.
func (v view) kindsOfPage(parser *sootline.Parser, yield func(Line, error) bool, site sootline.ID, at kindPage, kinds []sootline.Kind) bool {
	opened := false
	for page, err := range v.pages(onePage, site.String(), at.station, at.first) {
		if err != nil {
			yield(Line{}, translate(v.path, "read", err))
			return false
		}
		opened = true
		for _, text := range sootline.SplitLines(page.text) {
			spelled := func(kind sootline.Kind) bool { return bytes.Contains(text, []byte(`,"kind":"`+string(kind)+`"`)) }
			if !slices.ContainsFunc(kinds, spelled) {
				continue
			}
			line, err := v.parse(parser, text)
			if err == nil && !slices.Contains(kinds, line.Entry.Body.Kind()) {
				continue
			}
			if !yield(line, err) || err != nil {
				return false
			}
		}
	}
	return opened || yield(Line{}, indexDamaged(v.path, fmt.Errorf("it names a page %d of station %q", at.first, at.station)))
}

// pagesWith lists the pages of a site that hold any of the kinds, by station and
// number.
func (v view) pagesWith(site sootline.ID, kinds []sootline.Kind) (places []kindPage, err error) {
	args := []any{site.String()}
	var marks []string
	for i, kind := range kinds {
		args = append(args, string(kind))
		marks = append(marks, fmt.Sprintf("$%d", i+2))
	}
	if len(kinds) == 0 {
		return nil, nil
	}
	return v.places(`
		SELECT DISTINCT station, first FROM kind_page WHERE site = $1 AND kind IN (`+strings.Join(marks, ", ")+`) ORDER BY station, first`, args...)
}

// places reads where pages are: the station and the number of their first entry.
func (v view) places(query string, args ...any) (places []kindPage, err error) {
	rows, err := v.q.QueryContext(v.ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var at kindPage
		if err := rows.Scan(&at.station, &at.first); err != nil {
			return nil, damaged(v.path, err)
		}
		places = append(places, at)
	}
	return places, rows.Err()
}

// openPage is a page as read, opened.
type openPage struct {
	head
	text []byte // valid until the next step
}

func (v view) pages(where string, args ...any) iter.Seq2[openPage, error] {
	return func(yield func(openPage, error) bool) {
		rows, err := v.q.QueryContext(v.ctx, `SELECT site, station, first, last, hash, began, ended, lines FROM page `+where, args...)
		if err != nil {
			yield(openPage{}, err)
			return
		}
		defer rows.Close()
		dec, err := newDecoder()
		if err != nil {
			yield(openPage{}, err)
			return
		}
		defer dec.Close()
		var page openPage
		for rows.Next() {
			if err := page.open(v.path, rows.Scan, dec); err != nil {
				yield(openPage{}, err)
				return
			}
			if !yield(page, nil) {
				return
			}
		}
		if err := rows.Err(); err != nil {
			yield(openPage{}, err)
		}
	}
}

func (p *openPage) open(path string, scan func(...any) error, dec *zstd.Decoder) error {
	packed, err := p.scan(scan)
	if err != nil {
		return damaged(path, err)
	}
	if p.text, err = dec.DecodeAll(packed, p.text[:0]); err != nil {
		return damaged(path, fmt.Errorf("lines %d to %d of station %s cannot be opened: %w", p.first, p.last, p.station, err))
	}
	return nil
}
