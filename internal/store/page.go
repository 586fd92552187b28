package store

import (
	"bytes"
	"context"
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
// a number of its chain.
func (s *Store) lines(ctx context.Context, q querier, site sootline.ID, station string, after int64) iter.Seq2[Line, error] {
	return func(yield func(Line, error) bool) {
		var parser sootline.Parser
		for page, err := range s.pages(ctx, q, site, station, after) {
			if err != nil {
				yield(Line{}, translate(s.path, "read", err))
				return
			}
			for _, text := range sootline.SplitLines(page) {
				entry, err := parser.Parse(text)
				if err != nil {
					err = sootline.Errorf(sootline.Damaged, "`sootline log verify` shows where; `sootline book restore BACKUP` puts a backup in its place", "book %s holds a line that cannot be read: %w", s.path, err)
				}
				if !yield(Line{text, entry}, err) || err != nil {
					return
				}
			}
		}
	}
}

func (s *Store) pages(ctx context.Context, q querier, site sootline.ID, station string, after int64) iter.Seq2[[]byte, error] {
	return func(yield func([]byte, error) bool) {
		rows, err := q.QueryContext(ctx, `
			SELECT lines FROM page WHERE site = $1 AND ($2 = '' OR station = $2) AND last > $3
			ORDER BY station, first`, site.String(), station, after)
		if err != nil {
			yield(nil, err)
			return
		}
		defer rows.Close()
		dec, err := newDecoder()
		if err != nil {
			yield(nil, err)
			return
		}
		defer dec.Close()
		var packed, page []byte
		for rows.Next() {
			if err := rows.Scan(&packed); err != nil {
				yield(nil, err)
				return
			}
			if page, err = dec.DecodeAll(packed, page[:0]); err != nil {
				yield(nil, sootline.Errorf(sootline.Damaged, "put a backup in its place with `sootline book restore BACKUP`", "a page of book %s cannot be opened: %w", s.path, err))
				return
			}
			if !yield(page, nil) {
				return
			}
		}
		if err := rows.Err(); err != nil {
			yield(nil, err)
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
			return sootline.Chain{}, fmt.Errorf("table page: %w", err)
		}
	}
	return chain, rows.Err()
}

// page is a run of consecutive lines on its way into the book.
type page struct {
	site         sootline.ID
	station      string
	first, last  int64
	hash         sootline.Hash
	began, ended int64
	text         bytes.Buffer
}

func (p *page) add(line []byte, e *sootline.Entry) {
	at := e.At.UnixMilli()
	if p.text.Len() == 0 {
		p.site, p.station, p.first, p.began, p.ended = e.Site, e.Station, e.Seq, at, at
	}
	p.last, p.hash = e.Seq, e.Hash
	p.began, p.ended = min(p.began, at), max(p.ended, at)
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
