package app

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/listing"
)

// scheduler matches the rows of a schedule with the points of the register.
type scheduler struct {
	*taker
	o       *TableOutcome
	said    map[string]int                     // rows by what they say, the first of each
	spelt   map[string]map[string]int          // types by the name of their sheet, the rows by other spellings
	known   map[sootline.Ref][]*sootline.Point // points by reference, those already matched left out
	rows    map[sootline.Ref]int               // rows so far of each reference
	turn    map[sootline.LoopID]int            // rows so far of each loop
	panel   string                             // of rows that name none
	unknown map[string]*untyped                // types without a sheet

	serials   map[string]int          // rows by the serial number, the first of each
	at        map[string]sootline.Ref // where the register has a serial number
	onLoop    map[sootline.LoopID][]*sootline.Point
	matched   map[sootline.ID]bool // by a row that says what is wanted
	numbered  map[sootline.ID]map[sootline.Addressed]bool
	otherwise []int // rows by whose number the device does not stand
	older     []int // rows whose number was wanted before
}

// takeSchedule makes points of rows. A row whose reference the register knows is
// about that point; where several points carry one number, serial and location
// tell them apart. Rows that share a number become points that share it: that is
// for check to say, not for the intake to hide.
func (t *taker) takeSchedule(o *TableOutcome) error {
	s := &scheduler{
		taker: t, o: o, known: map[sootline.Ref][]*sootline.Point{}, rows: map[sootline.Ref]int{},
		said: map[string]int{}, spelt: map[string]map[string]int{},
		turn: map[sootline.LoopID]int{}, unknown: map[string]*untyped{},
		at:     map[string]sootline.Ref{},
		onLoop: map[sootline.LoopID][]*sootline.Point{}, matched: map[sootline.ID]bool{},
	}
	s.panel = firstPanel(t.r)
	for _, p := range t.r.Points() {
		s.known[p.Ref()] = append(s.known[p.Ref()], p)
		s.onLoop[p.LoopID()] = append(s.onLoop[p.LoopID()], p)
		s.turn[p.LoopID()] = max(s.turn[p.LoopID()], p.Order)
	}
	if err := t.records(o, s.take); err != nil {
		return err
	}
	s.remarkSpellings()
	s.remarkTypes()
	s.remarkLoops()
	s.remarkNumbers()
	return nil
}

// remarkLoops says which loops the schedule made that nobody described, in one sentence: of all the same is assumed.
func (s *scheduler) remarkLoops() {
	fresh := maps.Clone(s.turn)
	for _, loop := range s.r.Loops() {
		delete(fresh, loop.LoopID)
	}
	var names []string
	for id := range fresh {
		names = append(names, id.String())
	}
	if len(names) == 0 {
		return
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) }) // 1.2 before 1.10
	which := "loop " + names[0] + " is new, and nobody described it"
	const most = 6
	if n := len(names); n > 1 {
		which = "loops " + strings.Join(names[:min(most, n)], ", ")
		if n > most {
			which += fmt.Sprintf(" and %d more", n-most)
		}
		which += " are new, and nobody described them"
	}
	s.o.remark(0, fmt.Sprintf("%s: numbers %d to %d, with %d for a device nobody has set, are assumed", which, sootline.DefaultFirst, sootline.DefaultLast, sootline.DefaultUnset))
}

// untyped is a type that has no sheet, and the rows that name it.
type untyped struct {
	name string
	rows []int
}

func (s *scheduler) take(record listing.Record) error {
	row := record.Schedule
	ref := sootline.Ref{Panel: cmp.Or(strings.Clone(row.Ref.Panel), s.panel), Loop: strings.Clone(row.Ref.Loop), Number: row.Ref.Address}
	if ref.Loop == "" {
		return s.refuse(s.o, record, "the row names no loop; give a column, or the same loop for all rows in a map file")
	}
	if row.Vacant != "" {
		return s.takeVacant(record, ref)
	}
	fitted := sootline.Moment{At: sootline.LongAgo}
	if row.Fitted.Year != 0 {
		var why string
		if fitted, why = s.moment(row.Fitted, 0); why != "" {
			return s.refuse(s.o, record, why)
		}
		if fitted.At.After(s.now) {
			return s.refuse(s.o, record, fmt.Sprintf("fitted on %s, which is in the future", s.day(fitted.At)))
		}
	}
	row.Type = s.spelled(row.Type)
	if s.repeats(record.Line, ref, row) {
		s.o.Repeated++
		return nil
	}
	s.noteType(record.Line, row.Type)
	place := sootline.Place{
		Panel: ref.Panel, Loop: ref.Loop, Metres: pointer(row.Metres), Spur: row.Spur,
		Zone: row.Zone, Area: row.Area, Floor: row.Floor, Location: row.Location,
	}
	if row.Wanted != 0 {
		return s.takeWanted(record, ref, place, fitted)
	}
	p := s.alike(ref, row)
	if made := s.made(ref, row); p == nil && made != nil {
		return s.takeMade(record, made, ref, place, fitted)
	}
	if p == nil {
		p = s.onlyOne(ref, row)
	}
	if p == nil {
		return s.create(ref, place, row, fitted, record.Line, sootline.Addressed{Listed: ref.Number})
	}
	s.known[ref] = slices.DeleteFunc(slices.Clone(s.known[ref]), func(q *sootline.Point) bool { return q == p })
	s.rows[ref]++
	return s.update(record, p, place, fitted, ref.Number)
}

