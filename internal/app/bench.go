package app

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/bench"
	"sootline/internal/store"
)

// BenchRun is a run at the bench as it stands, on a site.
type BenchRun struct {
	*bench.Run
	Site     store.SiteLine
	Register *sootline.Register
	Zone     *time.Location
	setters  map[string]address.Setter
}

// BenchOpening is what begins a run. Without places and without a box it is a run
// of the next one: each device gets the next free number of the loop.
type BenchOpening struct {
	Name      string
	First     sootline.BenchFirst // empty: the place
	Loop      string              // only places of this loop; of devices without place: theirs
	Places    []string            // references, in order; none: all that are not set as wanted
	All       bool                // also places that are set as wanted
	Empty     bool                // no places: devices come one after another
	By        BenchOrder
	Box       []sootline.BoxDevice
	From      int  // the first number for places without one; 0: the loop's first
	AsPlanned bool // places without a number get none from the run: it is asked for
	Text      string
	Sure      bool // whoever begins it is certain of what may be a slip
}

// BenchOrder is the order in which places are taken.
type BenchOrder string

// The orders of places.
const (
	BenchByNumber BenchOrder = "number"
	BenchByCable  BenchOrder = "cable"
	BenchByArea   BenchOrder = "area"
	BenchByFloor  BenchOrder = "floor"
)

// OpenBench logs that a run at the bench begins.
func (a *App) OpenBench(ctx context.Context, site store.SiteLine, o BenchOpening) (*BenchRun, error) {
	var id sootline.ID
	err := a.settle(ctx, site.ID, func() ([]sootline.Entry, error) {
		r, err := a.Register(ctx, site.ID, time.Time{})
		if err != nil {
			return nil, err
		}
		said, err := o.says(r)
		if err != nil {
			return nil, err
		}
		e := a.entry(site.ID, a.Now(), sootline.ID{}, said)
		if id = e.ID; !a.Form.Zero() {
			id = a.Form
		}
		return []sootline.Entry{e}, nil
	})
	if err != nil {
		return nil, err
	}
	return a.Bench(ctx, site, id.String())
}

// says makes the opening of a run.
func (o BenchOpening) says(r *sootline.Register) (sootline.Bench, error) {
	said := sootline.Bench{State: sootline.BenchOpened, Name: o.Name, First: cmp.Or(o.First, sootline.PlaceFirst), Box: o.Box, From: o.From, Text: o.Text}
	if o.From == 0 && !o.AsPlanned {
		said.From = 1 // or the loop's first, where that is higher
	}
	loop, err := benchLoop(r, o.Loop)
	if err != nil {
		return said, err
	}
	if !o.Empty {
		if said.Points, err = o.points(r, loop); err != nil {
			return said, err
		}
	}
	if o.Empty || len(said.Points) == 0 {
		if loop == (sootline.LoopID{}) {
			return said, noBenchLoop(r, o.Empty)
		}
	}
	said.Panel, said.Loop = loop.Panel, loop.Name
	return said, o.boxDoubts(r)
}

