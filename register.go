package sootline

import (
	"cmp"
	"maps"
	"slices"
	"time"
)

// Register is what a site's log book says at an instant: the points, what is
// fitted where, what was read and done. It is computed by [Fold] and never
// stored; it points into the entries it was folded from.
type Register struct {
	Site     Site
	AsOf     time.Time // the instant it speaks of
	Entries  int       // entries that count: neither later, nor withdrawn, nor said twice
	Readings int
	Last     time.Time         // when the last of them happened
	Events   []Event           // what concerns the site as a whole, in order
	Issued   []*Entry          // papers that were issued, in order
	Sources  map[string]Source // what is listened to, by name

	loops    map[LoopID]*Loop
	supplies map[LoopID]*Supply
	areas    map[string]*AreaFacts
	loads    map[string]*KeptLoads // by panel
	measured map[LoopID][]Measuring
	radials  map[LoopID]*KeptRadial
	types    map[string]*TypeSheet
	wishes   map[circle]map[string]Wished // of the site, by setting
	points   map[ID]*Point
	order    []*Point
	answered map[string]bool
	others   bool                  // there are readings of other quantities
	tenures  map[LoopID][][]tenure // by number
	standsAt map[LoopID][][]tenure // of those that stand at another number than their own, by that
	listed   []Loop
	steps    []*Entry // what defects are folded from
	defects  []*DefectFacts
	stray    []*Entry // steps that name no defect
	panels   []string
	disputes []Dispute
	log      *Log // that it was folded from; nil: of a list alone
	aliases  map[spelled]KnownAlias
	runs     map[ID]*BenchRun
	numbers  map[ID]Addressed // by the entry that says them
	units    []unitSeen       // units with a serial, in the order in which they came
}

// Point is a place on a loop where a device is fitted. It keeps its identity
// when the device is swapped, moved to another place or given another number.
type Point struct {
	ID ID
	Place
	Placed     bool      // false: entries speak of it, but none says that it was fitted
	Since      time.Time // when it was first fitted; LongAgo when nobody knows
	Type       string
	Unit       Unit
	UnitSince  time.Time         // when the unit that is there now was fitted
	Wanted     int               // the number it should have; 0: none was given
	Listed     int               // the number it has by the last list that said how it stands; 0: none did
	Found      int               // the number it was last found to have; 0: nobody looked
	Stands     Stated            // how it stands, by the latest word of a list, a look or a setting
	SetTo      Stated            // what was last written into the device
	Wants      map[string]string // of this point by itself; see [Register.WishesOf]
	Has        map[string]string
	Readings   []Reading      // in order of time
	Resets     []Reset        // in order of time
	Events     []Event        // in order of time
	Defects    []*DefectFacts // what is or was wrong here
	Disabled   *Event         // the disablement that still stands, or nil
	Removed    *Event         // nil while the point exists
	Gone       time.Time      // when it was last removed, also where it was fitted again since; zero: never
	refs       []named
	own        map[string]Wished // settings wanted of this point by itself
	wished     map[string]string // settings wanted of it by all wishes; see settleWishes
	byStanding bool              // the number at which it stands is its reference; see settleRefs
	placed     time.Time         // when its place was last written down
	Placings   []*Entry          // what said that it is elsewhere or described otherwise, or is no more; in order of time
}

// Reading is one look at a resting value.
type Reading struct {
	At       time.Time
	Samples  []float64 // in the unit of the type sheet, where it knows the quantity
	Quantity string    // empty: the type's own; else its name on the type sheet, or as it was written
	Entry    *Entry    // holds them as written
}

// Reset is an event after which a drift starts afresh.
type Reset struct {
	At    time.Time
	Why   string // fitted, replaced, cleaned or rebased
	Type  string // of the device from then on
	Entry *Entry
}

// Event is something that happened to a point or on the site.
type Event struct {
	At          time.Time
	Kind        Kind
	Cause, Text string
	Failed      bool // a test that the device did not pass
	Entry       *Entry
}

type named struct {
	at     time.Time
	ref    Ref
	stands int
}

type tenure struct {
	from, to time.Time // to is zero while it lasts
	point    *Point
	ref      Ref // by what it should have, or, where none was given, by how it stands
	stands   int
}

func (t *tenure) lasts(at time.Time) bool {
	return !at.Before(t.from) && (t.to.IsZero() || at.Before(t.to))
}

// Number is the number that the point answers to: the one at which it stands, else
// the one it should have; 0 when neither is known.
func (p *Point) Number() int { return cmp.Or(p.Stands.Number, p.Wanted) }

