package app

import (
	"context"
	"time"

	"sootline"
	"sootline/internal/store"
)

// planned is what an accepted plan says of each of its numbers; with when and by
// whom it was noted, it tells which entries are one act.
const planned = "planned"

// AcceptedPlan is a plan of numbers that was accepted and holds.
type AcceptedPlan struct {
	Noted   time.Time
	By      string
	Entries []*sootline.Entry // a number wanted each
}

// LastPlan gives the plan that was accepted last and holds; nil where there is none.
func LastPlan(log *sootline.Log) *AcceptedPlan {
	var last *AcceptedPlan
	var station string
	for _, e := range log.Holding() {
		said, ok := e.Body.(sootline.Addressed)
		if !ok || said.Wanted == 0 || said.Text != planned {
			continue
		}
		same := last != nil && last.Noted.Equal(e.Noted) && last.By == e.By && station == e.Station
		switch {
		case same:
			last.Entries = append(last.Entries, e)
		case last == nil || e.Noted.After(last.Noted):
			last, station = &AcceptedPlan{Noted: e.Noted, By: e.By, Entries: []*sootline.Entry{e}}, e.Station
		}
	}
	return last
}

// LastPlan gives the plan of numbers that was accepted last and holds, or nil.
func (s *Survey) LastPlan() *AcceptedPlan { return LastPlan(s.log) }

// UndoPlan takes the plan back that was accepted last, whole: what was wanted before
// is wanted again. How devices stand, and what was set on them since, stays.
func (a *App) UndoPlan(ctx context.Context, site sootline.ID) (*AcceptedPlan, error) {
	var plan *AcceptedPlan
	err := a.settle(ctx, site, func() ([]sootline.Entry, error) {
		log, err := a.LogOf(ctx, site)
		if err != nil {
			return nil, err
		}
		if plan = LastPlan(log); plan == nil {
			return nil, sootline.Errorf(sootline.NotFound, "see what is wanted", "no accepted plan of numbers holds on this site").Do(sootline.ListPoints)
		}
		amendments := amendmentsOf(log)
		var entries []sootline.Entry
		for _, e := range plan.Entries {
			back := sootline.InSightOf(sootline.Withdrawn{Entry: e.ID, Why: "the plan is taken back"}, sootline.Unsurpassed(amendments, e.ID))
			entries = append(entries, a.entry(site, a.Now(), sootline.ID{}, back))
		}
		return entries, nil
	})
	return plan, err
}

func amendmentsOf(log *sootline.Log) []sootline.Entry {
	var all []sootline.Entry
	for _, e := range log.Entries() {
		if !sootline.Amends(e.Body).Zero() {
			all = append(all, *e)
		}
	}
	return all
}

// DeviceNote is what somebody wrote into a device, or read back from it.
type DeviceNote struct {
	ID       sootline.ID       // zero: a new one; else handing it in twice writes it once
	Point    string            // a reference
	Set      int               // the number that was set; 0: none was
	Found    int               // the number that was read back; 0: nobody looked
	How      sootline.Means    // by what
	Settings map[string]string // found, each with its choice
	Text     string
	Sure     bool // whoever writes is certain of what may be a slip
}

// NoteDevice writes down what was set on a device or read back from it: its number,
// its settings, or both. What may be a slip is asked about before any of it is written.
func (a *App) NoteDevice(ctx context.Context, site sootline.ID, n DeviceNote) ([]sootline.Entry, error) {
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
	bodies := n.bodies()
	if len(bodies) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "say the number that was set or found, or a setting such as blink=off", "nothing is said of the device")
	}
	var entries []sootline.Entry
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		point, err := a.pointIn(tx, site, Note{Point: n.Point, Body: bodies[0]})
		if err != nil {
			return err
		}
		there, err := isNoted(tx, site, n.ID)
		if err != nil {
			return err
		}
		entries = nil
		for _, body := range bodies {
			e := a.entry(site, a.Now(), point, body)
			if !there {
				if err := a.refuseIn(tx, site, &e); err != nil {
					return err
				}
			}
			if !there && !n.Sure {
				if err := a.doubtIn(tx, site, &e); err != nil {
					return err
				}
			}
			entries = append(entries, e)
		}
		for i := range entries {
			if !n.ID.Zero() {
				entries[i].ID = deedPart(n.ID, i)
			}
		}
		return a.appendOnce(tx, site, entries)
	})
	return entries, err
}

func (n *DeviceNote) bodies() []sootline.Body {
	var bodies []sootline.Body
	if n.Set != 0 || n.Found != 0 {
		bodies = append(bodies, sootline.Addressed{Set: n.Set, Found: n.Found, How: n.How, Text: n.Text})
	}
	if len(n.Settings) > 0 {
		bodies = append(bodies, sootline.Set{Found: n.Settings})
	}
	return bodies
}
