package app

import (
	"context"
	"maps"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/store"
)

// SettingDifference is a setting of a point that is not as wanted.
type SettingDifference struct {
	Point sootline.ID
	Wish  sootline.Wished
	Found string // empty: nobody looked
}

// SettingDifferences lists the settings of the site that are not as wanted, loop by
// loop in the order of the walk.
func (s *Survey) SettingDifferences() ([]SettingDifference, error) {
	loops, err := LoopsOf(s.Register)
	if err != nil {
		return nil, err
	}
	var all []SettingDifference
	for _, l := range loops {
		for _, d := range address.Differences(l) {
			all = append(all, SettingDifference{l.Devices[d.Device].ID, d.Wish, d.Found})
		}
	}
	return all, nil
}

// FoundSo reports whether a point was found to be set as a wish wants it.
func FoundSo(p *sootline.Point, w sootline.Wished) bool { return address.FoundSo(p.Has, w) }

// ParseSettings reads settings as name=choice; a choice may be empty.
func ParseSettings(texts []string) (map[string]string, error) {
	settings := map[string]string{}
	for _, text := range texts {
		name, choice, ok := strings.Cut(text, "=")
		if name = strings.TrimSpace(name); !ok || name == "" {
			return nil, sootline.Errorf(sootline.Invalid, "write name=choice, for example blink=off", "%q is not a setting", text)
		}
		settings[name] = strings.TrimSpace(choice)
	}
	return settings, nil
}

// AsWanted names a setting of a point that was found to be as it is wanted.
type AsWanted struct{ Point, Setting string } // by id and name

// NoteAsWanted writes down settings that were found as they are wanted, and gives
// how many.
func (a *App) NoteAsWanted(ctx context.Context, site sootline.ID, seen []AsWanted) (int, error) {
	n := 0
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		places, err := a.placesIn(tx, site)
		if err != nil {
			return err
		}
		found, err := asWanted(places.FoldPlaces(Always), seen)
		if err != nil {
			return err
		}
		var entries []sootline.Entry
		n = 0
		for _, id := range slices.SortedFunc(maps.Keys(found), func(a, b sootline.ID) int { return strings.Compare(a.String(), b.String()) }) {
			n += len(found[id])
			entries = append(entries, a.entry(site, a.Now(), id, sootline.Set{Found: found[id]}))
		}
		return a.append(tx, site, entries)
	})
	return n, err
}

// asWanted gives the choices that are wanted of what was seen, by point.
func asWanted(r *sootline.Register, seen []AsWanted) (map[sootline.ID]map[string]string, error) {
	found := map[sootline.ID]map[string]string{}
	for _, one := range seen {
		p, err := PointNamed(r, one.Point)
		if err != nil {
			return nil, err
		}
		wishes := r.WishesOf(p)
		i := slices.IndexFunc(wishes, func(w sootline.Wished) bool { return w.Name == one.Setting })
		if i < 0 {
			return nil, sootline.Errorf(sootline.NotFound, "look at what is wanted now", "nothing is wanted of the setting %q at %s", one.Setting, p.Ref())
		}
		if found[p.ID] == nil {
			found[p.ID] = map[string]string{}
		}
		found[p.ID][wishes[i].Name] = wishes[i].Choice
	}
	if len(found) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "tick the settings that were found so", "no setting was ticked; nothing was written down")
	}
	return found, nil
}
