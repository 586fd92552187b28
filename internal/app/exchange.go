package app

import (
	"context"
	"slices"

	"sootline"
	"sootline/internal/exchange"
	"sootline/internal/store"
)

// Two books exchange by parcels: each says which ranges it holds of each station's lines,
// and is given the lines that it lacks. docs/decisions/016-exchange.md.

// MostParcel is about how much text of lines or photos goes into one parcel, in bytes: what
// a server answers in a moment, and what is lost when a transfer is cut.
const MostParcel = 16 << 20

// Offer says what the book holds of the sites named; of all that whoever acts may see,
// where none is named. A site that the book does not have is asked for by its name.
func (a *App) Offer(ctx context.Context, names ...string) (*exchange.Parcel, error) {
	if err := a.needs(sootline.Technician); err != nil {
		return nil, err
	}
	p := &exchange.Parcel{}
	var sites []store.SiteLine
	if len(names) == 0 {
		all, err := a.Book.Sites(ctx)
		if err != nil {
			return nil, err
		}
		if sites = a.seen(all); len(sites) == 0 {
			return nil, sootline.Errorf(sootline.NotFound, "name the sites that you want of the other book", "the book has no site yet").Do(sootline.Give, "site")
		}
	}
	for _, name := range names {
		found, err := a.Book.SitesNamed(ctx, name)
		if err != nil {
			return nil, err
		}
		if found = a.seen(found); len(found) == 0 {
			p.Vectors = append(p.Vectors, exchange.Vector{Name: name})
		}
		sites = append(sites, found...)
	}
	for _, site := range sites {
		v, err := a.vector(ctx, site)
		if err != nil {
			return nil, err
		}
		p.Vectors = append(p.Vectors, v)
	}
	return p, nil
}

// Reply says what the book lacks of an offer.
func (a *App) Reply(ctx context.Context, offer *exchange.Parcel) (*exchange.Parcel, error) {
	p, err := a.Holding(ctx, offer)
	if err != nil {
		return nil, err
	}
	for i := range p.Vectors {
		mine := &p.Vectors[i]
		at := slices.IndexFunc(offer.Vectors, func(v exchange.Vector) bool { return v.Site == mine.Site })
		if at >= 0 && len(mine.Held) > 0 {
			*mine = mine.Against(&offer.Vectors[at])
		}
	}
	return p, nil
}

// Holding says what the book holds of the sites of an offer: what it lacks follows from
// that, and what the other one lacks. A site that it does not have is asked for whole by
// who may add it.
func (a *App) Holding(ctx context.Context, offer *exchange.Parcel) (*exchange.Parcel, error) {
	if err := a.needs(sootline.Technician); err != nil {
		return nil, err
	}
	p := &exchange.Parcel{}
	for _, v := range offer.Vectors {
		site, err := a.offered(ctx, v)
		if err != nil {
			return nil, err
		}
		if site == nil {
			if a.Who.MayKeepBook() == nil {
				p.Vectors = append(p.Vectors, exchange.Vector{Site: v.Site, Name: v.Name})
			}
			continue
		}
		mine, err := a.vector(ctx, *site)
		if err != nil {
			return nil, err
		}
		p.Vectors = append(p.Vectors, mine)
	}
	return p, nil
}

// offered finds the site of a vector; nil: the book does not have it, or it is none that
// whoever acts may see. One that is asked for by its name alone must be here.
func (a *App) offered(ctx context.Context, v exchange.Vector) (*store.SiteLine, error) {
	if v.Site.Zero() {
		line, err := a.Site(ctx, v.Name)
		return &line, err
	}
	line, err := a.Book.Site(ctx, v.Site)
	if err != nil || line == nil || a.Who.MaySee(v.Site) != nil {
		return nil, err
	}
	return line, nil
}

// vector says what the book holds of a site, and which photos it lacks.
func (a *App) vector(ctx context.Context, site store.SiteLine) (exchange.Vector, error) {
	v := exchange.Vector{Site: site.ID}
	ranges, err := a.Book.Ranges(ctx, site.ID)
	if err != nil {
		return v, err
	}
	v.Held = byStation(ranges)
	named, err := a.photosNamed(ctx, site.ID)
	if err != nil {
		return v, err
	}
	for _, hash := range named {
		there, err := a.Book.HasPhoto(ctx, hash)
		if err != nil {
			return v, err
		}
		if !there {
			v.Photos = append(v.Photos, hash)
		}
	}
	return v, nil
}

func byStation(ranges []store.Range) map[string][]exchange.Range {
	held := map[string][]exchange.Range{}
	for _, r := range ranges {
		held[r.Station] = append(held[r.Station], exchange.Range{First: r.First, Last: r.Last, Hash: r.Hash})
	}
	return held
}

// photosNamed lists the photos that entries of a site name, by their hashes.
func (a *App) photosNamed(ctx context.Context, site sootline.ID) ([]string, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	var all []string
	for _, e := range log.Entries() {
		if hash := photoNamed(e); hash != "" {
			all = append(all, hash)
		}
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}
