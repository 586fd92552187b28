package app

import (
	"context"
	"errors"
	"fmt"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/listing"
	"sootline/internal/store"
)

// Found is a list of what answers on a loop, held against the register.
type Found struct {
	Loop    address.Loop
	Answers []address.Answer
	address.Diagnosis
	Troubles []Remark           // rows that could not be used
	Seen     []address.Sighting // the devices whose numbers the list shows
	rows     []int              // of the answers, in the file
	Untold   []string           // what it does not show: a sentence a kind, nothing of which is written down
}

// ExplainFound reads a list of what answers on a loop (number, and type and
// serial where it has them), as a panel prints it or a technician notes it, and
// explains how it differs from the register. Nothing is written down.
func (a *App) ExplainFound(ctx context.Context, site sootline.ID, loop sootline.LoopID, path string) (_ *Found, err error) {
	_, loops, err := a.numberLoops(ctx, site, loop.String())
	if err != nil {
		return nil, err
	}
	in, err := a.Look(ctx, []string{path}, []listing.Profile{{
		Kind: listing.KindSchedule, Numbers: listing.NumbersListed, Constants: map[listing.Field]string{listing.Panel: loop.Panel, listing.Loop: loop.Name},
	}})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	f := &Found{Loop: loops[0]}
	defer in.During(ctx)()
	for _, table := range in.Tables {
		if err := f.read(ctx, table, loop); err != nil {
			return nil, err
		}
	}
	f.oneRowADevice()
	if len(f.Answers) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "hand in a list with a number a row, and the type and serial where you have them", "%s holds nothing that answers on loop %s", path, loop)
	}
	if f.Diagnosis, err = address.Explain(ctx, f.Loop, f.Answers); err != nil {
		return nil, err
	}
	f.Seen, f.Untold, err = address.Sightings(f.Loop, f.Answers, f.Diagnosis)
	return f, err
}

// Agrees says that the list differs in nothing from what it is held against.
func (f *Found) Agrees() string {
	answers := fmt.Sprintf("all %d that answer are", len(f.Answers))
	if len(f.Answers) == 1 {
		answers = "the 1 that answers is"
	}
	if len(f.Untold) > 0 {
		return answers + " at numbers that are wanted, and the list cannot tell whether each is the right device"
	}
	return answers + " as the register has them"
}

// asFound says that a point was found at a number.
func asFound(r *sootline.Register, p *sootline.Point, number int) sootline.Addressed {
	said := sootline.Addressed{Found: number, Text: "as found"}
	if p.Wanted == 0 && p.Stands.As == sootline.AsListed && p.Listed != number && p.Listed != r.Loop(p.LoopID()).Unset {
		said.Wanted = p.Listed
	}
	return said
}

// NoteFound writes down the numbers at which the list shows devices; what it does
// not show stays as it stands. The explanation holds them against the list: where
// nobody wanted another number, the one of the list is written down as wanted with
// what was found, so that the difference is not lost.
func (a *App) NoteFound(ctx context.Context, site sootline.ID, f *Found) (int, error) {
	if err := a.Who.MaySee(site); err != nil {
		return 0, err
	}
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return 0, err
	}
	var entries []sootline.Entry
	for _, seen := range f.Seen {
		id := f.Loop.Devices[seen.Device].ID
		if p := r.Point(id); p != nil && (p.Stands.As != sootline.AsFound || p.Stands.Number != seen.At) {
			entries = append(entries, a.entry(site, a.Now(), id, asFound(r, p, seen.At)))
		}
	}
	return len(entries), a.writeTo(ctx, site, func(tx *store.Tx) error { return a.append(tx, site, entries) })
}
