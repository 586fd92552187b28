package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/exchange"
)

// parcelEnding is how the files of an exchange end.
const parcelEnding = ".exchange"

// exchangeIn takes this side's turn in a folder: what others left there comes in, and what
// they lack is left there, in the place of what this side left before.
func (s *session) exchangeIn(ctx context.Context, a *app.App, folder string, sites []string) error {
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return sootline.Errorf(sootline.NotFound, "name a folder that is there, such as that of a stick", "there is no folder %s", folder)
	}
	mine := sideOf(a)
	theirs, in, err := s.takeFrom(ctx, a, folder, mine)
	if err != nil {
		return err
	}
	s.tellBrought(in)
	own, err := turnOf(ctx, a, theirs, sites)
	if err != nil {
		return err
	}
	left := []exchange.Parcel{*own}
	var lacks app.Lacks
	for _, other := range theirs {
		sent, err := a.Lacking(ctx, other, app.MostParcel)
		if err != nil {
			return err
		}
		left = append(left, sent...)
		one, err := a.Lacks(ctx, other)
		if err != nil {
			return err
		}
		lacks.Here, lacks.There = lacks.Here+one.Here, lacks.There+one.There
	}
	if err := leave(folder, mine, left); err != nil {
		return err
	}
	s.tellTurn(folder, theirs, left, lacks)
	return nil
}

// turnOf says what this side holds: of the sites named, and of those that the others
// speak of; where nobody spoke yet and none is named, of all.
func turnOf(ctx context.Context, a *app.App, theirs []*exchange.Parcel, sites []string) (*exchange.Parcel, error) {
	own := &exchange.Parcel{}
	if len(theirs) == 0 || len(sites) > 0 {
		offer, err := a.Offer(ctx, sites...)
		if err != nil {
			return nil, err
		}
		own = offer
	}
	for _, other := range theirs {
		reply, err := a.Holding(ctx, other)
		if err != nil {
			return nil, err
		}
		for _, v := range reply.Vectors {
			if !slices.ContainsFunc(own.Vectors, func(had exchange.Vector) bool { return had.Site == v.Site }) {
				own.Vectors = append(own.Vectors, v)
			}
		}
	}
	return own, nil
}

// sideOf names a book on this machine, so that two books of one machine are two sides.
func sideOf(a *app.App) string {
	sum := sha256.Sum256([]byte(a.Book.Path()))
	return sootline.StationOf(a.Who.Station) + "-" + hex.EncodeToString(sum[:3])
}

// takeFrom takes in what others left in a folder, and gives what each of them holds.
func (s *session) takeFrom(ctx context.Context, a *app.App, folder, mine string) (theirs []*exchange.Parcel, in *brought, err error) {
	names, err := filepath.Glob(filepath.Join(folder, "*"+parcelEnding))
	if err != nil {
		return nil, nil, err
	}
	slices.Sort(names)
	in = &brought{}
	for _, name := range names {
		if strings.HasPrefix(filepath.Base(name), mine+"-") {
			continue
		}
		packed, err := os.ReadFile(name)
		if err != nil {
			return nil, nil, sootline.Errorf(sootline.Unavailable, "", "read %s: %w", name, err)
		}
		p, err := exchange.Unpack(packed)
		if err != nil {
			return nil, nil, badParcel(name, err)
		}
		taken, err := a.TakeParcel(ctx, p)
		in.add(taken)
		if err != nil {
			s.tellBrought(in)
			return nil, nil, badParcel(name, err)
		}
		if len(p.Vectors) > 0 {
			theirs = append(theirs, p)
		}
	}
	return theirs, in, nil
}

// leave writes parcels to a folder, and removes those that this side left before. Each appears
// whole or not at all.
func leave(folder, mine string, parcels []exchange.Parcel) error {
	old, err := filepath.Glob(filepath.Join(folder, mine+"-*"+parcelEnding))
	if err != nil {
		return err
	}
	for i := range parcels {
		packed, err := parcels[i].Pack()
		if err != nil {
			return err
		}
		name := filepath.Join(folder, fmt.Sprintf("%s-%04d%s", mine, i+1, parcelEnding))
		err = os.WriteFile(name+".part", packed, 0o600)
		if err == nil {
			err = os.Rename(name+".part", name)
		}
		if err != nil {
			return sootline.Errorf(sootline.Unavailable, "the folder must be writable and have room", "write %s: %w", name, err)
		}
		old = slices.DeleteFunc(old, func(was string) bool { return was == name })
	}
	for _, name := range old {
		if err := os.Remove(name); err != nil {
			return sootline.Errorf(sootline.Unavailable, "remove it by hand", "remove %s: %w", name, err)
		}
	}
	return nil
}

// tellTurn says what was left, and what comes next.
func (s *session) tellTurn(folder string, theirs []*exchange.Parcel, left []exchange.Parcel, lacks app.Lacks) {
	lines, photos := linesOf(left)
	switch {
	case len(theirs) == 0:
		fmt.Fprintf(s.out, "%s: it is written in %s what this book holds.\nNext: take it to the other machine, and do there:\n", count(len(left[0].Vectors), "site", "sites"), folder)
	case lacks.None():
		fmt.Fprintf(s.out, "Both books hold the same of %s. The files in %s may be removed.\n", count(len(left[0].Vectors), "site", "sites"), folder)
		return
	case lines+photos > 0:
		fmt.Fprintf(s.out, "Left in %s for the other book, which lacks them: %s.\nNext: take it back, and do there:\n", folder, linesAndPhotos(lines, photos))
	default:
		fmt.Fprintf(s.out, "The other book holds what this one lacks, and it is written in %s what that is.\nNext: take it back, and do there:\n", folder)
	}
	fmt.Fprintf(s.out, "\n  sootline book exchange %s\n", folder)
}

func linesAndPhotos(lines, photos int) string {
	if photos == 0 {
		return count(lines, "line", "lines")
	}
	return count(lines, "line", "lines") + " and " + count(photos, "photo", "photos")
}