// made gives the point that such a row made, where it carries another number by
// now or is no more; else nil.
func (s *scheduler) made(ref sootline.Ref, row *listing.ScheduleRow) *sootline.Point {
	if ref.Number == 0 {
		return nil
	}
	p := s.r.Point(s.identity(ref, row, s.rows[ref]+1))
	if p == nil || !p.Placed || p.Ref() == ref && p.Removed == nil {
		return nil
	}
	return p
}

// takeMade takes a row of an older numbering. What made the point adds nothing when
// it is taken again. What says another thing by the old number is left: whether it
// is about the point that had the number then, or about the place that has it now,
// only somebody on site knows.
func (s *scheduler) takeMade(record listing.Record, p *sootline.Point, ref sootline.Ref, place sootline.Place, fitted sootline.Moment) error {
	row := record.Schedule
	first, ok := p.Resets[0].Entry.Body.(sootline.Fitted)
	place.Order = first.Order
	if ok && samePlace(place, first.Place) && sootline.TypeKey(row.Type) == sootline.TypeKey(first.Type) && row.Serial == first.Serial {
		s.rows[ref]++
		s.o.Same++
		return nil
	}
	if p.Removed != nil {
		return s.create(ref, place, row, fitted, record.Line, sootline.Addressed{Listed: ref.Number})
	}
	return s.refuse(s.o, record, fmt.Sprintf("the point that was %s has the number %s by now; write the number that it has, or what else is fitted at %s", ref, p.Ref(), ref))
}

func (s *scheduler) noteType(line int, name string) {
	key := sootline.TypeKey(name)
	if key == "" || s.r.Sheet(s.typeMeant(name)) != nil {
		return
	}
	if s.unknown[key] == nil {
		s.unknown[key] = &untyped{name: name}
	}
	s.unknown[key].rows = append(s.unknown[key].rows, line)
}

// remarkTypes says which rows name types without a sheet.
func (s *scheduler) remarkTypes() {
	for _, key := range slices.Sorted(maps.Keys(s.unknown)) {
		u := s.unknown[key]
		s.o.remark(0, fmt.Sprintf("type %q has no type sheet yet (%s): its points are taken, and judged when there is one", u.name, rowsNamed(u.rows)))
	}
}

// rowsNamed names the first few rows.
func rowsNamed(lines []int) string {
	if len(lines) == 1 {
		return "row " + someRows(lines)
	}
	return "rows " + someRows(lines)
}

// someRows lists the first few rows.
func someRows(lines []int) string {
	const most = 12
	rows := strings.ReplaceAll(strings.Trim(fmt.Sprint(lines[:min(most, len(lines))]), "[]"), " ", ", ")
	if more := len(lines) - most; more > 0 {
		rows += fmt.Sprintf(" and %d more", more)
	}
	return rows
}

// alike picks the point of a number that the row is about by its serial or location.
func (s *scheduler) alike(ref sootline.Ref, row *listing.ScheduleRow) *sootline.Point {
	for _, p := range s.inRange(ref, row) {
		if row.Serial != "" && p.Unit.Serial == row.Serial || row.Location != "" && p.Location == row.Location {
			return p
		}
	}
	return nil
}

// onlyOne gives the only point of a number, which a row describes anew.
func (s *scheduler) onlyOne(ref sootline.Ref, row *listing.ScheduleRow) *sootline.Point {
	if points := s.inRange(ref, row); len(points) == 1 && ref.Number != 0 && s.rows[ref] == 0 {
		return points[0]
	}
	return nil
}

// identity is that of the point which the nth row of a reference makes. It follows
// from the row, so that two stations that take the same schedule make the same
// points.
func (s *scheduler) identity(ref sootline.Ref, row *listing.ScheduleRow, nth int) sootline.ID {
	identity := fmt.Sprintf("%s|%s|%d|%s", s.site, ref, nth, row.Serial)
	if ref.Number == 0 {
		identity += "|" + row.Location
	}
	return sootline.DerivedID(sootline.LongAgo, []byte(identity))
}

// create makes a point.
func (s *scheduler) create(ref sootline.Ref, place sootline.Place, row *listing.ScheduleRow, fitted sootline.Moment, line int, numbers sootline.Addressed) error {
	s.rows[ref]++
	loop := sootline.LoopID{Panel: ref.Panel, Name: ref.Loop}
	s.turn[loop]++
	place.Order = s.turn[loop]
	id := s.identity(ref, row, s.rows[ref])
	s.doubtNew(line, ref, row, numbers)
	all := []saidAt{{fitted, sootline.Fitted{Place: place, Type: row.Type, Unit: sootline.Unit{Serial: row.Serial}}}}
	if numbers != (sootline.Addressed{}) {
		all = append(all, saidAt{fitted, numbers})
	}
	if wanted := choices(row.Settings); len(wanted) > 0 {
		all = append(all, saidAt{fitted, sootline.Set{Wanted: wanted}})
	}
	return s.sayAll(id, all...)
}