// Ref is the point's reference in the register: panel, loop and the number it
// should have, or, where none was given, the number at which it stands. While two
// points should have one number, as half way through an exchange, the one that
// stands at another is called by that.
func (p *Point) Ref() Ref {
	if p.byStanding {
		return Ref{Panel: p.Panel, Loop: p.Place.Loop, Number: p.Stands.Number}
	}
	return Ref{Panel: p.Panel, Loop: p.Place.Loop, Number: cmp.Or(p.Wanted, p.Stands.Number)}
}

// LoopID names the loop that the point is on.
func (p *Point) LoopID() LoopID { return LoopID{p.Panel, p.Place.Loop} }

// Settings are those the point was found to have, over those it should have.
func (p *Point) Settings() map[string]string { return merged(without(p.wished, p.Has), p.Has) }

// LifeEnds is the end of the service life of the unit fitted now, so many years
// after it was fitted: whole years go by the calendar, what is left at 365.25 days
// a year. known is false when nobody wrote down when that was.
func (p *Point) LifeEnds(years float64) (end time.Time, known bool) {
	years = min(years, 1000) // longer than any unit lasts, and within the calendar
	whole := int(years)
	part := time.Duration((years - float64(whole)) * 365.25 * 24 * float64(time.Hour))
	return p.UnitSince.AddDate(whole, 0, 0).Add(part), p.UnitSince.After(LongAgo)
}

// LastReset is the latest reset, or the zero Reset.
func (p *Point) LastReset() Reset {
	if len(p.Resets) == 0 {
		return Reset{}
	}
	return p.Resets[len(p.Resets)-1]
}

// SinceReset gives the readings of the type's own quantity since the last
// reset, in order. It may share memory with Readings.
func (p *Point) SinceReset() []Reading {
	from := p.LastReset().At
	first := 0
	for first < len(p.Readings) && p.Readings[first].At.Before(from) {
		first++
	}
	since := p.Readings[first:len(p.Readings):len(p.Readings)]
	other := func(r Reading) bool { return r.Quantity != "" }
	if slices.ContainsFunc(since, other) {
		since = slices.DeleteFunc(slices.Clone(since), other)
	}
	return since
}

func (p *Point) refer(e *Entry) {
	now := named{e.At, p.Ref(), p.Stands.Number}
	if p.Removed != nil {
		now.ref, now.stands = Ref{}, 0
	}
	if last := len(p.refs) - 1; last >= 0 && p.refs[last].at.Equal(e.At) {
		p.refs[last] = now
		return
	}
	p.refs = append(p.refs, now)
}

func (p *Point) reset(e *Entry, why string) {
	p.Resets = append(p.Resets, Reset{At: e.At, Why: why, Type: p.Type, Entry: e})
}

// point finds a point, or begins one: entries of the same instant may come in
// any order.
func (r *Register) point(id ID) *Point {
	p := r.points[id]
	if p == nil {
		p = &Point{ID: id}
		r.points[id] = p
	}
	return p
}

// happened files an event with its point, or with the site when it has none.
func (r *Register) happened(e *Entry, event Event) {
	if e.Point.Zero() {
		r.Events = append(r.Events, event)
		return
	}
	p := r.point(e.Point)
	p.Events = append(p.Events, event)
}

// Points lists the points that exist, in the order panel, loop, number, place
// along the cable, id.
func (r *Register) Points() []*Point { return r.order }

// Point finds a point by its identity, also one that was removed; nil when the
// log never spoke of it.
func (r *Register) Point(id ID) *Point { return r.points[id] }

// Strays lists the points that entries speak of without any saying that they
// were fitted.
func (r *Register) Strays() []*Point {
	var strays []*Point
	for _, p := range r.points {
		if !p.Placed {
			strays = append(strays, p)
		}
	}
	slices.SortFunc(strays, comparePoints)
	return strays
}

// Former lists the points that were there and are no more, in the order of
// Points.
func (r *Register) Former() []*Point {
	var former []*Point
	for _, p := range r.points {
		if p.Placed && p.Removed != nil {
			former = append(former, p)
		}
	}
	slices.SortFunc(former, comparePoints)
	return former
}

// Loops lists the loops: those described, and those that only have points, with
// the default span.
func (r *Register) Loops() []Loop { return r.listed }

// Loop gives what is known of a loop, or the default span.
func (r *Register) Loop(id LoopID) Loop {
	if loop := r.loops[id]; loop != nil {
		return *loop
	}
	return Loop{LoopID: id, First: DefaultFirst, Last: DefaultLast, Unset: DefaultUnset}
}

