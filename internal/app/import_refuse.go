package app

import (
	"sootline"
	"sootline/internal/store"
)

// What a file brings in may be sealed as it should and still be none of what the
// stations wrote. It is refused where it speaks for this book's own stations, gives
// another meaning to an id, or takes back what nobody wrote.

// foreign refuses lines in the name of a station that writes in this book, which
// this book does not hold and no signature covers: it cannot have written them.
// Lines of a copy of this book, or of another book on this machine, are signed. Of a
// station that has signed nothing here yet, whoever is certain may say that they are
// its own, as after a book was lost that did not sign.
func (a *App) foreign(tx *store.Tx, kept []store.Signed, heads []sootline.SignedHead, fresh []store.Line, certain bool) error {
	own, err := a.stationsHere(tx, kept)
	if err != nil {
		return err
	}
	signed := map[string]int64{}
	for i := range heads {
		signed[heads[i].Station] = heads[i].Seq
	}
	here := map[string]bool{}
	for i := range kept {
		here[kept[i].Station] = kept[i].Here
	}
	for i := range fresh {
		e := &fresh[i].Entry
		switch {
		case !own[e.Station] || e.Seq <= signed[e.Station]:
		case !here[e.Station] && certain:
		case !here[e.Station]:
			return sootline.Errorf(sootline.Doubtful, "if the file is of a book of this machine that was lost, say that you are certain; nothing was imported",
				"line %d is in the name of station %s, which writes in this book, and no signature in the file covers it", e.Seq, e.Station).Do(sootline.Give, "sure")
		default:
			return sootline.Errorf(sootline.Conflict, "export the log anew from the book that holds the line, which signs it; nothing was imported",
				"line %d is in the name of station %s, which writes in this book and has not written it, and no signature in the file covers it", e.Seq, e.Station)
		}
	}
	return nil
}

// stationsHere gives the names under which this book writes in a site's log.
func (a *App) stationsHere(tx *store.Tx, kept []store.Signed) (map[string]bool, error) {
	own := map[string]bool{a.station(): true}
	for i := range kept {
		if kept[i].Here {
			own[kept[i].Station] = true
		}
	}
	phones, err := tx.Phones()
	for i := range phones {
		own[a.Book.Station(phones[i].Station)] = true
	}
	return own, err
}

// sameUnderID refuses an entry whose id is that of another one, which says something
// else. Several stations may note one entry. Known are the ids that the book holds.
func sameUnderID(tx *store.Tx, site sootline.ID, known map[sootline.ID]bool, fresh []store.Line) error {
	var both []sootline.ID
	for i := range fresh {
		if id := fresh[i].Entry.ID; known[id] {
			both = append(both, id)
		}
	}
	found, err := tx.Find(site, both...)
	if err != nil {
		return err
	}
	there := map[sootline.ID]*sootline.Entry{}
	for i := range found {
		there[found[i].ID] = &found[i]
	}
	for i := range fresh {
		e := &fresh[i].Entry
		other := there[e.ID]
		if other == nil {
			there[e.ID] = e
			continue
		}
		same, err := saysTheSame(*other, *e)
		if err != nil {
			return err
		}
		if !same {
			return sootline.Errorf(sootline.Conflict, "find out which of the two logs was altered; nothing was imported",
				"line %d of station %s has the id of another entry, %s, and says something else", e.Seq, e.Station, e.ID)
		}
	}
	return nil
}

// amendsWritten refuses an amendment of an entry that neither the book nor the file
// holds: it would lie in wait for it. Whoever amended it had it in their log.
func amendsWritten(tx *store.Tx, site sootline.ID, fresh []store.Line) error {
	here := make(map[sootline.ID]bool, len(fresh))
	for i := range fresh {
		here[fresh[i].Entry.ID] = true
	}
	for i := range fresh {
		e := &fresh[i].Entry
		target := sootline.Amends(e.Body)
		if target.Zero() || here[target] {
			continue
		}
		held, err := tx.Has(site, target)
		if err != nil {
			return err
		}
		if !held[target] {
			return sootline.Errorf(sootline.Conflict, "ask for an export of the whole log; nothing was imported",
				"line %d of station %s amends entry %s, which neither this book nor the file holds", e.Seq, e.Station, target)
		}
	}
	return nil
}
