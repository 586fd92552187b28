package app

import (
	"context"

	"sootline"
	"sootline/internal/live"
	"sootline/internal/store"
)

// ReadAgain is what came of reading again what was kept of a source, by how its lines are read now.
type ReadAgain struct {
	Lines     int
	Same      int                    // entries that say what they said
	New       []sootline.Entry       // lines that were not understood before
	Corrected []sootline.Entry       // as they were written; a correction is added to each
	Says      map[sootline.ID]string // what they say now
	Left      int                    // entries that somebody amended: they stay as they are
}

// againWhy is why an entry is corrected that was written from what was heard.
const againWhy = "what was heard was read again, by how its lines are read now"

// ReadAgain reads again what was kept of a source. Where that says something else than what was written, and nobody amended it, a
// correction is added; nothing is changed or taken away in silence. Without write it tells what it would do.
func (a *App) ReadAgain(ctx context.Context, site store.SiteLine, source string, write bool) (*ReadAgain, error) {
	l, err := a.Listen(ctx, site, source)
	if err != nil {
		return nil, err
	}
	heard, err := a.heardFrom(site.ID, source, -wholeJournal)
	if err != nil {
		return nil, err
	}
	log, err := a.LogOf(ctx, site.ID)
	if err != nil {
		return nil, err
	}
	written := map[sootline.ID]*sootline.Entry{}
	for _, e := range log.Entries() {
		written[e.ID] = e
	}
	found := &ReadAgain{Says: map[sootline.ID]string{}}
	l.Begin(heard.From)
	each := func(lines []live.Line) error {
		for i := range lines {
			found.Lines++
			for _, e := range l.entriesOf(&lines[i]) {
				if err := found.compare(ctx, l, log, written[e.ID], e, write); err != nil {
					return err
				}
			}
		}
		return nil
	}
	if err := l.readAll(heard.Chunks, each); err != nil || !write {
		return found, err
	}
	_, err = a.addOnce(ctx, site.ID, found.New)
	return found, err
}

// readAll reads pieces as they came, with the silences between them, and what is left at their end.
func (l *Listening) readAll(heard []live.Chunk, each func([]live.Line) error) error {
	for i, c := range heard {
		if i > 0 && c.At.Sub(heard[i-1].At) >= settled {
			if err := each(l.reader.Hear(c.At, nil)); err != nil {
				return err
			}
		}
		if err := each(l.reader.Hear(c.At, c.Bytes)); err != nil {
			return err
		}
	}
	return each(l.reader.End())
}

// wholeJournal is more bytes than are ever kept of a source.
const wholeJournal = 1 << 40

// compare holds what a line says now against what was written of it.
func (f *ReadAgain) compare(ctx context.Context, l *Listening, log *sootline.Log, was *sootline.Entry, e sootline.Entry, write bool) error {
	if was == nil {
		f.New = append(f.New, e)
		return nil
	}
	holds := *was
	if amended := log.Amendment(was.ID); amended != nil {
		c, ok := amended.Body.(sootline.Corrected)
		if !ok || c.Why != againWhy {
			f.Left++
			return nil
		}
		holds.Body, holds.Point = c.Body, c.Point
	}
	same, err := saysTheSame(holds, e)
	if err != nil || same {
		f.Same++
		return err
	}
	f.Corrected = append(f.Corrected, *was)
	f.Says[was.ID] = sootline.Say(e.Body)
	if !write {
		return nil
	}
	text, err := sootline.AppendSaid(nil, &e)
	if err != nil {
		return err
	}
	m := Amendment{ID: sootline.DerivedID(e.At, append([]byte(was.ID.String()+"\x00"), text...)), Entry: was.ID, Why: againWhy, Sure: true}
	_, err = l.app.Correct(ctx, l.site.ID, m, func(sootline.Entry) (sootline.Corrected, error) {
		return sootline.Corrected{At: e.At, Point: e.Point, Body: e.Body}, nil
	})
	return err
}