// Described reports whether the log states the span of the loop.
func (r *Register) Described(id LoopID) bool { return r.loops[id] != nil }

// Supply gives what feeds the loop, or nil when nobody said.
func (r *Register) Supply(id LoopID) *Supply { return r.supplies[id] }

// Loads gives the load list of a panel, or nil when nobody wrote one down.
func (r *Register) Loads(panel string) *KeptLoads { return r.loads[panel] }

// PanelsLoaded lists the panels that have loops or a load list, by name.
func (r *Register) PanelsLoaded() []string {
	names := append(slices.Collect(maps.Keys(r.loads)), r.Panels()...)
	slices.Sort(names)
	return slices.Compact(names)
}

// Fed lists the loops of which somebody said what feeds them, by panel and name.
func (r *Register) Fed() []LoopID {
	return slices.SortedFunc(maps.Keys(r.supplies), func(a, b LoopID) int { return cmp.Or(cmp.Compare(a.Panel, b.Panel), cmp.Compare(a.Name, b.Name)) })
}

// Area gives what is known of an area by its name, or nil when nobody said.
func (r *Register) Area(name string) *AreaFacts { return r.areas[areaKey(name)] }

// Floor is the floor of a point, else that of its area; empty when nobody said.
func (r *Register) Floor(p *Point) string {
	if area := r.Area(p.Area); p.Place.Floor == "" && area != nil {
		return area.Floor
	}
	return p.Place.Floor
}

// Areas lists the areas that somebody described, by name.
func (r *Register) Areas() []*AreaFacts {
	return slices.SortedFunc(maps.Values(r.areas), func(a, b *AreaFacts) int { return cmp.Compare(areaKey(a.Area), areaKey(b.Area)) })
}

// SpurFrom gives the point on the ring that a point's spur hangs from: the one
// that had the number when the place was written down, whatever its number is
// now, else the one that has it now. It is nil for a point on the ring, and
// where no point has or had that number.
func (r *Register) SpurFrom(p *Point) *Point {
	if p.Place.Spur == 0 {
		return nil
	}
	ref := Ref{p.Panel, p.Place.Loop, p.Place.Spur}
	for _, at := range []time.Time{p.placed, r.AsOf} {
		if named := r.Named(ref, at); len(named) > 0 {
			return named[0]
		}
	}
	return nil
}

// Answered reports whether a question was answered with no, by its key.
func (r *Register) Answered(key string) bool { return r.answered[key] }

// AnyAnswered reports whether any question was answered with no.
func (r *Register) AnyAnswered() bool { return len(r.answered) > 0 }

// Sheet gives the type sheet of that name, or of what an alias of it means; nil when
// there is none.
func (r *Register) Sheet(name string) *TypeSheet { return r.types[TypeKey(r.Meant(AliasType, name))] }

// Sheets lists the type sheets by name.
func (r *Register) Sheets() []*TypeSheet {
	return slices.SortedFunc(maps.Values(r.types), func(a, b *TypeSheet) int { return cmp.Compare(TypeKey(a.Name), TypeKey(b.Name)) })
}

// Panels lists the panels that have loops, in order.
func (r *Register) Panels() []string { return r.panels }

func (r *Register) listLoops() {
	all := map[LoopID]Loop{}
	for _, p := range r.order {
		all[p.LoopID()] = r.Loop(p.LoopID())
	}
	for id, loop := range r.loops {
		all[id] = *loop
	}
	r.listed = slices.SortedFunc(maps.Values(all), func(a, b Loop) int {
		return cmp.Or(compareNames(a.Panel, b.Panel), compareNames(a.Name, b.Name))
	})
	for _, loop := range r.listed {
		if !slices.Contains(r.panels, loop.Panel) {
			r.panels = append(r.panels, loop.Panel)
		}
	}
}

// comparePoints orders points as people look for them.
func comparePoints(a, b *Point) int {
	return cmp.Or(
		compareNames(a.Panel, b.Panel),
		compareNames(a.Place.Loop, b.Place.Loop),
		cmp.Compare(a.Ref().Number, b.Ref().Number),
		cmp.Compare(a.Order, b.Order),
		slices.Compare(a.ID[:], b.ID[:]),
	)
}

// compareNames puts 2 before 10, and numbers before words.
func compareNames(a, b string) int {
	return cmp.Or(cmp.Compare(len(a), len(b))*numeric(a, b), cmp.Compare(a, b))
}

// numeric is 1 when both names are numbers, so that the shorter is the smaller.
func numeric(names ...string) int {
	for _, name := range names {
		for _, c := range name {
			if c < '0' || c > '9' {
				return 0
			}
		}
	}
	return 1
}
