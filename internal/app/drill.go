package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"sootline"
	"sootline/internal/keep"
	"sootline/internal/store"
)

// Drilled is what a drill found in a backup that passed it.
type Drilled struct {
	Copy   keep.Copy
	Sites  int
	Lines  int
	Photos int

	Compared bool  // with the open book
	Known    bool  // what was acknowledged before the backup began was written down, and all of it is there
	Since    int64 // lines that the open book has more
	Before   int64 // lines that the backup has and the open book lacks, as after a restore
	Gone     error // says what was kept in the place before and is not there any more, or nil
}

// Drill fetches a backup, the newest or the newest not after an instant, puts it
// back in a folder of its own as a restore does, and looks at all of it: the file,
// the index, the chains of every site with the signed heads, the photos. Then it
// compares it with the book that is open, where one is, which is not touched. What
// does not pass is an error. What is found is noted beside the open book; that it
// could not be done, as with another key, is not. One that passes takes away the notice
// that earlier backups are gone from the place: whoever asked for it has seen that.
func (a *App) Drill(ctx context.Context, place keep.Place, keys keep.Keys, until time.Time) (Drilled, error) {
	if err := a.needs(sootline.Manager); err != nil {
		return Drilled{}, err
	}
	if err := a.mayCompare(); err != nil {
		return Drilled{}, err
	}
	gone := a.GoneFrom(place)
	drilled, err := a.drillAndNote(ctx, place, keys, until)
	if err == nil && gone != nil {
		drilled.Gone = gone
		err = a.changePlace(place, func(p *keep.PlaceState) { p.Gone = nil })
	}
	return drilled, err
}

// mayCompare refuses to hold a backup, which is a copy of a file, against a book that lies in a
// database. Where no book is open, nothing is compared.
func (a *App) mayCompare() error {
	if a.Book == nil {
		return nil
	}
	return a.Book.MayCopy()
}

// drillAndNote is a drill that nobody need have asked for.
func (a *App) drillAndNote(ctx context.Context, place keep.Place, keys keep.Keys, until time.Time) (Drilled, error) {
	kept, err := keep.Choose(ctx, place, until, a.Now())
	drilled := Drilled{Copy: kept}
	if err == nil {
		err = a.drill(ctx, place, keys, &drilled)
	}
	if err != nil && sootline.ErrorCode(err) != sootline.Damaged {
		return drilled, err
	}
	return drilled, errors.Join(err, a.noteDrilled(place, kept, err))
}

