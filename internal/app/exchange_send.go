package app

import (
	"context"
	"maps"
	"slices"

	"sootline"
	"sootline/internal/exchange"
	"sootline/internal/store"
)

// Exchange takes in what a parcel brings, and answers it: with what the book holds now, and
// with what the other book lacks, as far as it goes into one parcel.
func (a *App) Exchange(ctx context.Context, theirs *exchange.Parcel) (*exchange.Parcel, error) {
	if _, err := a.TakeParcel(ctx, theirs); err != nil {
		return nil, err
	}
	reply, err := a.Reply(ctx, theirs)
	if err != nil {
		return nil, err
	}
	sent, err := a.Lacking(ctx, theirs, MostParcel)
	if err != nil {
		return nil, err
	}
	if len(sent) > 0 {
		reply.Runs, reply.Photos, reply.More = sent[0].Runs, sent[0].Photos, len(sent) > 1
	}
	return reply, nil
}

// Lacking gives what another book lacks of the sites in its vectors, in parcels of about
// so many bytes of text each, to be taken in one after the other: lines with the photos
// that they name, and the photos that it asks for.
func (a *App) Lacking(ctx context.Context, theirs *exchange.Parcel, most int) ([]exchange.Parcel, error) {
	if err := a.needs(sootline.Technician); err != nil {
		return nil, err
	}
	var sent []exchange.Parcel
	for _, v := range theirs.Vectors {
		site, err := a.offered(ctx, v)
		if err != nil {
			return nil, err
		}
		if site == nil {
			continue
		}
		batches, err := a.lackingOf(ctx, *site, v, most)
		if err != nil {
			return nil, inSite(ctx, *site, err)
		}
		sent = append(sent, batches...)
		photos, err := a.photosFor(ctx, site.ID, v.Photos, most)
		if err != nil {
			return nil, err
		}
		sent = append(sent, photos...)
	}
	for i := range sent {
		sent[i].More = i+1 < len(sent)
	}
	return sent, nil
}

// lackingOf gives the lines of a site that another book lacks, in parcels.
func (a *App) lackingOf(ctx context.Context, site store.SiteLine, theirs exchange.Vector, most int) ([]exchange.Parcel, error) {
	ranges, err := a.Book.Ranges(ctx, site.ID)
	if err != nil {
		return nil, err
	}
	spans, err := theirs.Lacks(byStation(ranges))
	if err != nil || len(spans) == 0 {
		return nil, err
	}
	kept, err := a.Book.KeptOf(ctx, site.ID)
	if err != nil {
		return nil, err
	}
	chains, gaps := map[string][]exchange.Line{}, map[place]bool{}
	for _, span := range spans {
		if gaps[place{span.Station, span.First}] = span.Gap; span.Gap {
			continue
		}
		if err := a.agrees(ctx, site.ID, span); err != nil {
			return nil, err
		}
	}
	for _, span := range spans {
		for line, err := range a.Book.LinesFrom(ctx, site.ID, span.Station, span.First) {
			if err != nil {
				return nil, err
			}
			if line.Entry.Seq > span.Last {
				break
			}
			chains[span.Station] = append(chains[span.Station], exchange.Line{Text: slices.Clone(line.Text), Entry: line.Entry})
		}
	}
	var sent []exchange.Parcel
	for _, batch := range exchange.Batches(chains, most) {
		p, err := a.parcelOf(ctx, batch, gaps, kept.Heads, most)
		if err != nil {
			return nil, err
		}
		sent = append(sent, p)
	}
	return sent, nil
}

// agrees reports a line that another book holds and that is not ours, before those that it
// lacks.
func (a *App) agrees(ctx context.Context, site sootline.ID, span exchange.Span) error {
	if span.First == 1 || span.After == (sootline.Hash{}) {
		return nil
	}
	hash, err := hashAt(a.Book.LinesFrom(ctx, site, span.Station, span.First-1), span.First-1)
	if err != nil {
		return err
	}
	if hash != nil && *hash != span.After {
		return exchange.Contradicts(span.Station, span.First-1)
	}
	return nil
}

// parcelOf makes a parcel of lines, each run of a station by itself, and puts in the photos
// that they name as long as there is room.
func (a *App) parcelOf(ctx context.Context, batch map[string][]exchange.Line, gaps map[place]bool, heads []store.Signed, most int) (p exchange.Parcel, err error) {
	room := most
	for _, station := range slices.Sorted(maps.Keys(batch)) {
		var head *sootline.SignedHead
		if i := slices.IndexFunc(heads, func(h store.Signed) bool { return h.Station == station }); i >= 0 {
			head = &heads[i].SignedHead
		}
		for lines := batch[station]; len(lines) > 0; {
			n := 1
			for n < len(lines) && lines[n].Entry.Seq == lines[n-1].Entry.Seq+1 {
				n++
			}
			run, err := exchange.NewRun(lines[:n], gaps[place{station, lines[0].Entry.Seq}], head)
			if err != nil {
				return p, err
			}
			p.Runs, lines = append(p.Runs, run), lines[n:]
		}
		for _, line := range batch[station] {
			room -= len(line.Text)
			hash := photoNamed(&line.Entry)
			if hash == "" || room < 0 {
				continue
			}
			content, err := a.Book.Photo(ctx, hash)
			if err != nil {
				return p, err
			}
			if room -= len(content); content != nil && room >= 0 {
				p.Photos = append(p.Photos, exchange.Photo{Hash: hash, Content: content})
			}
		}
	}
	return p, nil
}

// photosFor gives the photos of a site that another book asks for, in parcels. One that no
// entry of the site names is not given.
func (a *App) photosFor(ctx context.Context, site sootline.ID, asked []string, most int) (sent []exchange.Parcel, err error) {
	if len(asked) == 0 {
		return nil, nil
	}
	named, err := a.photosNamed(ctx, site)
	if err != nil {
		return nil, err
	}
	size := most
	for _, hash := range asked {
		if _, ok := slices.BinarySearch(named, hash); !ok {
			continue
		}
		content, err := a.Book.Photo(ctx, hash)
		if err != nil {
			return nil, err
		}
		if content == nil {
			continue
		}
		if size >= most {
			sent, size = append(sent, exchange.Parcel{}), 0
		}
		last := &sent[len(sent)-1]
		last.Photos = append(last.Photos, exchange.Photo{Hash: hash, Content: content})
		size += len(content)
	}
	return sent, nil
}
