package app

import (
	"context"
	"errors"
	"sync"
	"time"

	"sootline"
	"sootline/internal/ear"
	"sootline/internal/store"
)

// Hearer listens to a source: what arrives is kept first, then read, then written. Whoever stops and starts it finds nothing
// lost and nothing twice.
type Hearer struct {
	Tell func(t *Told, again bool) // of each line; again: it was heard before, and is read now. Nil: nobody asks
	Say  func(string)              // of the connection

	app     *App
	site    store.SiteLine
	name    string
	days    int
	folder  string
	journal *ear.Journal
	lock    sync.Mutex
	reading *Listening // nil: it was not taught yet
	taught  sootline.Source
	mark    string    // of the log, when it was looked at last
	last    time.Time // when something came last
	silent  bool      // that nothing comes was told to the reader
	again   bool      // what was heard before is read again
	facts   heardFacts
	pace    pace
}

// settled is how long nothing comes before that ends what was being said.
const settled = 5 * time.Second

// Hearer opens what was heard of a source of a site, for the one who listens to it; it is kept for so many days.
func (a *App) Hearer(site store.SiteLine, name string, days int) (*Hearer, error) {
	folder, err := a.journalFolder(site.ID, name)
	if err != nil {
		return nil, err
	}
	journal, err := ear.OpenJournal(folder)
	if err != nil {
		return nil, err
	}
	h := &Hearer{app: a, site: site, name: name, days: days, folder: folder, journal: journal, last: a.Now(), Say: func(string) {}}
	h.facts = readFacts(folder)
	h.facts.Joined = false
	if err := journal.Trim(a.Now().AddDate(0, 0, -days)); err != nil {
		return nil, errors.Join(err, journal.Close())
	}
	return h, nil
}

// Close ends it.
func (h *Hearer) Close() error { return h.journal.Close() }

// Taught reports whether somebody taught how its lines are read.
func (h *Hearer) Taught() bool { return h.reading != nil }

// Zone is the time zone of the site, once its lines are read.
func (h *Hearer) Zone() *time.Location {
	if h.reading == nil {
		return time.UTC
	}
	return h.reading.Zone()
}

// Begin reads again what was heard last, so that nothing is lost that was heard and not written.
func (h *Hearer) Begin(ctx context.Context) error {
	mark, err := h.app.MarkOf(ctx, h.site.ID)
	if err != nil {
		return err
	}
	h.mark, h.reading = mark, nil
	reading, err := h.app.Listen(ctx, h.site, h.name)
	if sootline.ErrorCode(err) == sootline.NotFound {
		h.taught = sootline.Source{}
		return nil
	}
	if err != nil {
		return err
	}
	h.reading, h.taught, h.again = reading, reading.source, true
	first := true
	err = h.journal.Each(max(0, h.journal.Next()-readBack), func(at int64, one ear.Heard) error {
		if first {
			h.reading.Begin(at)
			h.last, first = one.At, false
		}
		return h.read(ctx, one)
	})
	if first {
		h.reading.Begin(h.journal.Next())
	}
	h.again = false
	return err
}

// Listen listens until ctx ends. What it writes it writes to its end.
func (h *Hearer) Listen(ctx context.Context, source ear.Source) error {
	writes := context.WithoutCancel(ctx)
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var quietly error
	var wait sync.WaitGroup
	wait.Add(1)
	go func() {
		defer wait.Done()
		defer cancel()
		defer sootline.Caught(&quietly)
		quietly = h.tick(ctx, writes)
	}()
	err := source.Listen(ctx, h.journal.Place(), ear.Out{
		Hear: func(one ear.Heard) error { return h.hear(writes, one) }, Say: h.say, Now: h.app.Now, Joined: h.joined,
	})
	cancel()
	wait.Wait()
	return errors.Join(err, quietly, h.keepFacts(func(f *heardFacts) { f.Joined = false }))
}

// End reads what waits.
func (h *Hearer) End(ctx context.Context) error {
	h.lock.Lock()
	defer h.lock.Unlock()
	return h.read(context.WithoutCancel(ctx), ear.Heard{At: h.app.Now()})
}

