package app

import (
	"cmp"
	"context"
	"errors"
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
	Troubles []Remark // rows that could not be used
}

// ExplainFound reads a list of what answers on a loop (number, and type and
// serial where it has them), as a panel prints it or a technician notes it, and
// explains how it differs from the register. Nothing is written down.
func (a *App) ExplainFound(ctx context.Context, site sootline.ID, loop sootline.LoopID, path string) (_ *Found, err error) {
	_, loops, err := a.numberLoops(ctx, site, loop.String())
	if err != nil {
		return nil, err
	}
	in, err := a.Look(ctx, site, []string{path}, []listing.Profile{{
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
	if len(f.Answers) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "hand in a list with a number a row, and the type and serial where you have them", "%s holds nothing that answers on loop %s", path, loop)
	}
	f.Diagnosis, err = address.Explain(ctx, f.Loop, f.Answers)
	return f, err
}

// asFound says that a point was found at a number.
func asFound(r *sootline.Register, p *sootline.Point, number int) sootline.Addressed {
	said := sootline.Addressed{Found: number, Text: "as found"}
	if p.Wanted == 0 && p.Stands.As == sootline.AsListed && p.Listed != number && p.Listed != r.Loop(p.LoopID()).Unset {
		said.Wanted = p.Listed
	}
	return said
}

// mostAnswers is how many answers of one loop are explained: explaining tries every
// mistake for every number, and a loop has some hundred devices.
const mostAnswers = 2000

// read takes the rows of a table that are of the loop.
func (f *Found) read(ctx context.Context, table *IntakeTable, loop sootline.LoopID) error {
	for record, fault := range table.Records(table.Table) {
		if fault != nil {
			if len(f.Troubles) < mostAnswers {
				f.Troubles = append(f.Troubles, Remark{record.Line, fault.Trouble()})
			}
			continue
		}
		row := record.Schedule
		if row.Ref.Loop != "" && sootline.CleanName(row.Ref.Loop) != loop.Name {
			continue
		}
		if len(f.Answers) == mostAnswers {
			return sootline.Errorf(sootline.Invalid, "hand in the list of one loop", "%s names more than %d numbers, and a loop has fewer", table.Path, mostAnswers)
		}
		f.Answers = append(f.Answers, address.Answer{Number: cmp.Or(row.Ref.Address, row.Wanted), Type: row.Type, Serial: row.Serial})
	}
	return ctx.Err() // else a list that was not read to its end would pass for a short one
}

// NoteFound writes down the numbers that the devices were found at, as the
// explanation has it: those of its mistakes where they are, the others at the
// number at which something of their type answered. The explanation holds them
// against the list: where nobody wanted another number, the one of the list is
// written down as wanted with what was found, so that the difference is not lost.
func (a *App) NoteFound(ctx context.Context, site sootline.ID, f *Found) (int, error) {
	if err := a.Who.MaySee(site); err != nil {
		return 0, err
	}
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return 0, err
	}
	at := map[int]int{}
	silent := map[int]bool{}
	for _, mistake := range f.Mistakes {
		for _, moved := range mistake.Moved {
			at[moved.Device], silent[moved.Device] = moved.At, moved.At == 0
		}
	}
	answers := map[int]bool{}
	for _, answer := range f.Answers {
		answers[answer.Number] = true
	}
	var entries []sootline.Entry
	for i, d := range f.Loop.Devices {
		number, moved := at[i]
		if paper := cmp.Or(d.Wanted, d.Found); !moved && answers[paper] {
			number = paper
		}
		if p := r.Point(d.ID); p != nil && number != 0 && !silent[i] && (p.Stands.As != sootline.AsFound || p.Stands.Number != number) {
			entries = append(entries, a.entry(site, a.Now(), d.ID, asFound(r, p, number)))
		}
	}
	return len(entries), a.writeTo(ctx, site, func(tx *store.Tx) error { return a.append(tx, site, entries) })
}
