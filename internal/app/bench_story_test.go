package app

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/bench"
	"sootline/internal/store"
	"sootline/internal/worlds/benches"
)

// benchStory keeps a run of a story in a book. A hand without network is a phone: it
// has the log of when the network went and what it captured since, and hands that in.
type benchStory struct {
	t      testing.TB
	a      *App
	site   store.SiteLine
	start  benches.Start
	run    sootline.ID
	places map[string]sootline.ID
	cut    [2]*sootline.Log
	own    [2][]sootline.Entry
}

var benchHands = [2]string{"A. Tech", "B. Tech"}

// wideType is the name under which a type at a wide place has its width: a type sheet
// has one width, and the story gives widths to places.
func wideType(typeName string, width int) string {
	if width > 1 {
		return fmt.Sprintf("%s x%d", typeName, width)
	}
	return typeName
}

func plainType(typeName string) string {
	name, _, _ := strings.Cut(typeName, " x")
	return name
}

// Begin makes a site of the story, and opens the run.
func (b *benchStory) Begin(s benches.Start) ([]benches.Remark, error) {
	ctx := context.Background()
	b.start, b.places = s, map[string]sootline.ID{}
	b.a = newApp(b.t, "laptop")
	clock := today
	b.a.Now = func() time.Time { clock = clock.Add(time.Second); return clock }
	id := addSite(b.t, b.a)
	site, err := b.a.Site(ctx, "")
	if err != nil {
		b.t.Fatal(err)
	}
	b.site = site
	if err := b.a.add(ctx, id, b.world()...); err != nil {
		b.t.Fatal(err)
	}
	o := BenchOpening{First: sootline.BenchFirst(s.First), AsPlanned: true}
	for _, p := range s.Places {
		o.Places = append(o.Places, b.places[p.Name].String())
	}
	for _, d := range s.Box {
		o.Box = append(o.Box, sootline.BoxDevice{Unit: sootline.Unit{Serial: d.Serial}, Type: d.Type})
	}
	run, err := b.a.OpenBench(ctx, site, o)
	if err != nil {
		return nil, err
	}
	b.run = run.ID
	return nil, nil
}

// world makes the entries of the loop, the types and the points.
func (b *benchStory) world() []sootline.Entry {
	entry := func(point sootline.ID, body sootline.Body) sootline.Entry {
		return b.a.entry(b.site.ID, today, point, body)
	}
	s := b.start
	entries := []sootline.Entry{entry(sootline.ID{}, sootline.LoopFacts{Panel: "1", Loop: "1", First: s.LowestNumber, Last: s.LastNumber, Unset: s.Unset, Separate: s.Separate})}
	kinds := map[string]sootline.DeviceKind{}
	for _, p := range slices.Concat(s.Places, s.Others) {
		kinds[p.Type] = sootline.Smoke
		if p.Module {
			kinds[p.Type] = sootline.Module
		}
	}
	for name, most := range s.Most {
		settings := map[string]string{"address": "dials 9"}
		if most > 99 {
			settings["address"] = "switches 7"
		}
		if kinds[name] == "" && (name == "Relay" || name == "Horn") {
			kinds[name] = sootline.Module
		}
		for _, width := range []int{1, 2} {
			entries = append(entries, entry(sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: wideType(name, width), Kind: kinds[name], Width: width, Settings: settings}}))
		}
	}
	for i, p := range slices.Concat(s.Places, s.Others) {
		point := sootline.DerivedID(today, fmt.Append(nil, p.Name))
		b.places[p.Name] = point
		entries = append(entries, entry(point, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Order: i + 1, Location: p.Name}, Type: wideType(p.Type, p.Width)}))
		switch {
		case p.Number == 0:
		case i >= len(s.Places):
			entries = append(entries, entry(point, sootline.Addressed{Wanted: p.Number, Set: p.Number}))
		default:
			entries = append(entries, entry(point, sootline.Addressed{Wanted: p.Number}))
		}
	}
	return entries
}

