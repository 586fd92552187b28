package app

import (
	"slices"

	"sootline"
	"sootline/internal/store"
)

// refuseCircuit refuses a fact of a loop, radial circuit or panel that contradicts what the register holds: one name for a
// loop and a radial circuit, of which each would hide the other, a panel that there is not, and more devices in alarm than
// the loop has numbers.
func refuseCircuit(r *sootline.Register, body sootline.Body) error {
	switch said := body.(type) {
	case sootline.Radial:
		if id := said.ID(); r.Supply(id) != nil || slices.ContainsFunc(r.Loops(), func(l sootline.Loop) bool { return l.LoopID == id }) {
			return sootline.Errorf(sootline.Conflict, "give the radial circuit a name of its own, for example "+id.Panel+".BELLS", "%s is a loop, and no radial circuit has its name", id)
		}
		return knownPanel(r, said.ID().Panel)
	case sootline.Supply:
		id := sootline.LoopID{Panel: sootline.CleanName(said.Panel), Name: sootline.CleanName(said.Loop)}
		if err := notRadial(r, id); err != nil {
			return err
		}
		loop := r.Loop(id)
		if most := loop.Last - loop.First + 1; said.AlarmsAtOnce != nil && (*said.AlarmsAtOnce < 0 || *said.AlarmsAtOnce > most) {
			return sootline.Errorf(sootline.Invalid, "leave it out where all may be in alarm at once", "loop %s has %d numbers, so %d devices cannot be in alarm at once on it", id, most, *said.AlarmsAtOnce)
		}
	case sootline.LoopFacts:
		return notRadial(r, sootline.LoopID{Panel: sootline.CleanName(said.Panel), Name: sootline.CleanName(said.Loop)})
	case sootline.LoadList:
		return knownPanel(r, said.Panel)
	}
	return nil
}

func notRadial(r *sootline.Register, id sootline.LoopID) error {
	if r.Radial(id) == nil {
		return nil
	}
	return sootline.Errorf(sootline.Conflict, "give the loop a name of its own, or withdraw the entry of the radial circuit", "%s is a radial circuit, and no loop has its name", id)
}

// knownPanel refuses a panel that no loop of the site is on. Of a site without any loop nobody knows the panels yet.
func knownPanel(r *sootline.Register, panel string) error {
	if panel == "" || len(r.Panels()) == 0 || slices.Contains(r.Panels(), panel) {
		return nil
	}
	return sootline.Errorf(sootline.NotFound, "describe a loop of it first", "the site has no panel %s", panel).Do(sootline.StateLoop)
}

// refuseCircuitIn is the same of a correction.
func (a *App) refuseCircuitIn(tx *store.Tx, site sootline.ID, body sootline.Body) error {
	switch body.(type) {
	case sootline.Radial, sootline.Supply, sootline.LoopFacts, sootline.LoadList:
	default:
		return nil
	}
	places, err := a.placesIn(tx, site)
	if err != nil {
		return err
	}
	return refuseCircuit(places.FoldPlaces(Always), body)
}
