package app

import (
	"maps"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/store"
)

// A slip at the keyboard looks like a fact. What an entry made by hand says is
// held against the register, and what may be a slip is asked: whoever is certain
// says so. Readings are not among it: an odd value is what a reading is for.

// doubtful asks about what may be a slip.
func doubtful(format string, args ...any) error {
	return sootline.Errorf(sootline.Doubtful, "if it is so, say that you are certain", format, args...).Do(sootline.Give, "sure")
}

// refuseIn refuses a number that cannot have been set on the device that was there, also
// of whoever is certain.
func (a *App) refuseIn(tx *store.Tx, site sootline.ID, e *sootline.Entry) error {
	if err := a.refuseCircuitIn(tx, site, e.Body); err != nil {
		return err
	}
	said, ok := e.Body.(sootline.Addressed)
	if !ok || said.Set == 0 || e.Point.Zero() {
		return nil
	}
	places, err := a.placesIn(tx, site)
	if err != nil {
		return err
	}
	r := places.FoldPlaces(e.At)
	p := r.Point(e.Point)
	if p == nil || !p.Placed {
		return nil
	}
	if why := address.Impossible(r, p, said); why != "" {
		return sootline.Errorf(sootline.Invalid, "look at the device and its type again; how a type is set is said with address how", "%s", why).Do(sootline.SayHowSet, p.Type)
	}
	return nil
}

// doubtIn asks about what may be a slip, with the reason, held against the
// register as a transaction sees it: as it is now and, where it matters, as it was
// when the thing happened.
func (a *App) doubtIn(tx *store.Tx, site sootline.ID, e *sootline.Entry) error {
	if err := doubtPass(e.Body); err != nil {
		return err
	}
	if err := a.doubtRetest(tx, site, e); err != nil {
		return err
	}
	if alias, ok := e.Body.(sootline.Alias); ok {
		log, err := a.Logs.in(tx, site)
		if err == nil {
			err = doubtAlias(log.Fold(Always), alias)
		}
		if err != nil {
			return err
		}
	}
	if wish, ok := e.Body.(sootline.Wish); ok && e.Point.Zero() {
		if err := a.doubtWish(tx, site, wish); err != nil {
			return err
		}
	}
	if measured, ok := e.Body.(sootline.Measured); ok {
		if err := a.doubtMeasured(tx, site, measured); err != nil {
			return err
		}
	}
	if e.Point.Zero() {
		return a.doubtDay(time.UTC, e)
	}
	places, err := a.placesIn(tx, site)
	if err != nil {
		return err
	}
	now, zone, err := foldPlaces(places, Always)
	if err != nil {
		return err
	}
	if err := a.doubtDay(zone, e); err != nil {
		return err
	}
	p := now.Point(e.Point)
	if p == nil || !p.Placed {
		return nil
	}
	then := now
	if e.At.Before(p.Since) || disputable(e.Body) && e.At.Before(a.Now().Add(-time.Minute)) {
		if then, _, err = foldPlaces(places, e.At); err != nil {
			return err
		}
	}
	if err := doubtFitted(then, p, e, zone); err != nil {
		return err
	}
	if was := then.Point(e.Point); was != nil && was.Placed {
		p = was
	}
	return doubtSaid(then, p, e.Body)
}

// doubtRetest asks whether a defect is really closed by a retest that passed although
// nobody wrote down that it was mended. A failed test may pass the next time; then
// the words say what was seen.
func (a *App) doubtRetest(tx *store.Tx, site sootline.ID, e *sootline.Entry) error {
	said, ok := e.Body.(sootline.Retested)
	if !ok || said.Failed {
		return nil
	}
	log, err := a.Logs.in(tx, site)
	if err != nil {
		return err
	}
	d := log.Fold(Always).Defect(said.Defect)
	switch {
	case d == nil || d.StateAt(e.At) != sootline.DefectOpen:
		return nil
	case d.Nature == sootline.FailedTest && strings.TrimSpace(said.Text) != "":
		return nil
	case d.Nature == sootline.FailedTest:
		return doubtful("nobody wrote down that defect %s, %s, was mended, and the retest does not say in words what was seen", d.Name, d.What())
	}
	return doubtful("nobody wrote down that defect %s, %s, was mended: a retest in order would close it", d.Name, d.What())
}

