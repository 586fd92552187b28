package app

import (
	"context"
	"errors"
	"slices"
	"time"

	"sootline"
	"sootline/internal/ear"
	"sootline/internal/store"
)

// SourcesHeard listens to the sources that are kept with the sites of a book, each beside the others.
type SourcesHeard struct {
	App     *App
	MayOpen []string     // paths of this machine that a source may name
	Say     func(string) // of sources; may be called by several goroutines
	Days    int          // what was heard is kept so long
	Notices *Notices     // who is told of alarms and faults; nil: nobody asked

	running map[heardKey]*heardRun
	marks   map[sootline.ID]string
}

type heardKey struct {
	site sootline.ID
	name string
}

// heardRun is a source that is listened to.
type heardRun struct {
	kept  sootline.Source
	stop  func()
	ended chan struct{}
	since time.Time
}

// over reports whether it ended by itself.
func (r *heardRun) over() bool {
	select {
	case <-r.ended:
		return true
	default:
		return false
	}
}

// How often logs are looked at for sources that were added, and how long one that ended by an error is left.
const (
	lookForSources = 2 * time.Second
	leftAfterError = 30 * time.Second
)

// Run listens until ctx ends.
func (h *SourcesHeard) Run(ctx context.Context) error {
	h.running, h.marks = map[heardKey]*heardRun{}, map[sootline.ID]string{}
	defer h.stopAll()
	tick := time.NewTicker(lookForSources)
	defer tick.Stop()
	for {
		if err := h.look(ctx); err != nil && ctx.Err() == nil {
			h.Say("sources are not looked at: " + err.Error())
		}
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
}

func (h *SourcesHeard) stopAll() {
	for _, run := range h.running {
		run.stop()
	}
	for _, run := range h.running {
		<-run.ended
	}
}

// look begins what is new, and ends what is kept no more or elsewhere now.
func (h *SourcesHeard) look(ctx context.Context) error {
	lines, err := h.App.Sites(ctx)
	if err != nil {
		return err
	}
	var failed error
	for _, line := range lines {
		failed = errors.Join(failed, h.lookAt(ctx, line))
	}
	for key, run := range h.running {
		if !slices.ContainsFunc(lines, func(l store.SiteLine) bool { return l.ID == key.site }) {
			h.end(key, run)
		}
	}
	return failed
}

func (h *SourcesHeard) end(key heardKey, run *heardRun) {
	run.stop()
	<-run.ended
	delete(h.running, key)
}

func (h *SourcesHeard) lookAt(ctx context.Context, line store.SiteLine) error {
	again := false
	for key, run := range h.running {
		if key.site == line.ID && run.over() && time.Since(run.since) > leftAfterError {
			h.end(key, run)
			again = true
		}
	}
	mark, err := h.App.MarkOf(ctx, line.ID)
	if err != nil || mark == h.marks[line.ID] && !again {
		return err
	}
	r, err := h.App.Register(ctx, line.ID, time.Time{})
	if err != nil {
		return err
	}
	h.marks[line.ID] = mark
	for key, run := range h.running {
		if key.site == line.ID && !sameEar(run.kept, r.Sources[key.name]) {
			h.end(key, run)
		}
	}
	for name, kept := range r.Sources {
		if key := (heardKey{line.ID, name}); kept.Via != "" && h.running[key] == nil {
			h.running[key] = h.begin(ctx, line, kept)
		}
	}
	return nil
}

// sameEar reports whether two sources are heard alike, however they are read.
func sameEar(a, b sootline.Source) bool {
	a.Style, a.Panel, a.Text = b.Style, b.Panel, b.Text
	return a == b
}

func (h *SourcesHeard) begin(ctx context.Context, line store.SiteLine, kept sootline.Source) *heardRun {
	ctx, cancel := context.WithCancel(ctx)
	run := &heardRun{kept: kept, stop: cancel, ended: make(chan struct{}), since: time.Now()}
	say := func(text string) { h.Say(line.Name + ", " + kept.Name + ": " + text) }
	go func() {
		defer close(run.ended)
		var err error
		defer func() {
			if err != nil {
				say(err.Error())
			}
		}()
		defer sootline.Caught(&err)
		err = h.hear(ctx, line, kept, say)
	}()
	return run
}

// hear listens to one source.
func (h *SourcesHeard) hear(ctx context.Context, line store.SiteLine, kept sootline.Source, say func(string)) (err error) {
	kind := ear.Kind(kept.Via)
	if kind.OfMachine() && !slices.Contains(h.MayOpen, kept.Address) {
		return sootline.Errorf(sootline.Forbidden, "name it when the server is started", "%s is a path of this machine that the server was not told to open", kept.Address)
	}
	if kind.OfValues() {
		return h.hearValues(ctx, line, kept, say)
	}
	source, err := ear.Open(kind, kept.Address, kept.Speed)
	if err != nil {
		return err
	}
	hearer, err := h.App.Hearer(line, kept.Name, h.Days)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, hearer.Close()) }()
	hearer.Say = say
	if h.Notices != nil {
		hearer.Tell = func(t *Told, _ bool) { h.Notices.Heard(line.ID, line.Name, t, hearer.Zone()) }
	}
	if err := hearer.Begin(context.WithoutCancel(ctx)); err != nil {
		return err
	}
	if err := hearer.Listen(ctx, source); err != nil {
		return err
	}
	return hearer.End(ctx)
}

// hearValues takes the values of one source.
func (h *SourcesHeard) hearValues(ctx context.Context, line store.SiteLine, kept sootline.Source, say func(string)) (err error) {
	hearer, err := h.App.ValueHearer(context.WithoutCancel(ctx), line, kept, h.Days)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, hearer.Close()) }()
	hearer.Say = say
	return hearer.Listen(ctx)
}
