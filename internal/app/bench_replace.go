package app

import (
	"cmp"
	"context"
	"time"

	"sootline"
	"sootline/internal/bench"
	"sootline/internal/store"
)

// Replacement is another device at a point, on site: it gets the number and the
// settings of the point, and the checks of the bench.
type Replacement struct {
	BenchGiven
	Place string // the point, by its reference
	From  string // the point that the device was taken from, where it was moved; it is missing there then
	Text  string
}

// ReplaceHand gives what there is to do where a device is replaced, or moved there from
// another point: the card by which that device is set, and what it carries now.
func (a *App) ReplaceHand(ctx context.Context, site store.SiteLine, place, from string) (BenchHand, error) {
	b, moved, err := a.replacing(ctx, site, &Replacement{Place: place, From: from})
	if err != nil {
		return BenchHand{}, err
	}
	h := b.HandAt(b.Places[0])
	if moved != nil && moved.Type != "" {
		h.Type = moved.Type
	}
	return b.WithCard(h), nil
}

// ReplaceHandOf gives the same of a register that is there already.
func ReplaceHandOf(r *sootline.Register, now time.Time, p *sootline.Point) (BenchHand, error) {
	b, err := replacingAt(r, store.SiteLine{}, p, nil, now)
	if err != nil {
		return BenchHand{}, err
	}
	return b.WithCard(b.HandAt(b.Places[0])), nil
}

// replacingAt gives the run of one place of a replacement.
func replacingAt(r *sootline.Register, site store.SiteLine, p, from *sootline.Point, now time.Time) (*BenchRun, error) {
	b, err := benchWith(r, site, func(facts bench.Facts) *bench.Run { return bench.Alone(r, p.ID, from, now, facts) })
	switch {
	case err != nil:
		return nil, err
	case b.Run == nil:
		return nil, sootline.Errorf(sootline.NotFound, "see which loops there are", "nothing is fitted at %s any more", p.Ref()).Do(sootline.ShowSite)
	}
	return b, nil
}

// replacing gives the run of one place of a replacement, and the point that the device
// comes from; nil: from elsewhere.
func (a *App) replacing(ctx context.Context, site store.SiteLine, x *Replacement) (*BenchRun, *sootline.Point, error) {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return nil, nil, err
	}
	p, err := PointNamed(r, x.Place)
	if err != nil {
		return nil, nil, err
	}
	x.Point = p.ID
	from, err := x.movedFrom(r)
	if err != nil {
		return nil, nil, err
	}
	b, err := replacingAt(r, site, p, from, a.Now())
	return b, from, err
}

// ReplaceDevice writes that a device was replaced on site, or moved from another
// point. What cannot be is refused; what may be a slip is written when somebody is
// certain. It gives what was said of it, and the entries.
func (a *App) ReplaceDevice(ctx context.Context, site store.SiteLine, x Replacement) (bench.Looked, []sootline.Entry, error) {
	var looked bench.Looked
	var written []sootline.Entry
	err := a.settle(ctx, site.ID, func() (_ []sootline.Entry, err error) {
		b, from, err := a.replacing(ctx, site, &x)
		if err != nil {
			return nil, err
		}
		looked = b.Look(x.Given)
		if err := heedRemarks(&looked, x.Sure); err != nil {
			return nil, err
		}
		written = a.replacement(b, &x, &looked, from)
		return written, nil
	})
	return looked, written, err
}

// movedFrom finds the point that the device comes from, and takes its serial and
// type from there where nobody typed them; nil: it comes from elsewhere.
func (x *Replacement) movedFrom(r *sootline.Register) (*sootline.Point, error) {
	if x.From == "" {
		return nil, nil
	}
	from, err := PointNamed(r, x.From)
	switch {
	case err != nil:
		return nil, err
	case from.ID == x.Point:
		return nil, sootline.Errorf(sootline.Invalid, "name the point that it was taken from", "a device is not moved to where it is")
	case x.Serial != "" && from.Unit.Serial != "" && sootline.SerialKey(x.Serial) != sootline.SerialKey(from.Unit.Serial):
		return nil, sootline.Errorf(sootline.Conflict, "look at its label", "device %s is written down at %s, not %s", from.Unit.Serial, from.Ref(), x.Serial)
	case from.Removed != nil:
		return nil, sootline.Errorf(sootline.Conflict, "name the point that it was taken from", "%s was removed from the register", from.Ref())
	case from.Absent():
		return nil, missingAt(r, from)
	}
	if x.Serial == "" {
		x.Unit = from.Unit
	}
	x.Type = cmp.Or(x.Type, from.Type)
	return from, nil
}

// missingAt refuses to move what is missing, and says where it is, where its serial tells.
func missingAt(r *sootline.Register, from *sootline.Point) error {
	key := sootline.SerialKey(from.Unit.Serial)
	for _, p := range r.Points() {
		if key != "" && p != from && !p.Absent() && sootline.SerialKey(p.Unit.Serial) == key {
			return sootline.Errorf(sootline.Conflict, "move it from "+p.Ref().String(), "device %s of %s is at %s now", from.Unit.Serial, from.Ref(), p.Ref())
		}
	}
	return sootline.Errorf(sootline.Conflict, "name the point that it was taken from; or note that the defect is mended", "the device of %s is written down as missing", from.Ref()).
		Do(sootline.ListDefects, from.Ref().String())
}

// replacement makes the entries of a replacement.
func (a *App) replacement(b *BenchRun, x *Replacement, l *bench.Looked, from *sootline.Point) []sootline.Entry {
	at, p, site := a.Now(), l.Hand.Place.Point, b.Site.ID
	replaced := sootline.Replaced{Unit: x.Unit, Text: x.Text}
	if typeName := b.TypeOf(x.Given); sootline.TypeKey(typeName) != sootline.TypeKey(p.Type) {
		replaced.Type = typeName
	}
	entries := []sootline.Entry{a.entry(site, at, p.ID, replaced)}
	for _, body := range b.bodies(x.BenchGiven, l, sootline.Benched{Unit: x.Unit, Type: replaced.Type}) {
		if body.Kind() != sootline.ReplacedKind {
			entries = append(entries, a.entry(site, at, p.ID, body))
		}
	}
	if from != nil {
		entries = append(entries, a.entry(site, at, from.ID, sootline.Defect{Nature: sootline.MissingDevice, Grade: sootline.SeriousDefect, Text: "moved to " + p.Ref().String()}))
	}
	return entries
}
