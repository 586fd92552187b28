package sootline

import "strings"

// WishKind is the kind of [Wish].
const WishKind Kind = "wanted"

// Wish says how devices are to be set, and why: those of a type, a zone or an area,
// or, where the entry names a point, the device there. What names several is for
// those that are of all of them. An empty choice takes the wish for that setting
// back.
type Wish struct {
	Type     string            `json:"type,omitempty"`
	Zone     string            `json:"zone,omitempty"`
	Area     string            `json:"area,omitempty"`
	Settings map[string]string `json:"settings" form:"settings wanted, name=choice; an empty choice takes it back"`
	Reason   string            `json:"reason,omitempty"`
}

// Kind is WishKind.
func (Wish) Kind() Kind { return WishKind }

func (w Wish) say() string {
	return Joined(w.settingsSaid(), labelledText("of type", w.Type), labelledText("of zone", w.Zone), labelledText("of area", w.Area), w.Reason)
}

// settingsSaid tells what is wanted, and what no longer.
func (w Wish) settingsSaid() string {
	wanted, back := map[string]string{}, map[string]string{}
	for name, choice := range w.Settings {
		if strings.TrimSpace(choice) == "" {
			back[name] = ""
			continue
		}
		wanted[name] = choice
	}
	return Joined(settingsSaid("wanted", wanted), settingsSaid("wanted no longer", back))
}

func (w Wish) check() error {
	if len(w.Settings) == 0 {
		return Errorf(Invalid, "write name=choice, for example blink=off", "an entry of kind wanted needs at least one setting")
	}
	for name := range w.Settings {
		if settingKey(name) == "" {
			return Errorf(Invalid, "write name=choice, for example blink=off", "a setting wanted needs its name")
		}
	}
	return nil
}

// checkWhose refuses a wish of nobody, and one of a point that names others too.
func (w Wish) checkWhose(point ID) error {
	whose := areaKey(w.Type) + areaKey(w.Zone) + areaKey(w.Area)
	switch {
	case point.Zero() && whose == "":
		return Errorf(Invalid, "name a type, a zone, an area or a point", "nobody says whose settings are wanted")
	case !point.Zero() && whose != "":
		return Errorf(Invalid, "write two entries", "a wish for a point names no type, zone or area")
	}
	return nil
}

func (w Wish) fold(r *Register, e *Entry) {
	if !e.Point.Zero() {
		p := r.point(e.Point)
		p.want(w.Settings, w.Reason, e)
		p.Wants = chosen(p.own)
		return
	}
	of := circle{typ: TypeKey(w.Type), zone: areaKey(w.Zone), area: areaKey(w.Area)}
	if of == (circle{}) {
		return // of nobody: old or foreign logs may hold it
	}
	if r.wishes[of] == nil {
		r.wishes[of] = map[string]Wished{}
	}
	wish(r.wishes[of], of.narrowest(), w.Settings, w.Reason, e)
}

func (w Wish) facts() []FactSaid {
	of := Joined(labelledText("of type", TypeKey(w.Type)), labelledText("of zone", areaKey(w.Zone)), labelledText("of area", areaKey(w.Area)))
	if of != "" {
		of = " " + of
	}
	return settingsFacts(w.Settings, of, func(name, choice string) Body {
		alone := w
		alone.Settings = map[string]string{name: choice}
		return alone
	})
}