// benchLoop finds the loop of that name, such as 1.2 or 2; of an empty name the only
// one of the site, else none.
func benchLoop(r *sootline.Register, name string) (sootline.LoopID, error) {
	loops := r.Loops()
	if name == "" {
		if len(loops) == 1 {
			return loops[0].LoopID, nil
		}
		return sootline.LoopID{}, nil
	}
	var found []sootline.LoopID
	for _, l := range loops {
		if strings.EqualFold(l.LoopID.String(), name) || l.LoopID.Name == sootline.CleanName(name) {
			found = append(found, l.LoopID)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return sootline.LoopID{}, sootline.Errorf(sootline.NotFound, "see which loops there are", "there is no loop %s", name).Do(sootline.ShowSite).Or("or say which numbers it takes").Do(sootline.StateLoop, name)
	}
	return sootline.LoopID{}, sootline.Errorf(sootline.Conflict, "name its panel too, for example "+found[0].String(), "%d loops are called %s", len(found), name)
}

func noBenchLoop(r *sootline.Register, empty bool) error {
	switch {
	case len(r.Loops()) == 0:
		return sootline.Errorf(sootline.NotFound, "say which numbers the loop takes", "the site has no loop yet").Do(sootline.StateLoop)
	case empty:
		return sootline.Errorf(sootline.Invalid, "name the loop", "devices without place need the loop that they go to").Do(sootline.Give, "loop")
	}
	return sootline.Errorf(sootline.Conflict, "take the places all the same", "every place is set as wanted").Do(sootline.Give, "all").Or("or name places")
}

// points gives the places of the run, in its order.
func (o BenchOpening) points(r *sootline.Register, loop sootline.LoopID) ([]sootline.ID, error) {
	var places []*sootline.Point
	for _, name := range o.Places {
		p, err := PointNamed(r, name)
		if err != nil {
			return nil, err
		}
		if slices.Contains(places, p) {
			return nil, sootline.Errorf(sootline.Conflict, "name it once", "place %s is named twice", p.Ref())
		}
		places = append(places, p)
	}
	if len(places) == 0 {
		for _, p := range r.Points() {
			if o.takes(r, p, loop) {
				places = append(places, p)
			}
		}
		if err := o.By.sort(r, places); err != nil {
			return nil, err
		}
	}
	var ids []sootline.ID
	for _, p := range places {
		ids = append(ids, p.ID)
	}
	return ids, nil
}

// Count counts the places that a run would have now.
func (o BenchOpening) Count(r *sootline.Register) int {
	n := 0
	for _, p := range r.Points() {
		if o.takes(r, p, sootline.LoopID{}) {
			n++
		}
	}
	return n
}

// takes reports whether a point is a place of the run: one that takes a number, on
// the loop, and is not set as wanted yet.
func (o BenchOpening) takes(r *sootline.Register, p *sootline.Point, loop sootline.LoopID) bool {
	sheet := r.Sheet(p.Type)
	if o.Loop != "" && p.LoopID() != loop || sheet != nil && sheet.Kind == sootline.Isolator && p.Number() == 0 {
		return false
	}
	known := p.Stands.As != "" && p.Stands.As != sootline.AsListed && p.Stands.Number != r.Loop(p.LoopID()).Unset
	return o.All || !known || p.Wanted != 0 && p.Stands.Number != p.Wanted
}

// sort puts places in order; those of an area or floor that nobody said come last.
func (by BenchOrder) sort(r *sootline.Register, places []*sootline.Point) error {
	key := func(*sootline.Point) string { return "" }
	switch by {
	case "", BenchByNumber:
		return nil // the order of the register
	case BenchByCable:
	case BenchByArea:
		key = func(p *sootline.Point) string { return cmp.Or(p.Area, "\uffff") }
	case BenchByFloor:
		key = func(p *sootline.Point) string { return cmp.Or(r.Floor(p), "\uffff") }
	default:
		return sootline.Errorf(sootline.Invalid, "say number, cable, area or floor", "places cannot be taken by %q", string(by))
	}
	turn := func(p *sootline.Point) int {
		if p.Order == 0 {
			return 1 << 30
		}
		return p.Order
	}
	slices.SortStableFunc(places, func(a, b *sootline.Point) int {
		if c := cmp.Compare(key(a), key(b)); c != 0 || by != BenchByCable {
			return c
		}
		if a.LoopID() != b.LoopID() {
			return 0
		}
		return cmp.Compare(turn(a), turn(b))
	})
	return nil
}

// boxDoubts asks about a list of the box that contradicts itself, or whose serials
// may hold more than the serial.
func (o BenchOpening) boxDoubts(r *sootline.Register) error {
	if err := o.serialDoubts(r); err != nil {
		return err
	}
	seen := map[string]int{}
	var twice []string
	for _, d := range o.Box {
		key := sootline.SerialKey(d.Serial)
		if seen[key]++; key != "" && seen[key] == 2 {
			twice = append(twice, d.Serial)
		}
	}
	if len(twice) == 0 || o.Sure {
		return nil
	}
	return sootline.Errorf(sootline.Doubtful, "compare the labels and mend the list; or begin all the same, and be told again when the device is in hand",
		"the list has several devices of one serial: %s", strings.Join(twice, ", ")).Do(sootline.Give, "sure")
}

// Bench gives a run by its id or name; an empty name means the only one that is
// open.
func (a *App) Bench(ctx context.Context, site store.SiteLine, name string) (*BenchRun, error) {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return nil, err
	}
	said, err := benchNamed(r, name)
	if err != nil {
		return nil, err
	}
	return a.benchOf(r, site, said.ID)
}

func (a *App) benchOf(r *sootline.Register, site store.SiteLine, id sootline.ID) (*BenchRun, error) {
	return benchWith(r, site, func(facts bench.Facts) *bench.Run { return bench.Of(r, id, a.Now(), facts) })
}

// benchWith makes a run with the facts that other rooms know of the site.
func benchWith(r *sootline.Register, site store.SiteLine, of func(bench.Facts) *bench.Run) (*BenchRun, error) {
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, err
	}
	setters := settersOf(r)
	run := of(bench.Facts{
		Most: func(typeName string) int { return setters[sootline.TypeKey(typeName)].Most() },
		Refuse: func(id sootline.LoopID, number, width int) error {
			return spanOf(r.Loop(id)).Refuse(number, width)
		},
	})
	return &BenchRun{Run: run, Site: site, Register: r, Zone: zone, setters: setters}, nil
}

func spanOf(l sootline.Loop) address.Span {
	return address.Span{First: l.First, Last: l.Last, Unset: l.Unset, Reserved: l.Reserved, Separate: l.Separate}
}

// settersOf says how the types of a site are set; one whose sheet says it in a way
// that nobody can read is left out, and told of where numbers are planned.
func settersOf(r *sootline.Register) map[string]address.Setter {
	setters := map[string]address.Setter{}
	for _, sheet := range r.Sheets() {
		if setter, err := address.ParseSetter(sheet.Settings[address.HowSetting]); err == nil {
			setters[sootline.TypeKey(sheet.Name)] = setter
		}
	}
	return setters
}

// Benches lists the runs of a site, in order of time.
func (a *App) Benches(ctx context.Context, site store.SiteLine) ([]*BenchRun, error) {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return nil, err
	}
	var all []*BenchRun
	for _, said := range r.BenchRuns() {
		run, err := a.benchOf(r, site, said.ID)
		if err != nil {
			return nil, err
		}
		all = append(all, run)
	}
	return all, nil
}

// BenchOf gives a run of a register by its id or name; an empty name means the last
// one that was begun. The instant is that at which it is looked at.
func BenchOf(r *sootline.Register, name string, now time.Time) (*BenchRun, error) {
	var said *sootline.BenchRun
	if runs := r.BenchRuns(); name == "" && len(runs) > 0 {
		said = runs[len(runs)-1]
	} else if found, err := benchNamed(r, name); err != nil {
		return nil, err
	} else {
		said = found
	}
	site := store.SiteLine{ID: r.Site.ID, Name: r.Site.Name}
	return benchWith(r, site, func(facts bench.Facts) *bench.Run { return bench.Of(r, said.ID, now, facts) })
}
