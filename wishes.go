package sootline

import (
	"cmp"
	"maps"
	"slices"
	"strings"
)

// Wished is a setting that is wanted of a point, with whose wish it is and why.
type Wished struct {
	Name, Choice string
	Of           string // OfPoint, OfArea, OfZone or OfType: the narrowest that the wish names
	Reason       string
	Entry        *Entry // that says it
}

// Whose says whose wish it is in words: all that it names, as "area and zone".
func (w Wished) Whose() string {
	if w.Entry == nil || w.Of == OfPoint {
		return w.Of
	}
	wish, ok := w.Entry.Body.(Wish)
	if !ok {
		return w.Of
	}
	var parts []string
	for _, part := range []struct{ what, name string }{{OfArea, wish.Area}, {OfZone, wish.Zone}, {OfType, wish.Type}} {
		if strings.TrimSpace(part.name) != "" {
			parts = append(parts, part.what)
		}
	}
	return strings.Join(parts, " and ")
}

// Whose a wish can be, the narrowest first.
const (
	OfPoint = "point"
	OfArea  = "area"
	OfZone  = "zone"
	OfType  = "type"
)

// circle is whom a wish of the site is for: the points of a type, zone and area,
// each by the spelling it is matched by; empty: any.
type circle struct{ typ, zone, area string }

func (c circle) narrowest() string {
	switch {
	case c.area != "":
		return OfArea
	case c.zone != "":
		return OfZone
	}
	return OfType
}

// narrowness ranks circles: by the narrowest that they name, then by what they name
// beside it.
func (c circle) narrowness() int {
	rank := 0
	for bit, name := range []string{c.typ, c.zone, c.area} {
		if name != "" {
			rank |= 1 << bit
		}
	}
	return rank
}

// around lists the circles that a point lies in, the widest first.
func around(p *Point) []circle {
	typ, zone, area := TypeKey(p.Type), areaKey(p.Zone), areaKey(p.Area)
	var all []circle
	for rank := 1; rank < 8; rank++ {
		var c circle
		for bit, part := range []struct {
			into *string
			name string
		}{{&c.typ, typ}, {&c.zone, zone}, {&c.area, area}} {
			if rank&(1<<bit) != 0 {
				*part.into = part.name
			}
		}
		if c.narrowness() == rank { // else the point has none of what the rank names
			all = append(all, c)
		}
	}
	return all
}

// settingKey is the spelling by which the names of settings are matched.
func settingKey(name string) string { return TypeKey(name) }

// wish files settings under their names; an empty choice takes one out.
func wish(into map[string]Wished, of string, settings map[string]string, reason string, e *Entry) {
	for name, choice := range settings {
		if strings.TrimSpace(choice) == "" {
			delete(into, settingKey(name))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(settings)) {
		if choice := strings.TrimSpace(settings[name]); choice != "" {
			into[settingKey(name)] = Wished{strings.TrimSpace(name), choice, of, reason, e}
		}
	}
}

// want files what is wanted of this very point.
func (p *Point) want(settings map[string]string, reason string, e *Entry) {
	if p.own == nil {
		p.own = map[string]Wished{}
	}
	wish(p.own, OfPoint, settings, reason, e)
}

// without leaves out of settings those that others name, however they spell them.
func without(settings, others map[string]string) map[string]string {
	rest := maps.Clone(settings)
	maps.DeleteFunc(rest, func(name, _ string) bool {
		for other := range others {
			if settingKey(other) == settingKey(name) {
				return true
			}
		}
		return false
	})
	return rest
}

// chosen gives the choices by the names as they were written.
func chosen(wishes map[string]Wished) map[string]string {
	all := make(map[string]string, len(wishes))
	for _, w := range wishes {
		all[w.Name] = w.Choice
	}
	return all
}

// WishesOf lists the settings that are wanted of a point, by name: for each name
// the narrowest wish, and of wishes as narrow the later.
func (r *Register) WishesOf(p *Point) []Wished {
	all := r.wishesOf(p)
	return slices.SortedFunc(maps.Values(all), func(a, b Wished) int {
		return cmp.Compare(settingKey(a.Name), settingKey(b.Name))
	})
}

func (r *Register) wishesOf(p *Point) map[string]Wished {
	all := map[string]Wished{}
	for _, c := range around(p) {
		maps.Copy(all, r.wishes[c])
	}
	maps.Copy(all, p.own)
	return all
}

// SettingWish is a wish for the points of a type, zone and area, as the site's
// settings list it.
type SettingWish struct {
	Type, Zone, Area string // as they were written; empty: any
	Wished
}

// SettingWishes lists the wishes of the site that hold, the widest first.
func (r *Register) SettingWishes() []SettingWish {
	var all []SettingWish
	circles := slices.SortedFunc(maps.Keys(r.wishes), func(a, b circle) int {
		return cmp.Or(cmp.Compare(a.narrowness(), b.narrowness()), cmp.Compare(a.area, b.area), cmp.Compare(a.zone, b.zone), cmp.Compare(a.typ, b.typ))
	})
	for _, c := range circles {
		for _, key := range slices.Sorted(maps.Keys(r.wishes[c])) {
			one := r.wishes[c][key]
			if said, ok := one.Entry.Body.(Wish); ok {
				all = append(all, SettingWish{said.Type, said.Zone, said.Area, one})
			}
		}
	}
	return all
}

// settleWishes gives each point the settings that are wanted of it by all wishes.
func (r *Register) settleWishes() {
	for _, p := range r.points {
		if p.wished = p.Wants; len(r.wishes) > 0 {
			p.wished = chosen(r.wishesOf(p))
		}
	}
}
