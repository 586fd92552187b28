package app

import (
	"context"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/ear"
	"sootline/internal/live"
	"sootline/internal/store"
)

// Values takes values that are read by themselves, every night say, and writes those as readings that say something new.
type Values struct {
	app     *App
	site    store.SiteLine
	source  string
	points  map[string]sootline.ID
	keepers map[sootline.ID]*live.Keeper
	zone    *time.Location
}

// Zone is the time zone of the site.
func (v *Values) Zone() *time.Location { return v.zone }

// HearValues begins to take values of the points that are named.
func (a *App) HearValues(ctx context.Context, site store.SiteLine, source string, points []string) (*Values, error) {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return nil, err
	}
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, err
	}
	v := &Values{app: a, site: site, source: source, points: map[string]sootline.ID{}, keepers: map[sootline.ID]*live.Keeper{}, zone: zone}
	for _, name := range points {
		p, err := PointNamed(r, name)
		if err != nil {
			return nil, err
		}
		v.points[name] = p.ID
		v.keepers[p.ID] = &live.Keeper{}
	}
	return v, nil
}

// Hear takes a value that a point showed. Heard again with the same instant, as when what was kept is read again, it is written
// once. It reports whether it wrote a reading.
func (v *Values) Hear(ctx context.Context, at time.Time, point string, value float64) (bool, error) {
	id, ok := v.points[point]
	if !ok || !v.keepers[id].Keeps(at, value) {
		return false, nil
	}
	at = sootline.Instant(at)
	e := v.app.entry(v.site.ID, at, id, sootline.Read{Samples: []float64{value}, Remark: "read by " + v.source})
	e.ID = sootline.DerivedID(at, []byte(v.site.ID.String()+"\x00"+v.source+"\x00"+id.String()+"\x00"+strconv.FormatFloat(value, 'g', -1, 64)))
	added, err := v.app.addOnce(ctx, v.site.ID, []sootline.Entry{e})
	return added[e.ID], err
}

// ValueJournal opens what was kept of a source of values, for the one who reads it.
func (a *App) ValueJournal(site sootline.ID, source string) (*ear.Journal, error) {
	folder, err := a.journalFolder(site, source)
	if err != nil {
		return nil, err
	}
	return ear.OpenJournal(folder)
}
