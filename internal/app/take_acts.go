package app

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"sootline"
)

// Act is a take, or the taking back of one, as the log holds it.
type Act struct {
	Entry    *sootline.Entry
	Taken    sootline.Taken
	UndoneBy *Act // the act that took it back; nil: it stands
}

// Acts lists the takes of a site and those that took them back, the last one first.
func (a *App) Acts(ctx context.Context, site sootline.ID) ([]Act, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	acts := actsOf(log)
	slices.Reverse(acts)
	return acts, nil
}

// Acts lists the same without reading the book again.
func (s *Survey) Acts() []Act {
	acts := actsOf(s.log)
	slices.Reverse(acts)
	return acts
}

// actsOf lists the acts of a log, as they were noted.
func actsOf(log *sootline.Log) []Act {
	var acts []Act
	for _, e := range log.Holding() {
		if said, ok := e.Body.(sootline.Taken); ok {
			acts = append(acts, Act{Entry: e, Taken: said})
		}
	}
	slices.SortFunc(acts, func(a, b Act) int {
		return cmp.Or(a.Entry.Noted.Compare(b.Entry.Noted), cmp.Compare(a.Entry.Station, b.Entry.Station), cmp.Compare(a.Entry.Seq, b.Entry.Seq))
	})
	settleActs(acts)
	return acts
}

// settleActs finds out which acts stand: those that no standing act took back.
func settleActs(acts []Act) {
	of := map[sootline.ID][]int{} // by the act taken back, those that did
	for i := range acts {
		of[acts[i].Taken.Undoes] = append(of[acts[i].Taken.Undoes], i)
	}
	settled := make([]bool, len(acts)) // also while it is looked at, so that a circle ends
	var settle func(i int)
	settle = func(i int) {
		if settled[i] {
			return
		}
		settled[i] = true
		for _, k := range of[acts[i].Entry.ID] {
			if settle(k); acts[k].UndoneBy == nil {
				by := acts[k] // the list may be turned round
				acts[i].UndoneBy = &by
			}
		}
	}
	for i := range acts {
		settle(i)
	}
}

// actNamed finds an act by its name or its id.
func actNamed(log *sootline.Log, name string) (*Act, error) {
	var found []Act
	for _, act := range actsOf(log) {
		if act.Taken.Name == name || act.Entry.ID.String() == name {
			found = append(found, act)
		}
	}
	switch len(found) {
	case 0:
		return nil, sootline.Errorf(sootline.NotFound, "see which there are", "there is no take %q in this site's log", name).Do(sootline.ListTakes)
	case 1:
		return &found[0], nil
	}
	return nil, sootline.Errorf(sootline.Conflict, "name it by its id", "%d takes are called %q, noted at different stations", len(found), name).Do(sootline.ListTakes)
}

// What tells what the act did: which files it took in, or which take it took back.
func (act *Act) What() string {
	names := make([]string, len(act.Taken.Files))
	for i, f := range act.Taken.Files {
		names[i] = f.Name
	}
	files := strings.Join(names, ", ")
	if act.Taken.Undoes.Zero() {
		return files
	}
	return "takes " + cmp.Or(files, "a take") + " back"
}
