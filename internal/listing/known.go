package listing

import "strings"

// Known is what the register of a site says, for a table to be held against. None knows nothing.
type Known struct {
	loops   map[Ref]bool // panel and loop
	panels  map[string]bool
	apart   map[string]bool // loops that count detectors and modules apart
	zoneOf  map[Ref]string  // of the points
	points  map[Ref]string  // the type of what is there, by panel, loop and address
	serials map[string]Ref  // folded; one that two units have is left out
	types   map[string]bool
	read    map[string]bool // types whose devices are read
	units   map[string]bool // in which types are read; "" for plain numbers
	places  map[string]bool
	told    map[Ref]told    // of the points
	placeAt map[string]Ref  // folded; one that two points have is left out
	site    string          // its name; empty: not known
	names   map[string]bool // words of the names of the site and its areas, folded
}

// NewKnown begins with nothing.
func NewKnown() *Known {
	return &Known{
		loops: map[Ref]bool{}, panels: map[string]bool{}, apart: map[string]bool{}, points: map[Ref]string{}, zoneOf: map[Ref]string{}, serials: map[string]Ref{},
		types: map[string]bool{}, read: map[string]bool{}, units: map[string]bool{}, places: map[string]bool{}, told: map[Ref]told{}, placeAt: map[string]Ref{}, names: map[string]bool{},
	}
}

// AddLoop notes a loop.
func (k *Known) AddLoop(panel, loop string) {
	k.loops[Ref{Panel: normalName(panel), Loop: normalName(loop)}] = true
	k.panels[normalName(panel)] = true
}

// CountsApart notes that a loop has a range of numbers each for detectors and modules.
func (k *Known) CountsApart(loop string) { k.apart[normalName(loop)] = true }

func (k *Known) countsApart(loop string) bool {
	if k == nil {
		return false
	}
	if loop == "" && len(k.loops) == 1 { // the only one is meant
		for only := range k.loops {
			loop = only.Loop
		}
	}
	return k.apart[loop]
}

// AddType notes the name of a type.
func (k *Known) AddType(name string) { k.types[typeKey(name)] = true }

// AddUnit notes a unit in which values of a type are read; empty: plain numbers.
func (k *Known) AddUnit(unit string) { k.units[strings.TrimSpace(unit)] = true }

// readsShares: some type is read in shares, or nothing is known of how types are read.
func (k *Known) readsShares() bool {
	if k == nil || len(k.units) == 0 {
		return true
	}
	for unit := range k.units {
		if strings.Contains(unit, "%") {
			return true
		}
	}
	return false
}

// AddName notes a name of the site or of a part of it, which may stand in titles.
func (k *Known) AddName(name string) {
	for word := range strings.FieldsSeq(fold(name)) {
		k.names[word] = true
	}
}

// isName: the word is one of a name of the site.
func (k *Known) isName(word string) bool { return k != nil && k.names[word] }

// AddPoint notes what is fitted at a point.
func (k *Known) AddPoint(ref Ref, row ScheduleRow) {
	ref = Ref{Panel: normalName(ref.Panel), Loop: normalName(ref.Loop), Address: ref.Address}
	k.AddLoop(ref.Panel, ref.Loop)
	k.note(ref, row)
	k.points[ref], k.zoneOf[ref] = row.Type, normalName(strings.TrimSpace(row.Zone))
	if row.Type != "" {
		k.AddType(row.Type)
	}
	k.places[fold(row.Location)] = true
	serial := fold(row.Serial)
	if of, twice := k.serials[serial]; twice && of != ref {
		ref = Ref{}
	}
	k.serials[serial] = ref
}

// typeKey makes spellings of a type comparable: letters and digits alone.
func typeKey(name string) string { return strings.ReplaceAll(fold(name), " ", "") }

func (k *Known) hasPoints() bool { return k != nil && len(k.points) > 0 }

// holds reports whether the register has the point; what the reference leaves out may be any.
func (k *Known) holds(ref Ref) bool {
	if k == nil {
		return false
	}
	if ref.Panel != "" && ref.Loop != "" {
		_, ok := k.points[Ref{Panel: ref.Panel, Loop: ref.Loop, Address: ref.Address}]
		return ok
	}
	for loop := range k.loops {
		if otherThan(ref.Panel, loop.Panel) || otherThan(ref.Loop, loop.Loop) {
			continue
		}
		loop.Address = ref.Address
		if _, ok := k.points[loop]; ok {
			return true
		}
	}
	return false
}

// samePoint reports whether two references name one point: the one leaves out the panel, and no two panels have that loop.
func (k *Known) samePoint(a, b Ref) bool {
	if a.Loop != b.Loop || a.Address != b.Address || a.Range != b.Range || otherThan(a.Panel, b.Panel) {
		return false
	}
	panels := 0
	if k != nil {
		for loop := range k.loops {
			if loop.Loop == a.Loop {
				panels++
			}
		}
	}
	return a.Panel == b.Panel || panels == 1
}

func (k *Known) hasLoop(ref Ref) bool {
	if k == nil {
		return false
	}
	for loop := range k.loops {
		if loop.Loop == ref.Loop && !otherThan(ref.Panel, loop.Panel) {
			return true
		}
	}
	return false
}

// bySerial gives the point of the one unit of that serial number.
func (k *Known) bySerial(serial string) (Ref, bool) {
	if k == nil {
		return Ref{}, false
	}
	ref, ok := k.serials[fold(serial)]
	return ref, ok && ref.Loop != ""
}

func (k *Known) isSerial(cell string) bool { _, ok := k.bySerial(cell); return ok }

func (k *Known) isType(cell string) bool { return k != nil && cell != "" && k.types[typeKey(cell)] }

func (k *Known) isPlace(cell string) bool { return k != nil && len(cell) > 1 && k.places[fold(cell)] }
