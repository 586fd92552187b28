package app

import (
	"maps"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/address"
)

// A slip at the keyboard looks like a fact. What an entry made by hand says is
// held against the register, and what may be a slip is asked: whoever is certain
// says so. Readings are not among it: an odd value is what a reading is for.

// ifSo is the way out of every doubt.
const ifSo = "if it is so, say that you are certain with --sure"

// doubt refuses what may be a slip, with the reason. The register is that of now;
// another instant's is folded where it matters.
func (a *App) doubt(now *sootline.Register, e *sootline.Entry, at func(time.Time) (*sootline.Register, error)) error {
	if now == nil { // about the site
		return a.doubtDay(time.UTC, e)
	}
	zone, err := Zone(now.Site.Zone)
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
		if then, err = at(e.At); err != nil {
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

// doubtDay asks about a day that has not come yet on the site's clock.
func (a *App) doubtDay(zone *time.Location, e *sootline.Entry) error {
	day, today := e.At.In(zone).Format(time.DateOnly), a.Now().In(zone).Format(time.DateOnly)
	if day > today {
		return sootline.Errorf(sootline.Doubtful, ifSo, "%s has not come yet on the site's clock: it is %s there", day, today)
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
	return sootline.Errorf(sootline.Doubtful, ifSo, "%s was fitted on %s, and %s is before that", p.Ref(), fitted, day)
}

// disputable reports whether a body is held against the register at its instant.
func disputable(body sootline.Body) bool {
	switch body.(type) {
	case sootline.Addressed, sootline.Set, sootline.Replaced:
		return true
	}
	return false
}

func doubtSaid(r *sootline.Register, p *sootline.Point, body sootline.Body) error {
	switch said := body.(type) {
	case sootline.Addressed:
		if why := address.Doubt(r, p, said); why != "" {
			return sootline.Errorf(sootline.Doubtful, ifSo, "%s", why)
		}
	case sootline.Set:
		return doubtSettings(r.Sheet(p.Type), said)
	case sootline.Replaced:
		return doubtType(r, said.Type)
	}
	return nil
}

// doubtSettings asks about settings that a type sheet does not have, where it
// has any.
func doubtSettings(sheet *sootline.TypeSheet, set sootline.Set) error {
	if sheet == nil || len(sheet.Settings) == 0 {
		return nil
	}
	known := map[string]bool{}
	for name := range sheet.Settings {
		known[sootline.TypeKey(name)] = true
	}
	for _, settings := range []map[string]string{set.Wanted, set.Found} {
		for _, name := range slices.Sorted(maps.Keys(settings)) {
			if !known[sootline.TypeKey(name)] {
				return sootline.Errorf(sootline.Doubtful, ifSo, "type %s has no setting %q; it has %s", sheet.Name, name, strings.Join(slices.Sorted(maps.Keys(sheet.Settings)), ", "))
			}
		}
	}
	return nil
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
	return sootline.Errorf(sootline.Doubtful, ifSo, "nobody described a type %q, and no point has it", name)
}