func (a *App) drill(ctx context.Context, place keep.Place, keys keep.Keys, drilled *Drilled) (err error) {
	folder, err := a.aside()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	fetched, path := filepath.Join(folder, "fetched.db"), filepath.Join(folder, "book.db")
	if err := keep.Fetch(ctx, place, drilled.Copy, fetched, keys.With); err != nil {
		return BadBackup(ctx, place, drilled.Copy, folder, err)
	}
	failed := func(err error) error { return a.badOrBook(ctx, place, drilled.Copy, folder, err) }
	if _, err := store.Restore(ctx, fetched, path, nil); err != nil {
		return failed(err)
	}
	book, err := store.Open(ctx, path, false, nil)
	if err != nil {
		return failed(err)
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	restored := &App{Book: book, Who: a.Who, Now: a.Now, Random: a.Random}
	if err := restored.examine(ctx, drilled); err != nil {
		return failed(err)
	}
	if a.Book == nil {
		return nil
	}
	return a.compare(ctx, book, drilled)
}

// examine looks at everything in a book that was put back.
func (a *App) examine(ctx context.Context, drilled *Drilled) error {
	if err := a.Book.Check(ctx); err != nil {
		return err
	}
	if err := a.Book.CheckSecurityEvents(ctx); err != nil {
		return err
	}
	sites, err := a.Book.Sites(ctx)
	if err != nil {
		return err
	}
	drilled.Sites = len(sites)
	for _, site := range sites {
		v, err := a.Verify(ctx, site.ID)
		if err != nil {
			return err
		}
		if len(v.Faults) > 0 {
			return sootline.Errorf(sootline.Damaged, "", "site %s: %w (the first of %d faults)", site.Name, v.Faults[0], len(v.Faults))
		}
		drilled.Lines += v.Lines
	}
	sound, bad, err := a.Book.SoundPhotos(ctx)
	if err == nil && len(bad) > 0 {
		err = sootline.Errorf(sootline.Damaged, "", "photo %s is not the one that was kept (the first of %d)", bad[0], len(bad))
	}
	drilled.Photos = sound
	return err
}

// compare holds the book that was put back against the open one: none of what was
// acknowledged before the backup began may be missing, and where both have a line,
// it must be the same.
func (a *App) compare(ctx context.Context, restored *store.Store, drilled *Drilled) error {
	there, err := restored.Mark(ctx)
	if err != nil {
		return err
	}
	here, err := a.Book.Mark(ctx)
	if err != nil {
		return err
	}
	state, err := keep.ReadState(BackupsFile(a.Book.Path()))
	if err != nil {
		return err
	}
	if text, known := state.Marks[drilled.Copy.Name()]; known {
		var began store.Mark
		if err := json.Unmarshal(text, &began); err != nil {
			return sootline.Errorf(sootline.Damaged, "keep another backup", "what is written down of backup %s cannot be read: %w", drilled.Copy.Name(), err)
		}
		if err := lacksNothing(ctx, restored, there, began, drilled); err != nil {
			return err
		}
		drilled.Known = true
	} else if err := a.lacksNoted(ctx, there, here, drilled.Copy); err != nil {
		return err
	}
	drilled.Compared = true
	return a.parted(ctx, restored, there, here, drilled)
}

// chainName names a station's chain in a site's log.
type chainName struct {
	site    sootline.ID
	station string
}

func chainOf(end store.End) chainName { return chainName{end.Site, end.Station} }

// chainsOf gives where the chains of a mark end.
func chainsOf(mark store.Mark) map[chainName]sootline.Head {
	ends := map[chainName]sootline.Head{}
	for _, end := range mark.Ends {
		ends[chainOf(end)] = end.Head
	}
	return ends
}

// lacksNothing refuses a backup that lacks what was acknowledged before it began.
func lacksNothing(ctx context.Context, restored *store.Store, there, began store.Mark, drilled *Drilled) error {
	ends := chainsOf(there)
	var lacking int64
	for _, end := range began.Ends {
		if have := ends[chainOf(end)].Seq; have < end.Seq {
			lacking += end.Seq - have
			continue
		}
		hash, _, err := restored.HashAt(ctx, end.Site, end.Station, end.Seq)
		if err != nil {
			return err
		}
		if hash != end.Hash {
			return partedAt(drilled.Copy, end)
		}
	}
	var what string
	switch {
	case lacking > 0:
		what = fmt.Sprintf("%d lines", lacking)
	case there.Photos < began.Photos:
		what = fmt.Sprintf("%d photos", began.Photos-there.Photos)
	case there.Events < began.Events:
		what = fmt.Sprintf("%d lines of the journal of security events", began.Events-there.Events)
	default:
		return nil
	}
	return sootline.Errorf(sootline.Damaged, "keep another backup, and look at whether another book is kept in the same place",
		"backup %s lacks %s that were acknowledged before it began", drilled.Copy.Name(), what)
}

// lacksNoted refuses a backup of which is not written down what was acknowledged
// before it began, and that lacks a line that this machine noted before the instant
// in its name: it is older than it is called.
func (a *App) lacksNoted(ctx context.Context, there, here store.Mark, kept keep.Copy) error {
	ends := chainsOf(there)
	for _, end := range here.Ends {
		have := ends[chainOf(end)].Seq
		if have >= end.Seq || sootline.StationOf(end.Station) != sootline.StationOf(a.Who.Station) {
			continue
		}
		line, err := a.lineAfter(ctx, here, end, have)
		if err != nil {
			return err
		}
		if line != nil && line.Noted.Before(kept.At) {
			return sootline.Errorf(sootline.Damaged, "keep another backup, and look at who put this one there",
				"backup %s lacks line %d of station %s, noted on %s, before its name says that it began", kept.Name(), line.Seq, line.Station, line.Noted.Format(time.RFC3339))
		}
	}
	return nil
}

// lineAfter gives the entry that a station wrote next after a number.
func (a *App) lineAfter(ctx context.Context, here store.Mark, of store.End, seq int64) (*sootline.Entry, error) {
	seen := map[string]int64{}
	for _, end := range here.Ends {
		if end.Site == of.Site {
			seen[end.Station] = end.Seq
		}
	}
	seen[of.Station] = seq
	for line, err := range a.Book.LinesAfter(ctx, of.Site, seen) {
		if err != nil || line.Entry.Station == of.Station {
			return &line.Entry, err
		}
	}
	return nil, nil
}

// parted compares the chains that both books have.
func (a *App) parted(ctx context.Context, restored *store.Store, there, here store.Mark, drilled *Drilled) error {
	ends, shared := chainsOf(there), map[sootline.ID]bool{}
	for _, end := range there.Ends {
		shared[end.Site] = false
	}
	for _, end := range here.Ends {
		if _, both := shared[end.Site]; both {
			shared[end.Site] = true
		}
		its := ends[chainOf(end)]
		delete(ends, chainOf(end))
		drilled.Since += max(0, end.Seq-its.Seq)
		drilled.Before += max(0, its.Seq-end.Seq)
		at := min(end.Seq, its.Seq)
		if at == 0 {
			continue
		}
		one, _, err := a.Book.HashAt(ctx, end.Site, end.Station, at)
		if err != nil {
			return err
		}
		other, _, err := restored.HashAt(ctx, end.Site, end.Station, at)
		if err != nil {
			return err
		}
		if one != other {
			return partedAt(drilled.Copy, end)
		}
	}
	for _, its := range ends {
		drilled.Before += its.Seq
	}
	for _, both := range shared {
		if both {
			return nil
		}
	}
	if len(there.Ends) > 0 && len(here.Ends) > 0 {
		return sootline.Errorf(sootline.Damaged, "give each book a place of its own", "backup %s is of another book: it has no site in common with this one", drilled.Copy.Name())
	}
	return nil
}

func partedAt(kept keep.Copy, end store.End) error {
	return sootline.Errorf(sootline.Damaged, "find out which of the two logs is the station's own", "backup %s and the book have different lines of station %s up to number %d", kept.Name(), end.Station, end.Seq)
}

func (a *App) noteDrilled(place keep.Place, kept keep.Copy, why error) error {
	if a.Book == nil {
		return nil
	}
	done := keep.Drill{At: a.Now(), Copy: kept}
	if why != nil {
		done.Failed = sentenceOf(why)
	}
	return keep.Change(BackupsFile(a.Book.Path()), func(s *keep.State) {
		p := s.Places[place.String()]
		p.Drill = &done
		if why == nil {
			p.Passed = &done
		}
		s.Places[place.String()] = p
	})
}
