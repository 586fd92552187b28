package app

import (
	"time"

	"sootline"
	"sootline/internal/store"
)

// placesIn gives the log of a site, as a transaction sees it, at least without
// its readings and tests: enough for [sootline.Log.FoldPlaces], at a cost that
// does not grow with them. A log that is kept is taken whole.
func (a *App) placesIn(tx *store.Tx, site sootline.ID) (*sootline.Log, error) {
	if a.Logs.keeps(site) {
		return a.Logs.in(tx, site)
	}
	entries, err := someOf(tx.LinesOfKinds(site, placing()...))
	return sootline.NewLog(entries), err
}

// placing are the kinds that FoldPlaces folds.
func placing() []sootline.Kind {
	var kinds []sootline.Kind
	for _, kind := range sootline.Kinds() {
		if kind.Kind != sootline.ReadKind && kind.Kind != sootline.TestedKind {
			kinds = append(kinds, kind.Kind)
		}
	}
	return kinds
}

// foldPlaces folds what is where, with the times in the zone of the site.
func foldPlaces(log *sootline.Log, asOf time.Time) (*sootline.Register, *time.Location, error) {
	r := log.FoldPlaces(asOf)
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, nil, err
	}
	r.In(zone)
	return r, zone, nil
}
