package listings

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"sootline"
)

// subject finds the point that a fact is of: one that the site has, or one that was fitted for such a fact.
func (s *scorer) subject(at Stated) sootline.ID {
	if !at.ID.Zero() {
		return at.ID
	}
	if ref, err := sootline.ParseRef(at.Ref); err == nil {
		if named := s.before.Named(ref, s.before.AsOf); len(named) == 1 {
			return named[0].ID
		}
	}
	return s.fitted[at.Ref]
}

// comparePoints compares the points that are there with those that were, and with those stated.
func (s *scorer) comparePoints() {
	s.matchNew()
	for _, f := range s.truth.Points {
		p := s.after.Point(s.subject(f.Stated))
		if p == nil || !p.Placed {
			s.lacks(f.Stated, "the point "+f.Ref)
			continue
		}
		if s.before.Point(p.ID) == nil {
			continue // compared where it was matched
		}
		s.comparePlace(f, p)
		s.compareSettings(f, p)
	}
	for _, old := range s.before.Points() {
		if now := s.after.Point(old.ID); now != nil {
			s.compareKnown(old, now)
		}
	}
	for _, p := range s.after.Strays() {
		if s.before.Point(p.ID) == nil {
			s.misread(Stated{}, "no entries of a point that nobody fitted", "some")
		}
	}
}

// matchNew gives every new point its fact; one without is a misreading.
func (s *scorer) matchNew() {
	used := make([]bool, len(s.truth.Points))
	for _, p := range s.after.Points() {
		if s.before.Point(p.ID) != nil {
			continue
		}
		at := s.bestFact(p, used)
		if at < 0 {
			s.misread(Stated{Ref: p.Ref().String()}, "no point "+p.Ref().String(), "one of type "+strconv.Quote(p.Type))
			continue
		}
		used[at] = true
		f := s.truth.Points[at]
		s.fitted[f.Ref] = p.ID
		s.comparePlace(f, p)
		s.compareSettings(f, p)
		if n := p.Ref().Number; p.Found != 0 && p.Found != n && !s.statesFound(p.ID, p.Found) {
			s.misread(f.Stated, "no other number", "found at "+strconv.Itoa(p.Found))
		}
	}
}

// bestFact finds a fact of the reference of a point that no other point took, of its type where there are several.
func (s *scorer) bestFact(p *sootline.Point, used []bool) int {
	best := -1
	for i, f := range s.truth.Points {
		if used[i] || !sameRef(f.Ref, p.Ref()) || !f.ID.Zero() {
			continue
		}
		if best < 0 || hasType(f.Types, p.Type) && !hasType(s.truth.Points[best].Types, p.Type) {
			best = i
		}
	}
	return best
}

// sameRef compares a reference as stated with one of the register; a panel that is not stated may be any.
func sameRef(stated string, ref sootline.Ref) bool {
	want, err := sootline.ParseRef(stated)
	if err != nil {
		return false
	}
	return want.Loop == sootline.CleanName(ref.Loop) && want.Number == ref.Number && (want.Panel == "" || want.Panel == sootline.CleanName(ref.Panel))
}

// folded is the spelling by which words are compared.
func folded(text string) string {
	return strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " "))
}

func hasType(types []string, name string) bool {
	return slices.ContainsFunc(types, func(t string) bool { return folded(t) == folded(name) })
}

// comparePlace compares type, zone, place, serial and cable.
func (s *scorer) comparePlace(f PointFact, p *sootline.Point) {
	s.compareText(f.Stated, "type", strings.Join(f.Types, " or "), p.Type, hasType(f.Types, p.Type))
	s.compareText(f.Stated, "zone", f.Zone, p.Zone, sameZone(f.Zone, p.Zone))
	s.compareText(f.Stated, "place", f.Place, strings.TrimSpace(p.Area+" "+p.Location+" "+p.Place.Floor), samePlace(f.Place, p))
	s.compareText(f.Stated, "serial", f.Serial, p.Unit.Serial, folded(f.Serial) == folded(p.Unit.Serial))
	switch {
	case f.Metres == nil && p.Metres != nil && s.before.Point(p.ID) == nil:
		s.misread(f.Stated, "no length of cable", fmt.Sprint(*p.Metres, " m"))
	case f.Metres != nil && p.Metres == nil:
		s.lacks(f.Stated, fmt.Sprint(*f.Metres, " m of cable"))
	case f.Metres != nil && !near(*f.Metres, *p.Metres):
		s.misread(f.Stated, fmt.Sprint(*f.Metres, " m of cable"), fmt.Sprint(*p.Metres, " m"))
	}
}

// compareText compares one fact of a point. What the listing does not state, a new point must not have; a point that
// the site knows keeps what it had, which compareKnown sees to.
func (s *scorer) compareText(at Stated, what, want, have string, same bool) {
	known := s.before.Point(s.subject(at)) != nil
	switch {
	case want == "" && (have == "" || known):
	case have == "" && want != "":
		s.lacks(at, what+" "+strconv.Quote(want))
	case !same:
		if want == "" {
			want = "none"
		}
		s.misread(at, what+" "+strconv.Quote(want), strconv.Quote(have))
	}
}

// sameZone lets "Zone 03" be zone 3.
func sameZone(want, have string) bool {
	words := strings.Fields(folded(have))
	if len(words) == 0 {
		return want == ""
	}
	last := strings.TrimLeft(words[len(words)-1], "0")
	return folded(want) == folded(have) || len(words) <= 2 && strings.TrimLeft(folded(want), "0") == last
}

