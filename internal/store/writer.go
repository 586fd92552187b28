package store

import (
	"context"
	"errors"

	"github.com/klauspost/compress/zstd"
	"golang.org/x/sync/errgroup"

	"sootline"
)

// pageSize is how much text goes into a page: large enough to compress well and
// to cost few statements, small enough that one page opens in a millisecond.
const pageSize = 256 << 10

// Writer adds entries to a site's log, as one station. It seals them into the
// station's chain, and packs full pages beside the caller's own work.
type Writer struct {
	Added int // entries so far

	chain   sootline.Chain
	page    *page
	line    []byte
	full    chan *page
	packing *errgroup.Group
	failed  <-chan struct{}
}

// Append adds to a site's log as a station, which must have a name. The
// transaction is not to be used for anything else until it returns.
func (tx *Tx) Append(site sootline.ID, station string, do func(*Writer) error) error {
	chain, err := tx.Chain(site, station)
	if err != nil {
		return err
	}
	enc, err := newEncoder()
	if err != nil {
		return err
	}
	group, ctx := errgroup.WithContext(tx.ctx)
	w := &Writer{chain: chain, page: newPage(), full: make(chan *page, 2), packing: group, failed: ctx.Done()}
	group.Go(func() error {
		for p := range w.full {
			if err := tx.putPage(p, enc); err != nil {
				return err
			}
		}
		return nil
	})
	err = do(w)
	if err == nil && w.page.text.Len() > 0 {
		err = w.send()
	}
	close(w.full)
	return errors.Join(err, group.Wait())
}

func newEncoder() (*zstd.Encoder, error) {
	return zstd.NewWriter(nil, zstd.WithEncoderLevel(zstd.SpeedFastest), zstd.WithEncoderConcurrency(1))
}

// Add seals the entry, giving it its number and hash, and adds it.
func (w *Writer) Add(e *sootline.Entry) error {
	var err error
	if w.line, err = w.chain.Seal(w.line[:0], e); err != nil {
		return err
	}
	w.page.add(w.line, e)
	w.Added++
	if w.page.text.Len() < pageSize {
		return nil
	}
	return w.send()
}

func (w *Writer) send() error {
	select {
	case w.full <- w.page:
		w.page = newPage()
		return nil
	case <-w.failed:
		return context.Canceled // the packing's own error says why
	}
}

// Import adds lines of another book's log as they are, seals and all. They must
// be of one site and station and follow one another.
func (tx *Tx) Import(lines []Line) error {
	enc, err := newEncoder()
	if err != nil {
		return err
	}
	p := newPage()
	for i := range lines {
		p.add(lines[i].Text, &lines[i].Entry)
		if p.text.Len() < pageSize && i+1 < len(lines) {
			continue
		}
		if err := tx.putPage(p, enc); err != nil {
			return err
		}
		p = newPage()
	}
	return nil
}
