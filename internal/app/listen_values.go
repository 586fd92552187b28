package app

import (
	"context"
	"errors"
	"strconv"
	"strings"
	"sync"
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
	units   map[string]string // of points whose mapping has another unit than their type
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
	v := &Values{app: a, site: site, source: source, points: map[string]sootline.ID{}, units: map[string]string{}, keepers: map[sootline.ID]*live.Keeper{}, zone: zone}
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
	e := v.app.entry(v.site.ID, at, id, sootline.Read{Samples: []float64{value}, Quantity: v.units[point], Remark: readBy(v.source)})
	e.ID = sootline.DerivedID(at, []byte(v.site.ID.String()+"\x00"+v.source+"\x00"+id.String()+"\x00"+strconv.FormatFloat(value, 'g', -1, 64)))
	added, err := v.app.addOnce(ctx, v.site.ID, []sootline.Entry{e})
	return added[e.ID], err
}

// readBy says of a reading by which source it was read.
func readBy(source string) string { return "read by " + source }

// placesOf reads which value of a source is of which point, and refuses points that the register has not.
func (a *App) placesOf(ctx context.Context, site sootline.ID, kept sootline.Source) (places []ear.Place, points []string, err error) {
	if places, err = ear.ReadPlaces(ear.Kind(kept.Via), kept.Places); err != nil {
		return nil, nil, err
	}
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return nil, nil, err
	}
	seen := map[string]bool{}
	for _, p := range places {
		if _, err := PointNamed(r, p.Point); err != nil {
			return nil, nil, err
		}
		if seen[p.Point] {
			return nil, nil, sootline.Errorf(sootline.Invalid, "leave one away: a reading is one value of a point", "point %s has two values", p.Point)
		}
		seen[p.Point] = true
		points = append(points, p.Point)
	}
	return places, points, nil
}

// ValueHearer takes the values of a source: they are kept first, then those become readings that say something new.
type ValueHearer struct {
	Say  func(string)
	Told func(at time.Time, point string, value float64, wrote bool) // of each value; nil: nobody asks

	app     *App
	folder  string
	journal *ear.Journal
	values  *Values
	places  []ear.Place
	kept    sootline.Source
	lock    sync.Mutex
	facts   heardFacts
	pace    pace
	scales  map[string]shownScale // what values of each point can be
	apart   *multiples
	off     []string // points that show what their scale cannot, with what they show
}

// ValueHearer opens what was kept of a source of values, for the one who reads them; it is kept for so many days.
func (a *App) ValueHearer(ctx context.Context, site store.SiteLine, kept sootline.Source, days int) (*ValueHearer, error) {
	if err := a.Who.MaySee(site.ID); err != nil {
		return nil, err
	}
	places, points, err := a.placesOf(ctx, site.ID, kept)
	if err != nil {
		return nil, err
	}
	values, err := a.HearValues(ctx, site, kept.Name, points)
	if err != nil {
		return nil, err
	}
	folder, err := a.journalFolder(site.ID, kept.Name)
	if err != nil {
		return nil, err
	}
	journal, err := ear.OpenJournal(folder)
	if err != nil {
		return nil, err
	}
	h := &ValueHearer{app: a, folder: folder, journal: journal, values: values, places: places, kept: kept, Say: func(string) {}}
	h.facts = readFacts(folder)
	h.facts.Joined = false
	if err := h.know(ctx, site.ID); err != nil {
		return nil, errors.Join(err, journal.Close())
	}
	err = journal.Trim(a.Now().AddDate(0, 0, -days))
	if err == nil {
		err = h.again(ctx)
	}
	if err != nil {
		return nil, errors.Join(err, journal.Close())
	}
	return h, nil
}

// know finds what the values of each point can be, and which are in another unit than their type's.
func (h *ValueHearer) know(ctx context.Context, site sootline.ID) error {
	r, err := h.app.Register(ctx, site, time.Time{})
	if err != nil {
		return err
	}
	h.scales = map[string]shownScale{}
	var points []string
	for i := range h.places {
		place := &h.places[i]
		p, err := PointNamed(r, place.Point)
		if err != nil {
			return err
		}
		h.scales[place.Point] = scaleAt(r, p, place)
		if typesUnit(r.Sheet(p.Type), place.Unit) {
			points = append(points, place.Point)
		}
		if !typesUnit(r.Sheet(p.Type), place.Unit) {
			h.values.units[place.Point] = sootline.QuantityLabel("", place.Unit)
		}
	}
	h.apart = lastRead(r, h.kept.Name, points)
	return nil
}

