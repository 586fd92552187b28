package app

import (
	"cmp"
	"context"
	"strings"
	"time"

	"sootline"
	"sootline/internal/bench"
	"sootline/internal/store"
)

// BenchGiven is what was typed of the device in hand.
type BenchGiven struct {
	bench.Given
	Zone, Area, Location, Floor string // of a new place
	Sure                        bool   // whoever writes is certain of what may be a slip
}

// BenchLook says what is to be said of what was typed; nothing is written.
func (a *App) BenchLook(ctx context.Context, site store.SiteLine, run string, g BenchGiven) (bench.Looked, error) {
	b, err := a.Bench(ctx, site, run)
	if err != nil {
		return bench.Looked{}, err
	}
	return b.Look(g.Given), nil
}

// BenchDone writes that a device was set for its place, with all that was typed of
// it. What cannot be is refused; what may be a slip is written when somebody is
// certain. It gives what was said of it.
func (a *App) BenchDone(ctx context.Context, site store.SiteLine, run string, g BenchGiven) (bench.Looked, error) {
	var looked bench.Looked
	err := a.benching(ctx, site, run, func(b *BenchRun) (entries []sootline.Entry, err error) {
		looked, entries, err = a.doing(b, g)
		return entries, err
	})
	return looked, err
}

// doing gives what is to be said of a device that was set, and its entries.
func (a *App) doing(b *BenchRun, g BenchGiven) (bench.Looked, []sootline.Entry, error) {
	if b.Closed != nil {
		return bench.Looked{}, nil, benchEnded(b)
	}
	looked := b.Look(g.Given)
	if err := heedRemarks(&looked, g.Sure); err != nil {
		return looked, nil, err
	}
	return looked, a.benched(b, g, &looked), nil
}

// benching writes what follows from a run as it stands. A form that was handed in
// before is not decided anew.
func (a *App) benching(ctx context.Context, site store.SiteLine, run string, decide func(b *BenchRun) ([]sootline.Entry, error)) error {
	return a.settle(ctx, site.ID, func() ([]sootline.Entry, error) {
		if !a.Form.Zero() {
			if there, err := a.Book.Find(ctx, site.ID, a.Form); err != nil || len(there) > 0 {
				return nil, err
			}
		}
		b, err := a.Bench(ctx, site, run)
		if err != nil {
			return nil, err
		}
		return decide(b)
	})
}

func benchEnded(b *BenchRun) error {
	return sootline.Errorf(sootline.Conflict, "let it go on", "%s ended on %s", b.Title(), b.Closed.At.In(b.Zone).Format("2006-01-02 15:04")).
		Do(sootline.ReopenBench, b.ID.String()).Or("or begin another one").Do(sootline.OpenBench)
}

// heedRemarks refuses what cannot be, and asks about what may be a slip.
func heedRemarks(l *bench.Looked, sure bool) error {
	if refused := l.Worst(bench.Refused); len(refused) > 0 {
		return sootline.Errorf(sootline.Conflict, "put it right; or skip the place, or reject the device", "%s", remarkTexts(refused))
	}
	if asked := l.Worst(bench.Asked); len(asked) > 0 && !sure {
		return sootline.Errorf(sootline.Doubtful, "put it right, or say that it is so", "%s", remarkTexts(asked)).Do(sootline.Give, "sure")
	}
	return nil
}

func remarkTexts(remarks []bench.Remark) string {
	texts := make([]string, len(remarks))
	for i, r := range remarks {
		texts[i] = r.Text
	}
	return strings.Join(texts, "; ")
}

// benched makes the entries of a device that was set: what became of it first, which
// names the others.
func (a *App) benched(b *BenchRun, g BenchGiven, l *bench.Looked) []sootline.Entry {
	at := a.Now()
	point, site := sootline.ID{}, b.Site.ID
	if l.Hand.Place != nil {
		point = l.Hand.Place.Point.ID
	} else {
		point = sootline.NewID(sootline.Instant(at), a.Random())
	}
	done := sootline.Benched{Run: b.ID, Outcome: sootline.BenchDone, Unit: b.Known(sootline.BoxDevice{Unit: g.Unit}).Unit}
	if typeName := b.TypeOf(g.Given); sootline.TypeKey(typeName) != sootline.TypeKey(l.Hand.Type) {
		done.Type = typeName
	}
	var with []sootline.Entry
	for _, body := range b.bodies(g, l, done) {
		e := a.entry(site, at, point, body)
		done.With = append(done.With, e.ID)
		with = append(with, e)
	}
	return append([]sootline.Entry{a.entry(site, at, point, done)}, with...)
}

// bodies lists what is written beside what became of a device.
func (b *BenchRun) bodies(g BenchGiven, l *bench.Looked, done sootline.Benched) []sootline.Body {
	var bodies []sootline.Body
	h := &l.Hand
	switch {
	case h.Place == nil:
		place := sootline.Place{Panel: h.Loop.Panel, Loop: h.Loop.Name, Zone: g.Zone, Area: g.Area, Location: g.Location, Floor: g.Floor}
		bodies = append(bodies, sootline.Fitted{Place: place, Type: cmp.Or(done.Type, h.Type), Unit: done.Unit})
	case h.Place.Replaces && !sameUnit(h.Place.Point.Unit, done.Unit):
		bodies = append(bodies, sootline.Replaced{Type: done.Type, Unit: done.Unit})
	}
	bodies = append(bodies, addressedAt(g, h))
	if len(g.Modes) > 0 {
		bodies = append(bodies, sootline.Set{Found: g.Modes})
	}
	if len(g.Samples) > 0 {
		bodies = append(bodies, sootline.Read{Samples: g.Samples})
	}
	return bodies
}