// hear keeps a piece, then reads it. What cannot be written now stays kept, and is read again.
func (h *Hearer) hear(ctx context.Context, one ear.Heard) error {
	h.lock.Lock()
	defer h.lock.Unlock()
	if h.pace.floods(one) {
		h.facts.Flood, h.facts.Turned = one.At, h.facts.Turned+h.pace.turned(&one)
		if err := h.facts.keep(h.folder); err != nil {
			return err
		}
	}
	if len(one.Bytes) == 0 {
		return nil
	}
	if err := h.journal.Add(one); err != nil {
		return err
	}
	h.silent = false
	if err := h.read(ctx, one); err != nil {
		h.Say("what was heard is kept, and is written later: " + err.Error())
		h.reading, h.mark, h.taught = nil, "", sootline.Source{}
	}
	return nil
}

func (h *Hearer) say(text string) {
	h.Say(text)
	if err := h.keepFacts(func(f *heardFacts) { f.Said = text }); err != nil {
		h.Say(err.Error())
	}
}

func (h *Hearer) joined(there bool) {
	if err := h.keepFacts(func(f *heardFacts) { f.Joined = there }); err != nil {
		h.Say(err.Error())
	}
}

func (h *Hearer) keepFacts(change func(*heardFacts)) error {
	h.lock.Lock()
	defer h.lock.Unlock()
	change(&h.facts)
	return h.facts.keep(h.folder)
}

// trimEvery is how often what is older than it need be is removed.
const trimEvery = time.Hour

// tick tells the reader when nothing comes, for a line that waits for another is whole then; sees what somebody taught
// meanwhile; and removes what is old.
func (h *Hearer) tick(ctx, writes context.Context) error {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	trimmed := h.app.Now()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
		if err := h.second(writes, &trimmed); err != nil {
			return err
		}
	}
}

func (h *Hearer) second(ctx context.Context, trimmed *time.Time) error {
	h.lock.Lock()
	defer h.lock.Unlock()
	now := h.app.Now()
	if now.Sub(*trimmed) > trimEvery {
		*trimmed = now
		if err := h.journal.Trim(now.AddDate(0, 0, -h.days)); err != nil {
			return err
		}
	}
	if err := h.relearn(ctx); err != nil {
		h.Say(err.Error()) // the next second tries again
		h.reading, h.mark = nil, ""
		return nil
	}
	if h.silent || now.Sub(h.last) < settled {
		return nil
	}
	h.silent = true
	if err := h.read(ctx, ear.Heard{At: now}); err != nil {
		h.Say("what was heard is kept, and is written later: " + err.Error())
		h.reading, h.mark, h.taught = nil, "", sootline.Source{}
	}
	return nil
}

// relearn sees whether somebody taught, or took back, how its lines are read.
func (h *Hearer) relearn(ctx context.Context) error {
	mark, err := h.app.MarkOf(ctx, h.site.ID)
	if err != nil || mark == h.mark {
		return err
	}
	r, err := h.app.Register(ctx, h.site.ID, time.Time{})
	if err != nil {
		return err
	}
	h.mark = mark
	if s := r.Sources[h.name]; s.Style == h.taught.Style && (s.Style == "" || s.Panel == h.taught.Panel) {
		return nil
	}
	return h.Begin(ctx)
}

// read hands a piece to the reader, and tells what became of it.
func (h *Hearer) read(ctx context.Context, one ear.Heard) error {
	if h.reading == nil {
		return nil
	}
	if len(one.Bytes) > 0 {
		if one.At.Sub(h.last) >= settled {
			if err := h.hand(ctx, one.At, nil); err != nil {
				return err
			}
		}
		h.last = one.At
	}
	return h.hand(ctx, one.At, one.Bytes)
}

func (h *Hearer) hand(ctx context.Context, at time.Time, b []byte) error {
	told, err := h.reading.Hear(ctx, at, b)
	for i := range told {
		if h.Tell != nil {
			h.Tell(&told[i], h.again)
		}
	}
	return err
}
