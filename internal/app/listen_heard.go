package app

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"sootline"
	"sootline/internal/ear"
	"sootline/internal/live"
	"sootline/internal/store"
)

// Of what was heard, so many bytes are read again when listening begins, and so many a lesson is taken from: the last ones.
const (
	readBack   = 1 << 20
	lessonMost = 256 << 10
)

// journalFolder is where what a source said is kept: beside the book.
func (a *App) journalFolder(site sootline.ID, source string) (string, error) {
	if err := a.Who.MaySee(site); err != nil {
		return "", err
	}
	if err := sourceName(source); err != nil {
		return "", err
	}
	if a.Heard == "" {
		return "", sootline.Errorf(sootline.Unavailable, "ask whoever runs it", "nothing that is heard is kept here")
	}
	return filepath.Join(a.Heard, site.String(), source), nil
}

// heardNames lists the sources of which something was heard on this machine.
func (a *App) heardNames(site sootline.ID) ([]string, error) {
	if a.Heard == "" {
		return nil, nil
	}
	folders, err := os.ReadDir(filepath.Join(a.Heard, site.String()))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, sootline.Errorf(sootline.Unavailable, "look at its folder", "cannot read what was heard: %w", err)
	}
	var names []string
	for _, f := range folders {
		if f.IsDir() && sourceName(f.Name()) == nil {
			names = append(names, f.Name())
		}
	}
	return names, nil
}

// HeardOf is a part of what was heard of a source: From is where in the whole of it the part begins.
type HeardOf struct {
	From   int64
	Chunks []live.Chunk
	texts  []string // of the site's points: they tell the code page
}

// LastHeard gives what a lesson is taken from.
func (a *App) LastHeard(ctx context.Context, site sootline.ID, source string) (*HeardOf, error) {
	h, err := a.heardFrom(site, source, -lessonMost)
	return a.withTexts(ctx, site, h, err)
}

// withTexts adds the texts of the site's points.
func (a *App) withTexts(ctx context.Context, site sootline.ID, h *HeardOf, err error) (*HeardOf, error) {
	if err != nil {
		return nil, err
	}
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return nil, err
	}
	for _, p := range r.Points() {
		h.texts = append(h.texts, p.Location)
	}
	return h, nil
}

// HeardFrom gives what was heard from a place on that [App.LastHeard] gave, so that its lines have the same numbers.
func (a *App) HeardFrom(ctx context.Context, site sootline.ID, source string, from int64) (*HeardOf, error) {
	if from < 0 {
		return nil, sootline.Errorf(sootline.Invalid, "begin again with the lines as they are now", "there is no place %d in what was heard", from)
	}
	h, err := a.heardFrom(site, source, from)
	if err == nil && h.From != from {
		err = sootline.Errorf(sootline.Conflict, "begin again with the lines as they are now", "what was shown is not kept any more, or too much came since")
	}
	return a.withTexts(ctx, site, h, err)
}

// heardFrom reads what was kept from a place on, or the last so many bytes where it is below zero.
func (a *App) heardFrom(site sootline.ID, source string, from int64) (*HeardOf, error) {
	folder, err := a.journalFolder(site, source)
	if err != nil {
		return nil, err
	}
	journal, err := ear.LookAt(folder)
	if err != nil {
		return nil, err
	}
	last := from < 0
	if last {
		from = max(0, journal.Next()+from)
	}
	h := &HeardOf{From: from}
	if !last && journal.Next()-from > 8*lessonMost {
		h.From = -1
		return h, nil
	}
	err = journal.Each(from, func(at int64, one ear.Heard) error {
		if len(h.Chunks) == 0 {
			h.From = at
		}
		h.Chunks = append(h.Chunks, live.Chunk{At: one.At, Bytes: one.Bytes})
		return nil
	})
	return h, err
}

// SourceState is how a source does.
type SourceState string

// How a source does. Of one that says little for long nobody knows more than that: it may have nothing to say.
const (
	Unheard  SourceState = "nobody listens to it now"
	Gone     SourceState = "the other side is gone"
	Flooding SourceState = "it says more than a panel has to say"
	Quiet    SourceState = "it has been silent for longer than it was before"
	Hears    SourceState = "it is listened to"
)

// SourceStatus is what there is to tell of a source.
type SourceStatus struct {
	sootline.Source
	State  SourceState
	Last   time.Time     // zero: nothing was heard yet
	Said   string        // what was told of the connection last
	Lines  int           // heard last
	Values int           // heard last, of a source of values
	Read   int           // of them, records that are read
	Unread []UnreadLines // why lines are not, the most frequent first
	Turned int64         // bytes that came too fast, and were not kept
}

// UnreadLines is why lines were kept as heard, how many, and the last of them.
type UnreadLines struct {
	Why   live.Reason
	Lines int
	Last  string
}

// SourcesOf tells of the sources of a site.
func (a *App) SourcesOf(ctx context.Context, site store.SiteLine) ([]SourceStatus, error) {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return nil, err
	}
	heard, err := a.heardNames(site.ID)
	if err != nil {
		return nil, err
	}
	var all []SourceStatus
	for _, name := range sourceNames(r, heard) {
		s, err := a.sourceStatus(ctx, site, r.Sources[name], name)
		if err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}

