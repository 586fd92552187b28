package store

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"iter"

	"github.com/klauspost/compress/zstd"

	"sootline"
)

// maxPage is the most that a page may hold when opened; a damaged one must not
// fill the memory.
const maxPage = 64 << 20

// Line is one line of a log and the entry that it says.
type Line struct {
	Text  []byte // valid until the next step
	Entry sootline.Entry
}

// Lines gives the lines of a site's log, station by station, each station's in
// the order in which it wrote them.
func (s *Store) Lines(ctx context.Context, site sootline.ID) iter.Seq2[Line, error] {
	return s.lines(ctx, s.read, site, "", 0)
}

// Entries gives a site's log, in no particular order.
func (s *Store) Entries(ctx context.Context, site sootline.ID) ([]sootline.Entry, error) {
	return collect(s.Lines(ctx, site))
}

// Lines gives the lines of a site's log as the transaction sees them.
func (tx *Tx) Lines(site sootline.ID) iter.Seq2[Line, error] { return tx.LinesSince(site, "", 0) }

// Entries gives a site's log as the transaction sees it.
func (tx *Tx) Entries(site sootline.ID) ([]sootline.Entry, error) { return collect(tx.Lines(site)) }

// LinesSince gives the lines that a station, or any when none is named, wrote
// after a number of its chain, as the transaction sees them.
func (tx *Tx) LinesSince(site sootline.ID, station string, seq int64) iter.Seq2[Line, error] {
	s := &Store{path: tx.path}
	return s.lines(tx.ctx, tx.tx, site, station, seq)
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

// lines reads pages: of all stations, or, when one is named, of that one after
// a number of its chain. What the book says of a page must be what the page holds.
func (s *Store) lines(ctx context.Context, q querier, site sootline.ID, station string, after int64) iter.Seq2[Line, error] {
	return func(yield func(Line, error) bool) {
		var parser sootline.Parser
		for page, err := range s.pages(ctx, q, site, station, after) {
			if err != nil {
				yield(Line{}, translate(s.path, "read", err))
				return
			}
			var held head
			for _, text := range sootline.SplitLines(page.text) {
				entry, err := parser.Parse(text)
				if err != nil {
					err = sootline.Errorf(sootline.Damaged, "see where", "book %s holds a line that cannot be read: %w", s.path, err).Do(sootline.VerifyLog).Or(restoreHint).Do(sootline.RestoreBackup)
				}
				if !yield(Line{text, entry}, err) || err != nil {
					return
				}
				held.cover(&entry)
			}
			if held != page.head {
				yield(Line{}, damaged(s.path, fmt.Errorf("page %d of station %q does not hold what the book says it holds", page.first, page.station)))
				return
			}
		}
	}
}

// openPage is a page as read, opened.
type openPage struct {
	head
	text []byte // valid until the next step
}

func (s *Store) pages(ctx context.Context, q querier, site sootline.ID, station string, after int64) iter.Seq2[openPage, error] {
	return func(yield func(openPage, error) bool) {
		rows, err := q.QueryContext(ctx, `
			SELECT site, station, first, last, hash, began, ended, lines FROM page WHERE site = $1 AND ($2 = '' OR station = $2) AND last > $3
			ORDER BY station, first`, site.String(), station, after)
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
		var packed []byte
		for rows.Next() {
			if packed, err = page.scan(rows); err != nil {
				yield(openPage{}, damaged(s.path, err))
				return
			}
			if page.text, err = dec.DecodeAll(packed, page.text[:0]); err != nil {
				yield(openPage{}, sootline.Errorf(sootline.Damaged, restoreHint, "a page of book %s cannot be opened: %w", s.path, err))
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

func newDecoder() (*zstd.Decoder, error) {
	return zstd.NewReader(nil, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxMemory(maxPage))
}

// Chain gives the end of a station's chain in a site's log.
func (tx *Tx) Chain(site sootline.ID, station string) (sootline.Chain, error) {
	rows, err := tx.tx.QueryContext(tx.ctx, `
		SELECT last, hash FROM page WHERE site = $1 AND station = $2 ORDER BY first DESC LIMIT 1`, site.String(), station)
	if err != nil {
		return sootline.Chain{}, err
	}
	defer rows.Close()
	var chain sootline.Chain
	for rows.Next() {
		var hash string
		if err := rows.Scan(&chain.Seq, &hash); err != nil {
			return sootline.Chain{}, err
		}
		if chain.Hash, err = sootline.ParseHash(hash); err != nil {
			return sootline.Chain{}, damaged(tx.path, err)
		}
	}
	return chain, rows.Err()
}

// head says what a page holds, so that it need not be opened to know.
type head struct {
	site         sootline.ID
	station      string
	first, last  int64
	hash         sootline.Hash // of its last line
	began, ended int64
}

// cover makes the head say that the page goes on with the entry.
func (h *head) cover(e *sootline.Entry) {
	at := e.At.UnixMilli()
	if h.first == 0 {
		h.site, h.station, h.first, h.began, h.ended = e.Site, e.Station, e.Seq, at, at
	}
	h.last, h.hash = e.Seq, e.Hash
	h.began, h.ended = min(h.began, at), max(h.ended, at)
}

// scan reads the head of a row, and gives the lines as they are packed.
func (h *head) scan(rows *sql.Rows) (packed []byte, err error) {
	var site, hash string
	if err := rows.Scan(&site, &h.station, &h.first, &h.last, &hash, &h.began, &h.ended, &packed); err != nil {
		return nil, err
	}
	if h.site, err = sootline.ParseID(site); err != nil {
		return nil, err
	}
	h.hash, err = sootline.ParseHash(hash)
	return packed, err
}

// page is a run of consecutive lines on its way into the book.
type page struct {
	head
	text bytes.Buffer
}

func (p *page) add(line []byte, e *sootline.Entry) {
	if p.text.Len() == 0 {
		p.head = head{}
	}
	p.cover(e)
	p.text.Write(line)
	p.text.WriteByte('\n')
}

func (tx *Tx) putPage(p *page, enc *zstd.Encoder) error {
	_, err := tx.tx.ExecContext(tx.ctx, `
		INSERT INTO page (site, station, first, last, hash, began, ended, lines) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		p.site.String(), p.station, p.first, p.last, p.hash.String(), p.began, p.ended, enc.EncodeAll(p.text.Bytes(), nil))
	return err
}

func newPage() *page {
	p := &page{}
	p.text.Grow(pageSize + 4096)
	return p
}
