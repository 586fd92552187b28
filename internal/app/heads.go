package app

import (
	"context"
	"errors"
	"slices"

	"sootline"
	"sootline/internal/store"
)

// sameKeys refuses heads that another key signed than the one by which a station
// is known here.
func sameKeys(kept []store.Signed, heads []sootline.SignedHead) error {
	known := map[string]sootline.Key{}
	for i := range kept {
		known[kept[i].Station] = kept[i].Key
	}
	for i := range heads {
		h := &heads[i]
		if key, ok := known[h.Station]; ok && key != h.Key {
			return sootline.Errorf(sootline.Conflict,
				"ask whoever works at that station which key is theirs: the check of its log tells it there; whoever signs with another one is another station; nothing was imported",
				"station %s is known here by the key %s, and this file is signed with %s", h.Station, key, h.Key).Do(sootline.VerifyLog)
		}
		known[h.Station] = h.Key
	}
	return nil
}

// keepTo refuses lines that stand where a head that is kept names another: the
// book's own lines may be lost, and others would slip into their place.
func (h held) keepTo(kept []store.Signed) error {
	for i := range kept {
		head := &kept[i].Head
		if hash, there := h[place{head.Station, head.Seq}]; there && hash != head.Hash {
			return sootline.Errorf(sootline.Conflict, "find out which of the two logs is the station's own; nothing was imported",
				"line %d of station %s is not the one that the station signed", head.Seq, head.Station)
		}
	}
	return nil
}

// headless gives the stations that wrote in the file and are known to sign, and
// whose head it does not carry: its end may have been cut off with the head.
func (x *export) headless(kept []store.Signed) []string {
	wrote, signed := map[string]bool{}, map[string]bool{}
	for i := range x.lines {
		wrote[x.lines[i].Entry.Station] = true
	}
	for i := range x.heads {
		signed[x.heads[i].Station] = true
	}
	var missing []string
	for i := range kept {
		if station := kept[i].Station; wrote[station] && !signed[station] {
			missing = append(missing, station)
		}
	}
	return missing
}

// keepHeads keeps the heads that are newer than what is kept, and gives what no
// head covers of the lines that came in. That is remembered: a later signature will
// cover such lines, and what came in otherwise than so is no import's.
func keepHeads(tx *store.Tx, site sootline.ID, kept []store.Signed, heads []sootline.SignedHead, fresh []store.Line) ([]store.Stretch, error) {
	signed := map[string]int64{}
	for i := range kept {
		signed[kept[i].Station] = kept[i].Seq
	}
	for i := range heads {
		if heads[i].Seq <= signed[heads[i].Station] {
			continue
		}
		signed[heads[i].Station] = heads[i].Seq
		if err := tx.KeepHead(&heads[i]); err != nil {
			return nil, err
		}
	}
	unsigned := beyond(fresh, signed)
	for _, stretch := range unsigned {
		if err := tx.PutUnsigned(site, stretch); err != nil {
			return nil, err
		}
	}
	return unsigned, nil
}

// beyond gives the runs of lines, which are in order, that lie behind the number
// up to which their station signed.
func beyond(lines []store.Line, signed map[string]int64) []store.Stretch {
	var runs []store.Stretch
	for i := range lines {
		e := &lines[i].Entry
		if e.Seq <= signed[e.Station] {
			continue
		}
		if n := len(runs) - 1; n >= 0 && runs[n].Station == e.Station && runs[n].Last+1 == e.Seq {
			runs[n].Last = e.Seq
			continue
		}
		runs = append(runs, store.Stretch{Station: e.Station, First: e.Seq, Last: e.Seq})
	}
	return runs
}

// pinImported pins the ends of the other stations' chains when more came in than
// pins: two books that exchange their logs again and again come to rest.
func (a *App) pinImported(tx *store.Tx, site sootline.ID, fresh []store.Line) error {
	own, err := tx.StationAt(site, a.station())
	if err != nil {
		return err
	}
	for i := range fresh {
		if e := &fresh[i].Entry; e.Station != own && e.Body.Kind() != sootline.PinnedKind {
			return a.pinOthers(tx, site, "lines of other stations came in")
		}
	}
	return nil
}

// pinOthers writes down where the chains of the other stations end, as far as this
// station has not done so yet.
func (a *App) pinOthers(tx *store.Tx, site sootline.ID, why string) error {
	own, err := tx.StationAt(site, a.station())
	if err != nil {
		return err
	}
	ends, err := tx.Ends(site)
	if err != nil {
		return err
	}
	ends = slices.DeleteFunc(ends, func(end sootline.Head) bool { return end.Station == own })
	if len(ends) == 0 {
		return nil
	}
	pinned := map[string]int64{}
	for line, err := range tx.LinesOfKinds(site, sootline.PinnedKind, sootline.IssuedKind) {
		if err != nil {
			return err
		}
		if line.Entry.Station != own {
			continue
		}
		for _, pin := range sootline.PinsOf(&line.Entry) {
			pinned[pin.Station] = max(pinned[pin.Station], pin.Seq)
		}
	}
	ends = slices.DeleteFunc(ends, func(end sootline.Head) bool { return end.Seq <= pinned[end.Station] })
	if len(ends) == 0 {
		return nil
	}
	e := a.entry(site, a.Now(), sootline.ID{}, sootline.Pinned{Heads: ends, Why: why})
	return a.note(tx, site, e)
}

// Backup copies the book to a file that must not exist yet. Before that it pins
// where the chains of the other stations end, so that the copy and the book both
// witness them. What keeps it from pinning does not keep it from copying: it is
// given back as trouble.
func (a *App) Backup(ctx context.Context, to string) (trouble, err error) {
	if err := a.Book.MayCopy(); err != nil {
		return nil, err
	}
	trouble = a.pinEnds(ctx)
	return trouble, a.Book.Backup(ctx, to)
}

// pinEnds pins where the chains of the other stations end, in every site's log.
func (a *App) pinEnds(ctx context.Context) error {
	sites, trouble := a.Book.Sites(ctx)
	for _, site := range sites {
		pinning := ForSite(ctx, site, func() error {
			return a.Book.WriteTo(ctx, site.ID, func(tx *store.Tx) error { return a.pinOthers(tx, site.ID, "the book is backed up") })
		})
		trouble = errors.Join(trouble, pinning)
	}
	return trouble
}
