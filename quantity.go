package sootline

import (
	"cmp"
	"fmt"
	"strings"
)

// Quantity is something that is read at devices of a type beside their resting
// value, such as the share of drift compensation used. Figures that are not known
// are nil.
type Quantity struct {
	Name        string    `json:"name"`
	Unit        string    `json:"unit,omitempty"`
	Worse       Direction `json:"worse,omitempty"` // where dirt moves it; empty: as the kind of device says
	Bands       []Band    `json:"bands,omitempty"`
	PooledSD    *float64  `json:"pooled_sd,omitempty"`
	SpreadLimit *float64  `json:"spread_limit,omitempty"`
	Rest        *float64  `json:"rest,omitempty"` // of a clean unit
}

// CompensationUsed is the name of the quantity that says how much of its drift
// compensation a device has used up.
const CompensationUsed = "compensation used"

// Direction is the way in which dirt moves a value.
type Direction string

// The directions.
const (
	AsKind    Direction = "" // a gas cell falls as it ages, and nobody cleans it; others rise
	Upwards   Direction = "up"
	Downwards Direction = "down"
)

func (s *TypeSheet) checkOthers() error {
	seen := map[string]bool{TypeKey(s.Quantity): true}
	for i := range s.Others {
		q := &s.Others[i]
		key := TypeKey(q.Name)
		if key == "" {
			return Errorf(Invalid, "", "type %s: a quantity beside the resting value needs a name", s.Name)
		}
		if seen[key] {
			return Errorf(Invalid, "", "type %s: the quantity %s is there twice", s.Name, q.Name)
		}
		seen[key] = true
		for name, value := range map[string]*float64{"pooled sd": q.PooledSD, "spread limit": q.SpreadLimit} {
			if value != nil && (!finite(*value) || *value < 0) {
				return Errorf(Invalid, "", "type %s, %s: %s is a number from 0, found %v", s.Name, q.Name, name, *value)
			}
		}
		if q.Rest != nil && !finite(*q.Rest) {
			return Errorf(Invalid, "", "type %s, %s: the rest of a clean unit is to be a number, and %v is none", s.Name, q.Name, *q.Rest)
		}
		if err := checkBands(q.Bands, q.Worse); err != nil {
			return fmt.Errorf("type %s, %s: %w", s.Name, q.Name, err)
		}
	}
	return nil
}

// Other finds a quantity beside the resting value by its name; nil when the sheet
// has none of that name.
func (s *TypeSheet) Other(name string) *Quantity {
	if s == nil {
		return nil
	}
	for i := range s.Others {
		if TypeKey(s.Others[i].Name) == TypeKey(name) {
			return &s.Others[i]
		}
	}
	return nil
}

// QuantityLabel writes a quantity and the unit in which it was read as one
// label, "sensitivity (%/m)"; either may be empty.
func QuantityLabel(name, unit string) string {
	name, unit = strings.TrimSpace(name), strings.TrimSpace(unit)
	if name == "" || unit == "" || TypeKey(name) == TypeKey(unit) {
		return cmp.Or(name, unit)
	}
	return name + " (" + unit + ")"
}

// SplitQuantity takes such a label apart. A label in one word, which may be a name
// or a unit, comes back as the name.
func SplitQuantity(label string) (name, unit string) {
	label = strings.TrimSpace(label)
	if open := strings.LastIndexByte(label, '('); open > 0 && strings.HasSuffix(label, ")") {
		return strings.TrimSpace(label[:open]), strings.TrimSpace(label[open+1 : len(label)-1])
	}
	return label, ""
}

