package store

import (
	"bytes"

	"github.com/klauspost/compress/zstd"

	"sootline"
)

// maxPage is the most that a page may hold when opened; a damaged one must not
// fill the memory.
const maxPage = 64 << 20

func newDecoder() (*zstd.Decoder, error) {
	return zstd.NewReader(nil, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxMemory(maxPage))
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
func (h *head) scan(scan func(...any) error) (packed []byte, err error) {
	var site, hash string
	if err := scan(&site, &h.station, &h.first, &h.last, &hash, &h.began, &h.ended, &packed); err != nil {
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
	text   bytes.Buffer
	packed []byte // room for the text once it is packed
}

func (p *page) add(line []byte, e *sootline.Entry) {
	if p.text.Len() == 0 {
		p.head = head{}
	}
	p.cover(e)
	p.text.Write(line)
	p.text.WriteByte('\n')
}

// putPage writes a page, and tells the indexer that it ends.
func (tx *Tx) putPage(p *page, enc *zstd.Encoder, index *indexer) error {
	if _, err := tx.tx.ExecContext(tx.ctx, `
		INSERT INTO page (site, station, first, last, hash, began, ended, lines) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		p.site.String(), p.station, p.first, p.last, p.hash.String(), p.began, p.ended, p.pack(enc)); err != nil {
		return err
	}
	return index.close(&p.head)
}

// frameSize is how much text goes into one frame of a page. A page is several frames, one behind the other (RFC 8878,
// section 3): over a text that fits one of its blocks the encoder needs no history, and takes about a fifth less time.
// See docs/decisions/001-pages.md.
const frameSize = 64 << 10

// pack gives the page's text packed; it is good until the next.
func (p *page) pack(enc *zstd.Encoder) []byte {
	p.packed = p.packed[:0]
	for text := p.text.Bytes(); len(text) > 0; {
		n := min(len(text), frameSize)
		p.packed = enc.EncodeAll(text[:n], p.packed)
		text = text[n:]
	}
	return p.packed
}

func newPage() *page {
	p := &page{}
	p.text.Grow(pageSize + 4096)
	return p
}
