package sootline

// unitSeen is a unit with a serial, where it came to, and of which type it was then.
type unitSeen struct {
	serial   string
	typeName string
	at       *Point
}

// sawUnit notes the unit that is at a point now, where it has a serial.
func (r *Register) sawUnit(p *Point) {
	if p.Unit.Serial != "" {
		r.units = append(r.units, unitSeen{p.Unit.Serial, p.Type, p})
	}
}

// UnitSeen is where a unit came last, and its type: that of the point as it is now where
// the unit is still there, else as it was then.
type UnitSeen struct {
	Type  string
	Point *Point
}

// UnitsSeen gives each unit whose serial the log speaks of, by [SerialKey].
func (r *Register) UnitsSeen() map[string]UnitSeen {
	all := make(map[string]UnitSeen, len(r.units))
	for _, seen := range r.units {
		key, typeName := SerialKey(seen.serial), seen.typeName
		if SerialKey(seen.at.Unit.Serial) == key {
			typeName = seen.at.Type
		}
		if key != "" {
			all[key] = UnitSeen{typeName, seen.at}
		}
	}
	return all
}

// Absent reports whether the device of a point is missing, by a defect that nobody
// mended and that came after it was fitted: its serial and its number are not there.
func (p *Point) Absent() bool {
	for _, d := range p.Defects {
		if d.Nature == MissingDevice && d.State == DefectOpen && !d.Since.Before(p.UnitSince) {
			return true
		}
	}
	return false
}

// LeftAt reports whether the device of a record at the bench left its point since: it was
// replaced there, by an entry of no run.
func (r *Register) LeftAt(rec *BenchRecord) bool {
	p := r.points[rec.Entry.Point]
	if p == nil {
		return false
	}
	for i := range p.Resets {
		reset := &p.Resets[i]
		if reset.Entry.Body.Kind() == ReplacedKind && reset.At.After(rec.Entry.At) && !r.InBench(reset.Entry) {
			return true
		}
	}
	return false
}