// as gives the use cases to a hand, on a phone of its own.
func (b *benchStory) as(who int) *App {
	hand := *b.a
	hand.Who.Name, hand.Who.Station, hand.Who.Phone = benchHands[who], fmt.Sprint("phone-", who), true
	return &hand
}

// log is what a hand knows of.
func (b *benchStory) log(who int) *sootline.Log {
	if b.cut[who] != nil {
		return b.cut[who].With(slices.Clone(b.own[who]))
	}
	log, err := b.a.LogOf(context.Background(), b.site.ID)
	if err != nil {
		b.t.Fatal(err)
	}
	return log
}

func (b *benchStory) sees(who int) *BenchRun {
	run, err := b.a.benchOf(b.log(who).Fold(Always), b.site, b.run)
	if err != nil || run.Run == nil {
		b.t.Fatal("no run", err)
	}
	return run
}

// write captures entries, and hands them in where there is a network.
func (b *benchStory) write(who int, entries []sootline.Entry, err error) error {
	if err != nil {
		return err
	}
	if b.cut[who] != nil {
		b.own[who] = append(b.own[who], entries...)
		return nil
	}
	return b.handIn(who, entries)
}

// handIn hands captures in, twice and in another order the second time.
func (b *benchStory) handIn(who int, entries []sootline.Entry) error {
	var captures []Capture
	for _, e := range entries {
		captures = append(captures, Capture{ID: e.ID, At: e.At, Point: e.Point, Body: e.Body})
	}
	for range 2 {
		handed, err := b.as(who).HandIn(context.Background(), b.site.ID, captures)
		if err != nil {
			return err
		}
		if len(handed.Refused) > 0 {
			return fmt.Errorf("not taken: %v", handed.Refused)
		}
		slices.Reverse(captures)
	}
	return nil
}

func (b *benchStory) name(point sootline.ID) string {
	for name, id := range b.places {
		if id == point {
			return name
		}
	}
	return ""
}

func (b *benchStory) place(name string) benches.Place {
	return b.start.Places[slices.IndexFunc(b.start.Places, func(p benches.Place) bool { return p.Name == name })]
}

func (b *benchStory) Hand(who int, of benches.Device) (benches.Place, bool) {
	run := b.sees(who)
	next := run.Hand
	if who == 1 {
		next = run.HandFromBack
	}
	h, ok := next()
	if of != (benches.Device{}) {
		for _, width := range []int{1, 2} {
			h, ok = run.HandOf(sootline.BoxDevice{Unit: sootline.Unit{Serial: of.Serial}, Type: wideType(of.Type, width)})
			if ok && h.Place != nil && plainType(h.Place.Point.Type) == of.Type {
				break
			}
		}
	}
	if !ok || h.Place == nil {
		return benches.Place{}, false
	}
	place := b.place(b.name(h.Place.Point.ID))
	place.Number = h.Number
	return place, true
}

func (b *benchStory) Done(who int, g benches.Given) ([]benches.Remark, error) {
	place := b.place(g.Place)
	given := BenchGiven{Sure: g.Sure, Given: bench.Given{
		Point: b.places[g.Place], Unit: sootline.Unit{Serial: g.Device.Serial}, Type: wideType(g.Device.Type, place.Width), Read: g.Back,
	}}
	run := b.sees(who)
	var remarks []benches.Remark
	looked := run.Look(given.Given)
	for _, r := range looked.Remarks {
		remarks = append(remarks, benches.Remark{Code: string(r.Code), Grave: string(r.Grave)})
	}
	_, entries, err := b.as(who).doing(run, given)
	if code := sootline.ErrorCode(err); code == sootline.Conflict || code == sootline.Doubtful {
		return remarks, nil
	}
	return remarks, b.write(who, entries, err)
}

func (b *benchStory) Skip(who int, place, reason string) error {
	entries, err := b.as(who).skipping(b.sees(who), b.places[place].String(), reason)
	return b.write(who, entries, err)
}

