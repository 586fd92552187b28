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

// Writer adds entries to a site's log, as one station. Sealing them into the
// station's chain, packing and storing go on beside the caller's own work.
type Writer struct {
	Added int // entries so far

	station string
	batch   []sootline.Entry
	full    chan []sootline.Entry
	spare   chan []sootline.Entry // that were packed
	failed  <-chan struct{}
}

// batchSize is how many entries are handed over at a time.
const batchSize = 1024

// Append adds to a site's log as a station, which must have a name; see
// [Tx.StationAt]. The transaction is not to be used for anything else until it
// returns.
func (tx *Tx) Append(site sootline.ID, station string, do func(*Writer) error) error {
	if err := tx.hold(site); err != nil {
		return err
	}
	heads, err := readHeadRows(tx.ctx, tx.tx, tx.path, site)
	if err != nil {
		return err
	}
	station = stationAmong(heads, station)
	chain, err := tx.end(site, station)
	if err != nil {
		return err
	}
	pen, err := tx.takePen(site, station, heads, chain)
	if err != nil {
		return err
	}
	enc, err := newEncoder()
	if err != nil {
		return err
	}
	group, ctx := errgroup.WithContext(tx.ctx)
	w := &Writer{station: station, full: make(chan []sootline.Entry, 4), spare: make(chan []sootline.Entry, onTheWay), failed: ctx.Done()}
	s := newSealer(chain)
	p := &packer{tx: tx, enc: enc, page: newPage(), index: tx.newIndexer(site), spare: w.spare}
	group.Go(func() (err error) {
		defer close(s.sealed)
		defer sootline.Caught(&err)
		return s.seal(w.full, ctx.Done())
	})
	group.Go(func() (err error) {
		defer sootline.Caught(&err)
		return p.pack(s)
	})
	packing, err := w.written(do, group)
	if packing != nil && errors.Is(err, context.Canceled) {
		return packing // err only says that packing had stopped
	} else if packing != nil {
		return errors.Join(err, packing)
	}
	if err != nil || w.Added == 0 {
		return err
	}
	return pen.sign(s.chain)
}

// written has the caller write, and waits for what goes on beside it, also where
// the caller panics.
func (w *Writer) written(do func(*Writer) error, beside *errgroup.Group) (packing, err error) {
	defer func() {
		close(w.full)
		packing = beside.Wait()
	}()
	if err = do(w); err == nil && len(w.batch) > 0 {
		err = w.send()
	}
	return nil, err
}

// Add adds an entry; its station, number and hash are given to it on the way
// into the book. What it points to must stay as it is.
func (w *Writer) Add(e sootline.Entry) error {
	if w.batch == nil {
		w.batch = w.empty()
	}
	e.Station = w.station
	w.batch = append(w.batch, e)
	w.Added++
	if len(w.batch) < batchSize {
		return nil
	}
	return w.send()
}

// empty gives room for a batch: that of one which was packed, where there is one.
func (w *Writer) empty() []sootline.Entry {
	select {
	case packed := <-w.spare:
		return packed[:0]
	default:
		return make([]sootline.Entry, 0, batchSize)
	}
}

func (w *Writer) send() error {
	select {
	case w.full <- w.batch:
		w.batch = nil
		return nil
	case <-w.failed:
		return context.Canceled // the packer's own error says why
	}
}

// lines are entries in a row with their sealed lines, which end in text where ends says.
type lines struct {
	entries []sootline.Entry
	text    []byte
	ends    []int
}

// sealer seals entries into the chain of their station.
type sealer struct {
	chain  sootline.Chain
	sealed chan *lines
	free   chan *lines // that were packed
}

// onTheWay is how many batches of lines are sealed and not packed yet, at the most.
const onTheWay = 4

func newSealer(chain sootline.Chain) *sealer {
	s := &sealer{chain: chain, sealed: make(chan *lines, onTheWay), free: make(chan *lines, onTheWay)}
	for range onTheWay {
		s.free <- &lines{}
	}
	return s
}

// seal seals batch after batch, until there are no more or the work beside it failed.
func (s *sealer) seal(batches <-chan []sootline.Entry, failed <-chan struct{}) error {
	for batch := range batches {
		var l *lines
		select {
		case l = <-s.free:
		case <-failed:
			return context.Canceled // the packer's own error says why
		}
		l.entries, l.text, l.ends = batch, l.text[:0], l.ends[:0]
		for i := range batch {
			var err error
			if l.text, err = s.chain.Seal(l.text, &batch[i]); err != nil {
				return err
			}
			l.ends = append(l.ends, len(l.text))
		}
		s.sealed <- l // there is room for all that are free
	}
	return nil
}

// packer puts sealed lines into pages.
type packer struct {
	tx    *Tx
	enc   *zstd.Encoder
	page  *page
	index *indexer
	spare chan<- []sootline.Entry
}

func (p *packer) pack(s *sealer) error {
	for l := range s.sealed {
		from := 0
		for i, to := range l.ends {
			if err := p.add(l.text[from:to], &l.entries[i]); err != nil {
				return err
			}
			from = to
		}
		select {
		case p.spare <- l.entries:
		default: // there is one already
		}
		l.entries = nil
		s.free <- l
	}
	if p.page.text.Len() > 0 {
		if err := p.tx.putPage(p.page, p.enc, p.index); err != nil {
			return err
		}
	}
	return p.index.flush()
}

func (p *packer) add(line []byte, e *sootline.Entry) error {
	p.page.add(line, e)
	p.index.note(e)
	if p.page.text.Len() < pageSize {
		return nil
	}
	if err := p.tx.putPage(p.page, p.enc, p.index); err != nil {
		return err
	}
	p.page.text.Reset()
	return nil
}

func newEncoder() (*zstd.Encoder, error) {
	return zstd.NewWriter(nil, zstd.WithEncoderLevel(zstd.SpeedFastest), zstd.WithEncoderConcurrency(1))
}

// Import adds lines of another book's log as they are, seals and all. They must
// be of one site and station and follow one another.
func (tx *Tx) Import(lines []Line) error {
	if len(lines) == 0 {
		return nil
	}
	if err := tx.hold(lines[0].Entry.Site); err != nil {
		return err
	}
	enc, err := newEncoder()
	if err != nil {
		return err
	}
	p, index := newPage(), tx.newIndexer(lines[0].Entry.Site)
	for i := range lines {
		p.add(lines[i].Text, &lines[i].Entry)
		index.note(&lines[i].Entry)
		if p.text.Len() < pageSize && i+1 < len(lines) {
			continue
		}
		if err := tx.putPage(p, enc, index); err != nil {
			return err
		}
		p.text.Reset()
	}
	return index.flush()
}