// sameUnit reports whether two units are one by their serials.
func sameUnit(a, b sootline.Unit) bool {
	return a.Serial != "" && sootline.SerialKey(a.Serial) == sootline.SerialKey(b.Serial)
}

// addressedAt says how the number stands: as set; where another one was read back,
// as that was found.
func addressedAt(g BenchGiven, h *bench.Hand) sootline.Addressed {
	said := sootline.Addressed{Found: g.Read, How: g.How}
	if g.Read == 0 || g.Read == h.Number {
		said.Set = h.Number
	}
	if h.Place == nil || h.Place.Assigned || h.Place.Number == 0 {
		said.Wanted = h.Number
	}
	return said
}

// BenchSkip writes that a place is left for later.
func (a *App) BenchSkip(ctx context.Context, site store.SiteLine, run, point, why string) error {
	return a.benching(ctx, site, run, func(b *BenchRun) ([]sootline.Entry, error) { return a.skipping(b, point, why) })
}

// skipping gives the entry of a place that is left for later.
func (a *App) skipping(b *BenchRun, point, why string) ([]sootline.Entry, error) {
	if b.Closed != nil {
		return nil, benchEnded(b)
	}
	place, err := b.placeNamed(point)
	if err != nil {
		return nil, err
	}
	if !place.Open() {
		return nil, sootline.Errorf(sootline.Conflict, "take that one back first", "%s has its device already", place.Name()).Do(sootline.UndoBench, b.ID.String())
	}
	return []sootline.Entry{a.entry(b.Site.ID, a.Now(), place.Point.ID, sootline.Benched{Run: b.ID, Outcome: sootline.BenchSkipped, Reason: why})}, nil
}

// placeNamed finds a place of the run by its reference, by the number to be set
// there, or by its id; an empty name means the one in hand.
func (b *BenchRun) placeNamed(name string) (*bench.Place, error) {
	if name == "" {
		if h, ok := b.Hand(); ok && h.Place != nil {
			return h.Place, nil
		}
		return nil, sootline.Errorf(sootline.NotFound, "see how the run stands", "no place is in hand").Do(sootline.ShowBench, b.ID.String())
	}
	for _, place := range b.Places {
		if strings.EqualFold(place.Name(), name) || place.Point.ID.String() == name {
			return place, nil
		}
	}
	p, err := PointNamed(b.Register, name)
	if err != nil {
		return nil, err
	}
	if place := b.Place(p.ID); place != nil {
		return place, nil
	}
	return nil, sootline.Errorf(sootline.NotFound, "see which places it has", "%s is no place of this run", p.Ref()).Do(sootline.ShowBench, b.ID.String())
}

// PlaceNamed finds a place of a run; see [App.BenchSkip].
func (b *BenchRun) PlaceNamed(name string) (*bench.Place, error) { return b.placeNamed(name) }

// BenchReject writes that a device is put aside, and why; the place for which it was
// in hand, where one is named, stays open.
func (a *App) BenchReject(ctx context.Context, site store.SiteLine, run, point string, d sootline.BoxDevice, why string) error {
	return a.benching(ctx, site, run, func(b *BenchRun) ([]sootline.Entry, error) { return a.rejecting(b, point, d, why) })
}

// rejecting gives the entry of a device that is put aside. One that was set for a
// place by its serial is taken all the same, and listed as left.
func (a *App) rejecting(b *BenchRun, point string, d sootline.BoxDevice, why string) ([]sootline.Entry, error) {
	switch {
	case b.Closed != nil:
		return nil, benchEnded(b)
	case strings.TrimSpace(why) == "":
		return nil, sootline.Errorf(sootline.Invalid, "say why, in a word", "a rejected device has a reason").Do(sootline.Give, "why")
	}
	var at sootline.ID
	if point != "" {
		place, err := b.placeNamed(point)
		if err != nil {
			return nil, err
		}
		at = place.Point.ID
	}
	d = b.Known(d)
	return []sootline.Entry{a.entry(b.Site.ID, a.Now(), at, sootline.Benched{Run: b.ID, Outcome: sootline.BenchRejected, Unit: d.Unit, Type: d.Type, Reason: why})}, nil
}

// CloseBench logs that a run ends. What is left is listed and asked about; it stays
// listed.
func (a *App) CloseBench(ctx context.Context, site store.SiteLine, run, text string, sure bool) (*BenchRun, error) {
	var ended *BenchRun
	err := a.benching(ctx, site, run, func(b *BenchRun) ([]sootline.Entry, error) {
		ended = b
		if b.Closed != nil {
			return nil, benchEnded(b)
		}
		if left := b.Unfinished(); len(left) > 0 && !sure {
			return nil, unfinished(left)
		}
		return []sootline.Entry{a.entry(site.ID, a.Now(), sootline.ID{}, sootline.Bench{State: sootline.BenchClosed, Run: b.ID, Text: text})}, nil
	})
	if err != nil {
		return ended, err
	}
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil || ended == nil {
		return ended, err
	}
	return a.benchOf(r, site, ended.ID)
}

func unfinished(left []bench.Left) error {
	const most = 3
	var texts []string
	for _, l := range left[:min(most, len(left))] {
		texts = append(texts, l.Text)
	}
	more := ""
	if len(left) > most {
		more = "; and more"
	}
	return sootline.Errorf(sootline.Doubtful, "see to them, or end it all the same: they stay listed", "left in this run: %d; %s%s", len(left), strings.Join(texts, "; "), more).
		Do(sootline.Give, "sure")
}