// oldestLoop is before any addressable loop: they came in the 1980s (common
// practice, no source). A clock that lost its time says 1970.
var oldestLoop = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// doubtDay asks about what has not come yet on the site's clock: a day, or a time of
// today by more than clocks differ; and about what is older than any loop, but for
// the instant that stands for "since always".
func (a *App) doubtDay(zone *time.Location, e *sootline.Entry) error {
	if e.At.Before(oldestLoop) && !e.At.Equal(sootline.LongAgo) {
		return doubtful("%s is before there were addressable loops", e.At.In(zone).Format(time.DateOnly))
	}
	day, today := e.At.In(zone).Format(time.DateOnly), a.Now().In(zone).Format(time.DateOnly)
	if day > today {
		return doubtful("%s has not come yet on the site's clock: it is %s there", day, today)
	}
	if !e.Day && e.At.After(a.Now().Add(aheadOfTime)) {
		return doubtful("%s has not come yet on the site's clock: it is %s there", e.At.In(zone).Format("15:04"), a.Now().In(zone).Format("15:04"))
	}
	return nil
}

// doubtFitted asks about what happened on a day before the point was fitted.
func doubtFitted(then *sootline.Register, p *sootline.Point, e *sootline.Entry, zone *time.Location) error {
	if was := then.Point(e.Point); was != nil && was.Placed || e.Body.Kind() == sootline.FittedKind {
		return nil
	}
	day, fitted := e.At.In(zone).Format(time.DateOnly), p.Since.In(zone).Format(time.DateOnly)
	if day >= fitted {
		return nil
	}
	return doubtful("%s was fitted on %s, and %s is before that", p.Ref(), fitted, day)
}

// disputable reports whether a body is held against the register at its instant.
func disputable(body sootline.Body) bool {
	switch body.(type) {
	case sootline.Addressed, sootline.Set, sootline.Replaced, sootline.Moved:
		return true
	}
	return false
}

func doubtSaid(r *sootline.Register, p *sootline.Point, body sootline.Body) error {
	switch said := body.(type) {
	case sootline.Addressed:
		if why := address.Doubt(r, p, said); why != "" {
			return doubtful("%s", why)
		}
	case sootline.Moved:
		return doubtPlace(p, said)
	case sootline.Set:
		return doubtSettings(r.Sheet(p.Type), said)
	case sootline.Wish:
		own := slices.DeleteFunc(r.WishesOf(p), func(w sootline.Wished) bool { return w.Of != sootline.OfPoint })
		if err := doubtTakenBack(said.Settings, own, "of this point itself"); err != nil {
			return err
		}
		return doubtSettings(r.Sheet(p.Type), sootline.Set{Wanted: said.Settings})
	case sootline.Replaced:
		return doubtType(r, said.Type)
	}
	return nil
}

// doubtSettings asks about settings and choices that a type sheet does not have,
// where it has any.
func doubtSettings(sheet *sootline.TypeSheet, set sootline.Set) error {
	if sheet == nil {
		return nil
	}
	known := map[string]string{} // the choices of a setting, by its name
	var names []string
	for _, name := range slices.Sorted(maps.Keys(sheet.Settings)) {
		if name != address.HowSetting { // how a number is set is no setting that a device has
			known[sootline.TypeKey(name)] = sheet.Settings[name]
			names = append(names, name)
		}
	}
	if len(known) == 0 {
		return nil
	}
	for _, settings := range []map[string]string{set.Wanted, set.Found} {
		for _, name := range slices.Sorted(maps.Keys(settings)) {
			choices, ok := known[sootline.TypeKey(name)]
			if !ok {
				return doubtful("type %s has no setting %q; it has %s", sheet.Name, name, strings.Join(names, ", "))
			}
			if choice := strings.TrimSpace(settings[name]); choice != "" && !mayChoose(choices, choice) {
				return doubtful("setting %s of type %s has the choices %s, and not %q", name, sheet.Name, choices, choice)
			}
		}
	}
	return nil
}

// betweenChoices parts the choices of a setting, as listings write them.
func betweenChoices(c rune) bool { return strings.ContainsRune("/,;|", c) }

// mayChoose reports whether a choice is among those of a setting; where a sheet names
// fewer than two, any may be.
func mayChoose(choices, choice string) bool {
	all := strings.FieldsFunc(choices, betweenChoices)
	return len(all) < 2 || slices.ContainsFunc(all, func(one string) bool { return sootline.TypeKey(one) == sootline.TypeKey(choice) })
}

// doubtType asks about a type that has no sheet and that no point has.
func doubtType(r *sootline.Register, name string) error {
	if name == "" || r.Sheet(name) != nil {
		return nil
	}
	for _, p := range r.Points() {
		if sootline.TypeKey(p.Type) == sootline.TypeKey(name) {
			return nil
		}
	}
	return doubtful("nobody described a type %q, and no point has it", name)
}
