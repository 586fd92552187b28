package app

import (
	"context"
	"errors"
	"sync"
	"time"

	"sootline"
	"sootline/internal/keep"
)

// Keeping keeps backups of an open book by a schedule, and drills them. It may be
// used by several goroutines; one of them runs it.
type Keeping struct {
	App    *App
	Places []keep.Place
	Keys   keep.Keys
	Every  time.Duration     // how often, where something was written since
	Tell   func(line string) // what is told whoever looks after the server

	mu      sync.Mutex
	soon    bool                 // not to wait for the next time
	drilled map[string]bool      // places, since the program began
	looked  map[string]time.Time // when it was last looked whether what was kept in a place is there
	nudge   chan struct{}
}

const (
	lookEvery   = 10 * time.Second // for what is due
	missEvery   = time.Minute      // for what is not there any more
	retryAfter  = 10 * time.Minute // at most, where a place failed
	drillAfter  = 24 * time.Hour   // at least, between two drills of a place
	drillAnyway = 6 * 24 * time.Hour
)

// NewKeeping begins to keep backups; Run must be called.
func NewKeeping(a *App, places []keep.Place, keys keep.Keys, every time.Duration, tell func(string)) *Keeping {
	return &Keeping{App: a, Places: places, Keys: keys, Every: every, Tell: tell, drilled: map[string]bool{}, looked: map[string]time.Time{}, nudge: make(chan struct{}, 1)}
}

// Soon asks for a backup now, as after a visit.
func (k *Keeping) Soon() {
	k.mu.Lock()
	k.soon = true
	k.mu.Unlock()
	select {
	case k.nudge <- struct{}{}:
	default: // it is asked already
	}
}

// Run does what is due until the context ends. Whatever fails is noted and told of,
// and tried again.
func (k *Keeping) Run(ctx context.Context) {
	for {
		k.Look(ctx)
		select {
		case <-ctx.Done():
			return
		case <-k.nudge:
		case <-time.After(lookEvery):
		}
	}
}

// Look does what is due now.
func (k *Keeping) Look(ctx context.Context) {
	var broken error
	defer func() { k.tell(broken) }()
	defer sootline.Caught(&broken)
	k.keep(ctx)
	for _, place := range k.Places {
		if ctx.Err() == nil && k.drillDue(place) {
			k.drill(ctx, place)
		}
	}
}

func (k *Keeping) tell(err error) {
	if err != nil && !errors.Is(err, context.Canceled) {
		k.Tell("Backups: " + sentenceOf(err))
	}
}

func (k *Keeping) state() keep.State {
	state, err := keep.ReadState(BackupsFile(k.App.Book.Path()))
	k.tell(err) // then everything is due
	return state
}

// keep brings a backup to every place where one is due and that does not hold
// already what the book holds.
func (k *Keeping) keep(ctx context.Context) {
	k.mu.Lock()
	soon := k.soon
	k.soon = false
	k.mu.Unlock()
	now, state := k.App.Now(), k.state()
	var due []keep.Place
	for _, place := range k.Places {
		if soon || k.due(state.Places[place.String()], now) || k.missing(ctx, place, state.Places[place.String()], now) {
			due = append(due, place)
		}
	}
	if len(due) == 0 {
		return
	}
	mark, err := k.App.Book.Mark(ctx)
	if err != nil {
		k.tell(k.App.noteFailed(due, now, err))
		return
	}
	holds := fingerprint(mark)
	var lacking, content []keep.Place
	for _, place := range due {
		if p := state.Places[place.String()]; p.Last != nil && p.Holds == holds && k.isThere(ctx, place, *p.Last) {
			content = append(content, place)
		} else {
			lacking = append(lacking, place)
		}
	}
	k.tell(k.noteSeen(content, now))
	for _, place := range content {
		if state.Places[place.String()].Failed != "" {
			k.thin(ctx, place) // what failed may have been that
		}
	}
	if len(lacking) == 0 {
		return
	}
	_, trouble, err := k.App.KeepBackup(ctx, k.Keys, lacking...)
	k.tell(trouble)
	k.tell(err)
	for _, place := range lacking {
		if k.state().Places[place.String()].Failed == "" {
			if state.Places[place.String()].Gone == nil {
				k.tell(k.App.GoneFrom(place))
			}
			k.thin(ctx, place)
		}
	}
}

