package app

import (
	"slices"

	"sootline"
	"sootline/internal/store"
)

// doubtMeasured asks whether a loop was meant on which no device stands.
func (a *App) doubtMeasured(tx *store.Tx, site sootline.ID, said sootline.Measured) error {
	log, err := a.Logs.in(tx, site)
	if err != nil {
		return err
	}
	if id := said.LoopID(); !slices.ContainsFunc(log.FoldPlaces(Always).Points(), func(p *sootline.Point) bool { return p.LoopID() == id }) {
		return doubtful("there is no point on loop %s, of which this was measured", id)
	}
	return nil
}