// samePlace lets a place stand as location, as area, or shared out over both and the floor.
func samePlace(want string, p *sootline.Point) bool {
	if folded(p.Location) == folded(want) || p.Location == "" && folded(p.Area) == folded(want) {
		return true
	}
	one, two := strings.Fields(folded(want)), strings.Fields(folded(p.Area+" "+p.Location+" "+p.Place.Floor))
	slices.Sort(one)
	slices.Sort(two)
	return slices.Equal(one, two)
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(a)) }

// compareSettings compares the settings that a listing states with those written.
func (s *scorer) compareSettings(f PointFact, p *sootline.Point) {
	have, had := p.Settings(), map[string]string{}
	if old := s.before.Point(p.ID); old != nil {
		had = old.Settings()
	}
	for name, choice := range f.Settings {
		at := s.settingNamed(have, name)
		switch {
		case at == "":
			s.lacks(f.Stated, "setting "+name+"="+choice)
		case folded(have[at]) != folded(choice):
			s.misread(f.Stated, "setting "+name+"="+choice, have[at])
		}
	}
	for name, choice := range have {
		if old, ok := had[name]; ok && old == choice {
			continue
		}
		if s.settingNamed(f.Settings, name) == "" {
			s.misread(f.Stated, "no setting "+strconv.Quote(name), choice)
		}
	}
}

// settingNamed finds a setting by its name, also where two letters of it are exchanged.
func (s *scorer) settingNamed(all map[string]string, name string) string {
	letters := func(text string) string {
		runes := []rune(folded(text))
		slices.Sort(runes)
		return string(runes)
	}
	for have := range all {
		if letters(have) == letters(name) {
			return have
		}
	}
	return ""
}

// compareKnown compares a point of the site with what it became.
func (s *scorer) compareKnown(old, now *sootline.Point) {
	at := Stated{Ref: old.Ref().String()}
	changed := func(what, had, has string) {
		s.misread(at, "the "+what+" of "+at.Ref+" as it was, "+strconv.Quote(had), strconv.Quote(has))
	}
	if now.Removed != nil && s.countEvents(old.ID, sootline.RemovedKind) == 0 {
		s.misread(at, "the point "+at.Ref, "it was removed")
	}
	replaced := s.countEvents(old.ID, sootline.ReplacedKind)
	for _, field := range []struct{ what, had, has string }{
		{"panel", old.Panel, now.Panel},
		{"loop", old.Place.Loop, now.Place.Loop},
		{"zone", old.Zone, now.Zone},
		{"area", old.Area, now.Area},
		{"location", old.Location, now.Location},
		{"floor", old.Place.Floor, now.Place.Floor},
	} {
		if folded(field.had) != folded(field.has) && field.had != "" {
			changed(field.what, field.had, field.has)
		}
	}
	if old.Place.Spur != now.Place.Spur {
		changed("spur", strconv.Itoa(old.Place.Spur), strconv.Itoa(now.Place.Spur))
	}
	if replaced == 0 && folded(old.Type) != folded(now.Type) {
		changed("type", old.Type, now.Type)
	}
	if replaced == 0 && old.Unit.Serial != now.Unit.Serial {
		changed("serial", old.Unit.Serial, now.Unit.Serial)
	}
	resets := replaced + s.countEvents(old.ID, sootline.CleanedKind) + s.countEvents(old.ID, sootline.RebasedKind)
	if len(now.Resets) > len(old.Resets)+resets {
		s.misread(at, "the drift of "+at.Ref+" going on", "it begins afresh")
	}
	if old.Wanted != now.Wanted {
		changed("wanted number", strconv.Itoa(old.Wanted), strconv.Itoa(now.Wanted))
	}
	if old.Found != now.Found && !s.statesFound(old.ID, now.Found) {
		changed("number found", strconv.Itoa(old.Found), strconv.Itoa(now.Found))
	}
	s.compareUnstated(old, now)
}

// compareUnstated looks at what a point has that it had not, and that no fact states.
func (s *scorer) compareUnstated(old, now *sootline.Point) {
	stated := slices.ContainsFunc(s.truth.Points, func(f PointFact) bool { return s.subject(f.Stated) == old.ID })
	if stated {
		return
	}
	at := Stated{Ref: old.Ref().String()}
	if !maps.Equal(now.Settings(), old.Settings()) {
		s.misread(at, "no settings of "+at.Ref, fmt.Sprint(now.Settings()))
	}
	if now.Metres != nil && (old.Metres == nil || *old.Metres != *now.Metres) {
		s.misread(at, "the cable before "+at.Ref+" as it was", fmt.Sprint(*now.Metres, " m"))
	}
	if old.Place.Location+old.Area+old.Zone == "" && now.Place.Location+now.Area+now.Zone != "" {
		s.misread(at, "no place of "+at.Ref, now.Place.Location+now.Area+now.Zone)
	}
}

// statesFound reports whether the listing states that a point was found at a number; a schedule states the number that
// it stands at.
func (s *scorer) statesFound(id sootline.ID, n int) bool {
	if slices.ContainsFunc(s.truth.Numbers, func(f NumberFact) bool { return f.Found == n && s.subject(f.Stated) == id }) {
		return true
	}
	return slices.ContainsFunc(s.truth.Points, func(f PointFact) bool {
		ref, err := sootline.ParseRef(f.Ref)
		return err == nil && ref.Number == n && s.subject(f.Stated) == id
	})
}
