package app

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/store"
)

// SettingsOfLoop are the settings of a loop's devices that are not as wanted.
type SettingsOfLoop struct {
	Loop        address.Loop
	Differences []address.Difference
}

// SettingDifferences lists the settings that devices should have and were not found
// to have, in the order of the walk.
func (a *App) SettingDifferences(ctx context.Context, site sootline.ID, loop string) ([]SettingsOfLoop, error) {
	_, loops, err := a.numberLoops(ctx, site, loop)
	if err != nil {
		return nil, err
	}
	var all []SettingsOfLoop
	for _, l := range loops {
		all = append(all, SettingsOfLoop{l, address.Differences(l)})
	}
	return all, nil
}

// WishFor is a wish for settings to be written down: of a point, or of a type, zone
// and area, as they were typed.
type WishFor struct {
	ID    sootline.ID // zero: a new one; else handing it in twice writes it once
	Point string      // a reference, or empty
	sootline.Wish
	Sure bool
}

// Want writes down which settings are wanted of whom. Names that nothing on the site
// has are asked about, with those that are near.
func (a *App) Want(ctx context.Context, site sootline.ID, w WishFor) (sootline.Entry, error) {
	return a.AddEntry(ctx, site, Note{ID: w.ID, Point: w.Point, Body: w.Wish, Sure: w.Sure})
}

// doubtWish asks about a wish for a type, zone or area that no point has, and for
// settings that a type sheet does not have.
func (a *App) doubtWish(tx *store.Tx, site sootline.ID, w sootline.Wish) error {
	places, err := a.placesIn(tx, site)
	if err != nil {
		return err
	}
	r := places.FoldPlaces(Always)
	var types, zones, areas []string
	for _, p := range r.Points() {
		types, zones, areas = append(types, p.Type), append(zones, p.Zone), append(areas, p.Area)
	}
	for _, sheet := range r.Sheets() {
		types = append(types, sheet.Name)
	}
	for _, area := range r.Areas() {
		areas = append(areas, area.Area)
	}
	for _, one := range []struct {
		what, name string
		known      []string
	}{{sootline.OfType, w.Type, types}, {sootline.OfZone, w.Zone, zones}, {sootline.OfArea, w.Area, areas}} {
		if why := unknownName(one.what, one.name, one.known); why != "" {
			return doubtful("%s", why)
		}
	}
	var held []sootline.Wished
	for _, one := range r.SettingWishes() {
		if sootline.TypeKey(one.Type) == sootline.TypeKey(w.Type) && sootline.TypeKey(one.Zone) == sootline.TypeKey(w.Zone) && sootline.TypeKey(one.Area) == sootline.TypeKey(w.Area) {
			held = append(held, one.Wished)
		}
	}
	if err := doubtTakenBack(w.Settings, held, "of those"); err != nil {
		return err
	}
	if sheet := r.Sheet(w.Type); sheet != nil {
		return doubtSettings(sheet, sootline.Set{Wanted: w.Settings})
	}
	return nil
}

// doubtTakenBack asks about a wish that is taken back where nothing of the setting is
// wanted: it may be another's wish, or another name.
func doubtTakenBack(settings map[string]string, held []sootline.Wished, whose string) error {
	for _, name := range slices.Sorted(maps.Keys(settings)) {
		wanted := slices.ContainsFunc(held, func(w sootline.Wished) bool { return sootline.TypeKey(w.Name) == sootline.TypeKey(name) })
		if strings.TrimSpace(settings[name]) == "" && !wanted {
			return doubtful("nothing is wanted of the setting %q %s, so that there is nothing to take back", name, whose)
		}
	}
	return nil
}

// unknownName tells that no point is of a type, zone or area of that name, and which
// are near; empty where the name is known, or none was given.
func unknownName(what, name string, known []string) string {
	if strings.TrimSpace(name) == "" || slices.ContainsFunc(known, func(k string) bool { return sootline.TypeKey(k) == sootline.TypeKey(name) }) {
		return ""
	}
	text := "no point is of " + what + " \"" + name + "\""
	if near := Nearest(name, known); len(near) > 0 {
		return text + "; near it there is " + strings.Join(near, ", ")
	}
	return text
}

// WishLine is a wish that holds, with whose it is in words.
type WishLine struct {
	Of string
	sootline.Wished
}

// Wishes lists the settings that are wanted on a site: of types, zones and areas,
// the widest first, then of single points.
func (a *App) Wishes(ctx context.Context, site sootline.ID) ([]WishLine, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return nil, err
	}
	return WishesOf(r), nil
}

// WishesOf lists the wishes of a register.
func WishesOf(r *sootline.Register) []WishLine {
	var all []WishLine
	for _, w := range r.SettingWishes() {
		all = append(all, WishLine{sootline.Joined(labelled(sootline.OfArea, w.Area), labelled(sootline.OfZone, w.Zone), labelled(sootline.OfType, w.Type)), w.Wished})
	}
	for _, p := range r.Points() {
		for _, w := range r.WishesOf(p) {
			if w.Of == sootline.OfPoint {
				all = append(all, WishLine{sootline.Joined(labelled(sootline.OfPoint, p.Ref().String()), p.Location), w})
			}
		}
	}
	return all
}

func labelled(what, name string) string {
	if name == "" {
		return ""
	}
	return what + " " + name
}