// isThere looks whether a copy is still in its place, and as large: somebody may have
// taken it away.
// Where the place cannot be asked, a new backup will tell why.
func (k *Keeping) isThere(ctx context.Context, place keep.Place, kept keep.Copy) bool {
	all, err := keep.List(ctx, place)
	return err == nil && keep.Lies(all, kept)
}

// missing tells whether the newest backup of a place is known not to be there any more,
// and a new one is due at once. It looks now and then; where the last try failed, the
// next one looks.
func (k *Keeping) missing(ctx context.Context, place keep.Place, p keep.PlaceState, now time.Time) bool {
	since := now.Sub(k.looked[place.String()])
	if p.Last == nil || p.Failed != "" || since >= 0 && since < missEvery {
		return false
	}
	k.looked[place.String()] = now
	all, err := keep.List(ctx, place)
	return (err == nil || sootline.ErrorCode(err) == sootline.NotFound) && !keep.Lies(all, *p.Last)
}

// due tells whether a place is to be looked after: its time has come, or the clock
// was set back.
func (k *Keeping) due(p keep.PlaceState, now time.Time) bool {
	wait := k.Every
	if p.Failed != "" {
		wait = min(wait, retryAfter)
	}
	return p.Tried.After(now) || now.Sub(p.Tried) >= wait
}

func (k *Keeping) noteSeen(places []keep.Place, now time.Time) error {
	if len(places) == 0 {
		return nil
	}
	return keep.Change(BackupsFile(k.App.Book.Path()), func(s *keep.State) {
		for _, place := range places {
			p := s.Places[place.String()]
			p.Seen, p.Tried = now, now
			if p.Gone != nil && p.Gone.Copy.Name() == p.Last.Name() {
				p.Gone = nil // it is there again
			}
			s.Places[place.String()] = p
		}
	})
}

// thin removes from a place what is too much, and notes how that went. What last
// passed a drill stays.
func (k *Keeping) thin(ctx context.Context, place keep.Place) {
	p := k.state().Places[place.String()]
	err := keep.Thin(ctx, place, k.App.Now(), func(name string) bool {
		return p.Passed != nil && name == p.Passed.Copy.Name() || p.Last != nil && name == p.Last.Name()
	})
	if ctx.Err() != nil {
		return
	}
	k.tell(err)
	k.tell(keep.Change(BackupsFile(k.App.Book.Path()), func(s *keep.State) {
		p := s.Places[place.String()]
		p.Failed = ""
		if err != nil {
			p.Failed = "the backup is kept, and those that are too many are not removed: " + sentenceOf(err)
		}
		s.Places[place.String()] = p
	}))
}

// drillDue tells whether the newest backup of a place is to be tried: when the
// program began, then once a day where there is a new one, else before a week is over.
func (k *Keeping) drillDue(place keep.Place) bool {
	p, now := k.state().Places[place.String()], k.App.Now()
	if p.Last == nil || !k.drillable(p) {
		return false
	}
	k.mu.Lock()
	first := !k.drilled[place.String()]
	k.mu.Unlock()
	if first || p.Drill == nil || p.Drill.At.After(now) {
		return true
	}
	since := now.Sub(p.Drill.At)
	return since >= drillAnyway || since >= drillAfter && p.Last.At.After(p.Drill.Copy.At)
}

// drillable tells whether the key to the newest backup is here, where it needs one.
func (k *Keeping) drillable(p keep.PlaceState) bool {
	return p.Last == nil || !p.Last.Encrypted || len(k.Keys.With) > 0
}

func (k *Keeping) drill(ctx context.Context, place keep.Place) {
	k.mu.Lock()
	k.drilled[place.String()] = true
	k.mu.Unlock()
	drilled, err := k.App.drillAndNote(ctx, place, k.Keys, k.App.Now()) // what is dated later is told of on the page
	k.tell(err)
	if err != nil && ctx.Err() == nil { // here nobody else learns that it could not be done
		k.tell(k.App.noteDrilled(place, drilled.Copy, err))
	}
}