func (a *App) sourceStatus(ctx context.Context, site store.SiteLine, kept sootline.Source, name string) (SourceStatus, error) {
	kept.Name = name
	s := SourceStatus{Source: kept, State: Unheard}
	if a.Heard == "" {
		return s, nil
	}
	heard, err := s.look(a, site.ID)
	if err != nil {
		return s, err
	}
	s.Lines = len(live.HeardLines(heard.Chunks, nil))
	if ear.Kind(kept.Via).OfValues() {
		s.Lines, s.Values = 0, len(heard.Chunks)
	}
	if kept.Style == "" || ear.Kind(kept.Via).OfValues() {
		return s, nil
	}
	lines, err := a.HeardAs(ctx, site, name, heard.Chunks)
	s.Read, s.Unread = reasonsOf(lines)
	return s, err
}

// SourceTrouble is a source about which somebody should look.
type SourceTrouble struct {
	Name  string
	State SourceState
}

// SourceTroubles tells which sources, of those that are kept with a site and were heard on this machine, are not as they should be.
func (a *App) SourceTroubles(site sootline.ID, names []string) ([]SourceTrouble, error) {
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
	if len(names) == 0 {
		return nil, nil
	}
	here, err := a.heardNames(site)
	if err != nil {
		return nil, err
	}
	var all []SourceTrouble
	for _, name := range names {
		if !slices.Contains(here, name) {
			continue
		}
		s := SourceStatus{Source: sootline.Source{Name: name}}
		if _, err := s.look(a, site); err != nil {
			return nil, err
		}
		if s.State != Hears {
			all = append(all, SourceTrouble{name, s.State})
		}
	}
	return all, nil
}

// look says how the source does by what was heard last, which it gives.
func (s *SourceStatus) look(a *App, site sootline.ID) (*HeardOf, error) {
	folder, err := a.journalFolder(site, s.Name)
	if err != nil {
		return nil, err
	}
	heard, err := a.heardFrom(site, s.Name, -lessonMost)
	if err != nil {
		return nil, err
	}
	if n := len(heard.Chunks); n > 0 {
		s.Last = heard.Chunks[n-1].At
	}
	s.state(folder, heard.Chunks, a.Now())
	return heard, nil
}

// A silence is told when it is twice as long as the longest before, and a day at least: chosen here, no source.
const silentLeast = 24 * time.Hour

// state says how the source does.
func (s *SourceStatus) state(folder string, heard []live.Chunk, now time.Time) {
	facts := readFacts(folder)
	s.Said, s.Turned = facts.Said, facts.Turned
	var gap time.Duration
	for i := 1; i < len(heard); i++ {
		gap = max(gap, heard[i].At.Sub(heard[i-1].At))
	}
	switch {
	case !ear.Added(folder):
		s.State = Unheard
	case !facts.Joined:
		s.State = Gone
	case now.Sub(facts.Flood) < floodTold:
		s.State = Flooding
	case len(heard) > 0 && now.Sub(s.Last) > max(2*gap, silentLeast):
		s.State = Quiet
	default:
		s.State = Hears
	}
}

// join keeps that the other side is there, or gone. What was told of a connection that failed is over when it is there again.
func (f *heardFacts) join(there bool) {
	if there && !f.Joined {
		f.Said = ""
	}
	f.Joined = there
}

// heardFacts are what whoever listens keeps beside what was heard, so that others can tell.
type heardFacts struct {
	Joined bool      `json:"joined"`
	Said   string    `json:"said,omitempty"`
	Flood  time.Time `json:"flood,omitzero"`   // when it said too much last
	Turned int64     `json:"turned,omitempty"` // bytes that were not kept for that
}

const factsName = "state.json"

// readFacts reads them; where they cannot be read, nothing is known.
func readFacts(folder string) (f heardFacts) {
	text, err := os.ReadFile(filepath.Join(folder, factsName))
	if err != nil || json.Unmarshal(text, &f) != nil {
		return heardFacts{}
	}
	return f
}

func (f heardFacts) keep(folder string) error {
	text, err := json.Marshal(f)
	if err != nil {
		return err
	}
	path := filepath.Join(folder, factsName)
	if err := os.WriteFile(path+".new", text, 0o600); err != nil {
		return sootline.Errorf(sootline.Unavailable, "look at its folder", "cannot keep how a source does: %w", err)
	}
	return os.Rename(path+".new", path)
}

// reasonsOf counts the records that are read, and by the reason the lines that are not.
func reasonsOf(lines []live.Line) (read int, all []UnreadLines) {
	for _, l := range lines {
		if l.Read != nil {
			read++
		}
		if l.Read != nil || l.Shown == "" {
			continue
		}
		i := slices.IndexFunc(all, func(n UnreadLines) bool { return n.Why == l.Why })
		if i < 0 {
			i, all = len(all), append(all, UnreadLines{Why: l.Why})
		}
		all[i].Lines++
		all[i].Last = l.Shown
	}
	slices.SortFunc(all, func(a, b UnreadLines) int { return cmp.Or(b.Lines-a.Lines, cmp.Compare(a.Why, b.Why)) })
	return read, all
}
