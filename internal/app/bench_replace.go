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

// ReplaceHand gives what there is to do where a device is replaced.
func (a *App) ReplaceHand(ctx context.Context, site store.SiteLine, place string) (BenchHand, error) {
	b, err := a.replacing(ctx, site, place)
	if err != nil {
		return BenchHand{}, err
	}
	return b.WithCard(b.HandAt(b.Places[0])), nil
}

// ReplaceHandOf gives the same of a register that is there already.
func ReplaceHandOf(r *sootline.Register, now time.Time, p *sootline.Point) (BenchHand, error) {
	b, err := benchWith(r, store.SiteLine{}, func(facts bench.Facts) *bench.Run { return bench.Alone(r, p.ID, now, facts) })
	switch {
	case err != nil:
		return BenchHand{}, err
	case b.Run == nil:
		return BenchHand{}, sootline.Errorf(sootline.NotFound, "", "nothing is fitted at %s any more", p.Ref())
	}
	return b.WithCard(b.HandAt(b.Places[0])), nil
}

// replacing gives the run of one place of a replacement.
func (a *App) replacing(ctx context.Context, site store.SiteLine, place string) (*BenchRun, error) {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return nil, err
	}
	p, err := PointNamed(r, place)
	if err != nil {
		return nil, err
	}
	b, err := benchWith(r, site, func(facts bench.Facts) *bench.Run { return bench.Alone(r, p.ID, a.Now(), facts) })
	switch {
	case err != nil:
		return nil, err
	case b.Run == nil:
		return nil, sootline.Errorf(sootline.NotFound, "see which loops there are", "nothing is fitted at %s any more", place).Do(sootline.ShowSite)
	}
	return b, nil
}

// ReplaceDevice writes that a device was replaced on site, or moved from another
// point. What cannot be is refused; what may be a slip is written when somebody is
// certain. It gives what was said of it, and the entries.
func (a *App) ReplaceDevice(ctx context.Context, site store.SiteLine, x Replacement) (bench.Looked, []sootline.Entry, error) {
	var looked bench.Looked
	var written []sootline.Entry
	err := a.settle(ctx, site.ID, func() (_ []sootline.Entry, err error) {
		b, err := a.replacing(ctx, site, x.Place)
		if err != nil {
			return nil, err
		}
		x.Point = b.Places[0].Point.ID
		from, err := x.movedFrom(b.Register)
		if err != nil {
			return nil, err
		}
		looked = b.Look(x.Given)
		if from != nil {
			looked.Forgive(bench.SerialSeen) // where it came from is said
		}
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
	}
	if x.Serial == "" {
		x.Unit = from.Unit
	}
	x.Type = cmp.Or(x.Type, from.Type)
	return from, nil
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
