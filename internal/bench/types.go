package bench

import (
	"maps"
	"slices"

	"sootline"
)

// Type is what of a type of device the run needs. A nil figure is not known.
type Type struct {
	Name    string
	Width   int  // how many numbers it takes
	Most    int  // the highest number that can be set on it
	Modules bool // of the second range, where a loop has two
	Judged  bool // its resting value is worth a look
	Unit    string
	Bands   []sootline.Band
	Noise   float64  // usual spread of a look's value, as a standard deviation
	Spread  float64  // the largest normal spread of the samples of one look, likewise
	Rest    *float64 // the resting value of a clean unit
	Worse   int      // where dirt moves the value: 1 up, -1 down, 0 neither
}

// spreadFactor times the usual noise is the largest normal spread of samples where
// the type sheet gives none: as where looks are judged, docs/methods/judging.md.
const spreadFactor = 3

// highest is the highest number that a log book can hold.
const highest = 9999

// types gathers the types of places and of the box.
func (run *Run) types() {
	for _, place := range run.Places {
		run.typed(place.Point.Type)
	}
	for i := range run.Said.Box {
		run.typed(run.Said.Box[i].Type)
	}
	for _, sheet := range run.register.Sheets() {
		run.typed(sheet.Name)
	}
}

// typed gives what is known of a type, also of one without a sheet.
func (run *Run) typed(name string) *Type {
	key := sootline.TypeKey(name)
	if t := run.Types[key]; t != nil {
		return t
	}
	t := newType(name, run.register.Sheet(name), run.register.Site.Rules.PooledSD)
	if run.facts.Most != nil {
		t.Most = run.facts.Most(name)
	}
	run.Types[key] = t
	return t
}

// OtherType is what is taken of a type that nobody described.
func (run *Run) OtherType() *Type { return run.typed("") }

func newType(name string, sheet *sootline.TypeSheet, usual float64) *Type {
	t := &Type{Name: name, Width: sheet.Numbers(), Most: highest, Judged: true, Noise: usual, Worse: 1}
	if sheet != nil {
		t.Name, t.Unit, t.Bands, t.Rest, t.Judged = sheet.Name, sheet.Unit, sheet.Bands, sheet.FactoryRest, sheet.Kind.Judged()
		t.Modules = !sheet.Kind.Judged()
		if sheet.PooledSD != nil && *sheet.PooledSD > 0 {
			t.Noise = *sheet.PooledSD
		}
		t.Worse = worse(sheet)
	}
	t.Spread = spreadFactor * t.Noise
	if sheet != nil && sheet.SpreadLimit != nil {
		t.Spread = *sheet.SpreadLimit
	}
	return t
}

// worse is where dirt moves the value: up, unless the sheet says down. A gas cell
// falls as it ages, and dirt does not move it.
func worse(sheet *sootline.TypeSheet) int {
	switch {
	case sheet.Worse == sootline.Downwards:
		return -1
	case sheet.Worse == sootline.AsKind && sheet.Kind == sootline.Gas:
		return 0
	}
	return 1
}

// band is the band of the type under these settings, as a type sheet finds it.
func (t *Type) band(settings map[string]string) *sootline.Band {
	return (&sootline.TypeSheet{Bands: t.Bands}).Band(settings)
}

// TypesInOrder lists the types by name.
func (run *Run) TypesInOrder() []*Type {
	var all []*Type
	for _, key := range slices.Sorted(maps.Keys(run.Types)) {
		all = append(all, run.Types[key])
	}
	return all
}

// Judged reports whether devices of the type have a resting value that is worth a look.
func (run *Run) Judged(typeName string) bool { return run.typed(typeName).Judged }
