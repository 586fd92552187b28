package sootline

import "maps"

// SetKind is the kind of [Set].
const SetKind Kind = "set"

// Set says how a device should be set, or was found to be set; each setting by
// its name.
type Set struct {
	Wanted map[string]string `json:"wanted,omitempty" form:"settings wanted"`
	Found  map[string]string `json:"found,omitempty" form:"settings found"`
}

// Kind is SetKind.
func (Set) Kind() Kind { return SetKind }

func (s Set) say() string {
	return Joined(settingsSaid("set: wanted", s.Wanted), settingsSaid("set: found", s.Found))
}

func (s Set) check() error {
	if len(s.Wanted)+len(s.Found) == 0 {
		return Errorf(Invalid, "write name=choice, for example sensitivity=high", "an entry of kind set needs at least one setting")
	}
	return nil
}

func (s Set) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Wants = merged(p.Wants, s.Wanted)
	p.want(s.Wanted, "", e)
	p.Has = merged(p.Has, s.Found)
}

// merged leaves both maps as they are: the first may be an entry's own.
func merged(old, given map[string]string) map[string]string {
	if len(given) == 0 {
		return old
	}
	all := maps.Clone(old)
	if all == nil {
		all = map[string]string{}
	}
	maps.Copy(all, given)
	return all
}

func (s Set) facts() []FactSaid {
	return settingsFacts(s.Wanted, "", func(name, choice string) Body { return Set{Wanted: map[string]string{name: choice}} })
}