// update says what the row says otherwise than the register; listed is the number
// that it says the device has.
func (s *scheduler) update(record listing.Record, p *sootline.Point, place sootline.Place, fitted sootline.Moment, listed int) error {
	row := record.Schedule
	place.Area = s.r.Meant(sootline.AliasArea, place.Area)
	var all []saidAt
	var held []string
	if s.anotherType(p, row.Type) || row.Serial != "" && row.Serial != p.Unit.Serial && p.Unit.Serial != "" {
		if !fitted.At.After(p.UnitSince) || !fitted.At.After(sootline.LongAgo) {
			return s.refuse(s.o, record, fmt.Sprintf("the register has %s here; if the device was replaced, write the day in the column for the date fitted", unitOf(p)))
		}
		held = s.replaces(record.Line, p, row)
		all = append(all, saidAt{fitted, sootline.Replaced{Type: row.Type, Unit: sootline.Unit{Serial: row.Serial}}})
	}
	if len(all) == 0 {
		if why := s.otherDay(record.Line, p, row, fitted); why != "" {
			return s.refuse(s.o, record, why)
		}
	}
	place = filled(place, p.Place)
	if from := s.r.SpurFrom(p); place.Spur == 0 && from != nil {
		place.Spur = from.Ref().Number // by its number of today
	}
	wanted := choices(row.Settings)
	held = append(held, s.resets(record.Line, p, wanted)...)
	if held = append(held, s.undoes(record.Line, p, place)...); len(held) > 0 {
		return s.refuse(s.o, record, strings.Join(held, "; "))
	}
	now := sootline.Moment{At: s.now}
	if !samePlace(place, p.Place) {
		all = append(all, saidAt{now, sootline.Moved{Place: place}})
	}
	if !allWanted(wanted, p.Wants) {
		all = append(all, saidAt{now, sootline.Set{Wanted: wanted}})
	}
	if said := s.numbers(record.Line, p, listed, row.Wanted); said != (sootline.Addressed{}) {
		all = append(all, saidAt{now, said})
	}
	if len(all) == 0 {
		s.o.Same++
		return nil
	}
	return s.sayAll(p.ID, all...)
}

// replaces notes that a row says another device than the register, and says why that is held. When it was fitted
// decides where its drift begins, so that must be written.
func (s *scheduler) replaces(line int, p *sootline.Point, row *listing.ScheduleRow) (held []string) {
	effect, says := EffectReplace, fmt.Sprintf("the register has %s at %s, and the row another device, %s", unitOf(p), p.Ref(), row.Serial)
	if s.anotherType(p, row.Type) {
		effect, says = EffectRetype, fmt.Sprintf("the register has %s at %s, and the row a device of type %s", unitOf(p), p.Ref(), row.Type)
	}
	if why := s.effect(s.o, line, effect, says); why != "" {
		held = append(held, why)
	}
	return held
}

func unitOf(p *sootline.Point) string { return strings.TrimSpace(p.Type + " " + p.Unit.Serial) }

// anotherType reports whether a row names another type than the point has.
func (s *scheduler) anotherType(p *sootline.Point, name string) bool {
	return name != "" && p.Type != "" && sootline.TypeKey(s.typeMeant(name)) != sootline.TypeKey(p.Type)
}

// saidAt is something that a row says of a point, and since when it is so.
type saidAt struct {
	at   sootline.Moment
	body sootline.Body
}

// sayAll writes what a row says of a point: all of it, or nothing.
func (s *scheduler) sayAll(point sootline.ID, all ...saidAt) error {
	var entries []sootline.Entry
	for _, said := range all {
		e, err := s.entry(said.at, point, "", said.body)
		if err != nil {
			return err
		}
		entries = append(entries, e)
	}
	v, err := s.say(s.o, entries...)
	s.o.count(v, 1)
	return err
}

// filled keeps what the row leaves out as it was.
func filled(place, old sootline.Place) sootline.Place {
	place.Order = old.Order
	place.Zone = cmp.Or(place.Zone, old.Zone)
	place.Area = cmp.Or(place.Area, old.Area)
	place.Location = cmp.Or(place.Location, old.Location)
	place.Floor = cmp.Or(place.Floor, old.Floor)
	place.X, place.Y = old.X, old.Y
	if place.Metres == nil {
		place.Metres = old.Metres
	}
	return place
}

func samePlace(a, b sootline.Place) bool {
	same := func(a, b *float64) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }
	alike := same(a.Metres, b.Metres) && same(a.X, b.X) && same(a.Y, b.Y)
	a.Metres, a.X, a.Y, b.Metres, b.X, b.Y = nil, nil, nil, nil, nil, nil
	return alike && a == b
}