// Settle puts a reading under the name that the sheet has for its quantity, empty
// for the type's own, and in the sheet's unit: %/ft, %/m and dB/m are turned into
// one another. It reports false, and changes nothing, where the sheet does not
// know the quantity, or where the label fits several.
func (s *TypeSheet) Settle(reading *Reading) bool {
	if reading.Quantity == "" {
		return true
	}
	if s == nil {
		return false
	}
	all := make([]Quantity, 1, 1+len(s.Others))
	all[0] = Quantity{Name: s.Quantity, Unit: s.Unit}
	all = append(all, s.Others...)
	name, unit := SplitQuantity(reading.Quantity)
	for _, fits := range [...]func(q *Quantity) bool{
		func(q *Quantity) bool { return q.named(name) && q.takes(unit) },
		func(q *Quantity) bool { return unit == "" && q.in(name) },
		func(q *Quantity) bool { return q.named(name) && q.converts(unit) },
		func(q *Quantity) bool { return unit == "" && q.converts(name) },
		func(q *Quantity) bool { return q == &all[0] && q.measure() == "" && unit == "" && inCounts(name) },
	} {
		if i, ok := only(all, fits); ok {
			return all[i].settle(reading, cmp.Or(unit, name), i == 0)
		}
	}
	return false
}

// only finds the one quantity that fits.
func only(all []Quantity, fits func(*Quantity) bool) (at int, ok bool) {
	n := 0
	for i := range all {
		if fits(&all[i]) {
			at, n = i, n+1
		}
	}
	return at, n == 1
}

// measure is what the values of a quantity are counted in: its unit, or a name
// that is one.
func (q *Quantity) measure() string { return cmp.Or(q.Unit, q.Name) }

func (q *Quantity) named(name string) bool { return q.Name != "" && TypeKey(q.Name) == TypeKey(name) }

// in reports whether a unit is that of the quantity.
func (q *Quantity) in(unit string) bool {
	return q.measure() != "" && strings.EqualFold(q.measure(), unit)
}

// takes reports whether values in a unit, or in none that was named, are values of
// the quantity as they are. Where the sheet names no unit, obscuration is not
// taken: it may be in any of its scales.
func (q *Quantity) takes(unit string) bool {
	_, obscuration := scaleOf(unit)
	return unit == "" || q.in(unit) || q.Unit == "" && !obscuration
}

func (q *Quantity) converts(unit string) bool {
	_, from := scaleOf(unit)
	_, to := scaleOf(q.measure())
	return from && to
}

// inCounts reports whether a unit is the bare number that a panel shows.
func inCounts(unit string) bool {
	switch strings.ToLower(unit) {
	case "count", "counts", "digits", "bit":
		return true
	}
	return false
}

// settle names a reading and turns its samples from one scale of obscuration into
// that of the quantity, where it has one.
func (q *Quantity) settle(reading *Reading, unit string, own bool) bool {
	from, known := scaleOf(unit)
	to, wanted := scaleOf(q.measure())
	if known && wanted && !strings.EqualFold(unit, q.measure()) {
		samples := make([]float64, len(reading.Samples)) // those in the entry stay as written
		for i, x := range reading.Samples {
			o, err := from.read(x)
			if err != nil {
				return false
			}
			samples[i] = to.write(o)
		}
		reading.Samples = samples
	}
	reading.Quantity = q.Name
	if own {
		reading.Quantity = ""
	}
	return true
}

// settleQuantities puts all readings under the names and units of the sheets that
// hold now, so that it does not matter which came first.
func (r *Register) settleQuantities() {
	if !r.others {
		return
	}
	for _, p := range r.points {
		sheet := r.Sheet(p.Type)
		for i := range p.Readings {
			sheet.Settle(&p.Readings[i])
		}
	}
}

// With gives the register of the same site with other points and type sheets, as
// it would look were they all: for a look at one part of what was read. The
// points keep their order; what is found by number or place is left out.
func (r *Register) With(points []*Point, sheets []*TypeSheet) *Register {
	view := &Register{Site: r.Site, AsOf: r.AsOf, Last: r.Last, order: points, types: map[string]*TypeSheet{}, points: map[ID]*Point{}}
	for _, sheet := range sheets {
		view.types[TypeKey(sheet.Name)] = sheet
	}
	for _, p := range points {
		view.points[p.ID] = p
	}
	return view
}