func (b *benchStory) Reject(who int, d benches.Device, reason string) error {
	entries, err := b.as(who).rejecting(b.sees(who), "", sootline.BoxDevice{Unit: sootline.Unit{Serial: d.Serial}, Type: d.Type}, reason)
	return b.write(who, entries, err)
}

func (b *benchStory) Undo(who int) error {
	rec, err := b.sees(who).undoable(sootline.ID{}, b.as(who).Who)
	if err != nil {
		return err
	}
	return b.write(who, b.as(who).takingBack(b.site.ID, b.log(who), append([]sootline.ID{rec.Entry.ID}, rec.With...), takenBack), nil)
}

func (b *benchStory) Left(who int) []benches.Left {
	var left []benches.Left
	for _, l := range b.sees(who).Left() {
		if l.Kind == bench.LeftOpen || l.Kind == bench.LeftSkipped {
			left = append(left, benches.Left{Place: b.name(l.Place.Point.ID), Skipped: l.Kind == bench.LeftSkipped})
		}
	}
	return left
}

func (b *benchStory) Rejects(who int) []benches.Device {
	var all []benches.Device
	for _, rec := range b.sees(who).Rejected {
		all = append(all, benches.Device{Serial: rec.Serial, Type: rec.Type})
	}
	return all
}

func (b *benchStory) Standing(who int) []benches.Line {
	var all []benches.Line
	run := b.sees(who)
	for _, place := range run.Places {
		name := b.name(place.Point.ID)
		for i := range place.Done {
			rec := &place.Done[i]
			typeName := b.place(name).Type
			if rec.Type != "" {
				typeName = plainType(rec.Type)
			}
			all = append(all, benches.Line{Place: name, Serial: rec.Serial, Type: typeName, Number: run.Carries(place, rec)})
		}
	}
	return all
}

func (b *benchStory) Doubts(who int) []benches.Doubt {
	var all []benches.Doubt
	run := b.sees(who)
	for _, l := range run.Left() {
		code := map[bench.LeftKind]string{bench.LeftNumber: benches.NumberTaken, bench.LeftSerial: benches.SerialSeen}[l.Kind]
		if l.Kind == bench.LeftTwice && b.oneNumber(run, l.Place) {
			code = benches.NumberTaken
		}
		if code == "" || l.Kind == bench.LeftSerial && l.Other == nil { // a rejected one that was set is left, and no doubt of two places
			continue
		}
		doubt := benches.Doubt{Code: code, Places: []string{b.name(l.Place.Point.ID)}}
		if l.Other != nil {
			doubt.Places = append(doubt.Places, b.name(l.Other.ID))
		}
		all = append(all, doubt)
	}
	return all
}

// oneNumber reports whether two devices of a place carry one number.
func (b *benchStory) oneNumber(run *BenchRun, place *bench.Place) bool {
	seen := map[int]bool{}
	for i := range place.Done {
		n := run.Carries(place, &place.Done[i])
		if seen[n] {
			return true
		}
		seen[n] = true
	}
	return false
}

func (b *benchStory) Cut(who int) {
	if b.cut[who] == nil {
		b.cut[who] = b.log(who)
	}
}

// Merge hands in what was captured.
func (b *benchStory) Merge(who int) error {
	if b.cut[who] == nil {
		return nil
	}
	if err := b.handIn(who, b.own[who]); err != nil {
		return err
	}
	b.cut[who], b.own[who] = nil, nil
	return nil
}

func (b *benchStory) Leave(int) {}

// Stories of two hands at one box, by another mind: whatever is set, skipped, undone or
// doubled, no two devices end with one number unseen, and what is left is exact.
func TestBenchStories(t *testing.T) {
	sums(t)
	stories := uint64(12)
	if os.Getenv("SOOTLINE_LONG") != "" {
		stories = 500
	}
	for seed := range stories {
		if err := benches.Play(seed, &benchStory{t: t}); err != nil {
			t.Error(err)
		}
	}
}