// Places is how many values there are to read.
func (h *ValueHearer) Places() int { return len(h.places) }

// Close ends it.
func (h *ValueHearer) Close() error { return h.journal.Close() }

// Zone is the time zone of the site.
func (h *ValueHearer) Zone() *time.Location { return h.values.Zone() }

// again takes the values that were kept before, so that what is new is told from them.
func (h *ValueHearer) again(ctx context.Context) error {
	return h.journal.Each(0, func(_ int64, one ear.Heard) error {
		point, text, _ := strings.Cut(strings.TrimSpace(string(one.Bytes)), " ")
		value, err := strconv.ParseFloat(text, 64)
		if err != nil || !h.scales[point].shows(value) {
			return nil // a line of another version, or of before its scale was known
		}
		_, err = h.values.Hear(ctx, one.At, point, value)
		return err
	})
}

// Listen takes values until ctx ends.
func (h *ValueHearer) Listen(ctx context.Context) error {
	every := 24 * time.Hour
	if h.kept.Minutes > 0 {
		every = time.Duration(h.kept.Minutes) * time.Minute
	}
	return h.listen(ctx, every)
}

// Once reads each value once.
func (h *ValueHearer) Once(ctx context.Context) error { return h.listen(ctx, 0) }

func (h *ValueHearer) listen(ctx context.Context, every time.Duration) error {
	source, err := ear.OpenValues(ear.Kind(h.kept.Via), h.kept.Address, h.kept.Speed)
	if err != nil {
		return err
	}
	writes := context.WithoutCancel(ctx)
	err = source.Values(ctx, h.places, every, ear.ValueOut{
		Value: func(at time.Time, place int, v float64) error { return h.take(writes, at, h.places[place].Point, v) },
		Say:   h.say, Now: h.app.Now, Joined: h.joined,
	})
	return errors.Join(err, h.keepFacts(func(f *heardFacts) { f.Joined = false }))
}

// take keeps a value, and writes it where it says something new. What cannot be written now is written when it is read again.
func (h *ValueHearer) take(ctx context.Context, at time.Time, point string, v float64) error {
	h.lock.Lock()
	shown := h.scales[point].shows(v)
	said := h.beyond(point, v, shown)
	if shown {
		if apart := h.apart.shows(point, v); apart != "" {
			said = h.kept.Name + ": " + apart
		}
	}
	h.lock.Unlock()
	if said != "" {
		h.say(said)
	}
	if !shown {
		return nil
	}
	h.lock.Lock()
	defer h.lock.Unlock()
	one := ear.Heard{At: at, Bytes: []byte(point + " " + strconv.FormatFloat(v, 'g', -1, 64) + "\n")}
	if h.pace.floods(one) {
		h.facts.Flood, h.facts.Turned = at, h.facts.Turned+h.pace.turned(&one)
		if err := h.facts.keep(h.folder); err != nil || len(one.Bytes) == 0 {
			return err
		}
	}
	if err := h.journal.Add(one); err != nil {
		return err
	}
	wrote, err := h.values.Hear(ctx, at, point, v)
	if err != nil {
		return err
	}
	if h.Told != nil {
		h.Told(at, point, v, wrote)
	}
	return nil
}

func (h *ValueHearer) say(text string) {
	h.Say(text)
	if err := h.keepFacts(func(f *heardFacts) { f.Said = text }); err != nil {
		h.Say(err.Error())
	}
}

func (h *ValueHearer) joined(there bool) {
	h.lock.Lock()
	same := h.facts.Joined == there
	h.lock.Unlock()
	if same {
		return // told at every answer
	}
	if err := h.keepFacts(func(f *heardFacts) { f.join(there) }); err != nil {
		h.Say(err.Error())
	}
}

func (h *ValueHearer) keepFacts(change func(*heardFacts)) error {
	h.lock.Lock()
	defer h.lock.Unlock()
	change(&h.facts)
	return h.facts.keep(h.folder)
}
