package api

import (
	"context"
	"net/http"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// BenchQuery names a run at the bench.
type BenchQuery struct {
	OfSite
	Run string `path:"run" doc:"The run's id or name; open: the one that is open"`
}

// BenchInput begins a run.
type BenchInput struct {
	OfSite
	Body struct {
		ID     string   `json:"id,omitempty" doc:"A UUID of yours: handed in twice, the run begins once"`
		Name   string   `json:"name,omitempty" maxLength:"200"`
		First  string   `json:"first,omitempty" enum:"place,device" doc:"Whether each place gets its device, or each device its place"`
		Loop   string   `json:"loop,omitempty" doc:"Only places of this loop; devices without place go there"`
		Places []string `json:"places,omitempty" maxItems:"10000" doc:"References in order; none: all that are not set as wanted"`
		All    bool     `json:"all,omitempty" doc:"Also places that are set as wanted"`
		Empty  bool     `json:"empty,omitempty" doc:"No places: each device gets the next free number"`
		By     string   `json:"by,omitempty" enum:"number,cable,area,floor"`
		From   int      `json:"from,omitempty" minimum:"0" maximum:"9999"`
		Sure   bool     `json:"sure,omitempty"`
	}
}

// BenchedInput says what became of a device, or of a place, in a run.
type BenchedInput struct {
	BenchQuery
	Body struct {
		ID       string            `json:"id,omitempty" doc:"A UUID of yours: handed in twice, it is written once"`
		Outcome  string            `json:"outcome" enum:"done,skipped,rejected"`
		Point    string            `json:"point,omitempty" doc:"For example 1.2.073; empty: the place in hand"`
		Serial   string            `json:"serial,omitempty" maxLength:"200"`
		Type     string            `json:"type,omitempty" maxLength:"200"`
		Read     int               `json:"read,omitempty" minimum:"0" maximum:"9999" doc:"The number read back from the device"`
		How      string            `json:"how,omitempty" enum:"setter,panel,person"`
		Settings map[string]string `json:"settings,omitempty" doc:"Settings found"`
		Samples  []float64         `json:"samples,omitempty" maxItems:"1000" doc:"Of its resting value, in the unit of its type, in the order taken"`
		Seconds  float64           `json:"seconds,omitempty" minimum:"0" doc:"From the first sample to the last"`
		Reason   string            `json:"reason,omitempty" maxLength:"1000" doc:"Why it was skipped or rejected"`
		Sure     bool              `json:"sure,omitempty" doc:"It is so, although it may look like a slip"`
	}
}

// BenchUndoInput says what to take back.
type BenchUndoInput struct {
	BenchQuery
	Body struct {
		Record string `json:"record,omitempty" doc:"The id of what was done; empty: the last of yours"`
		Sure   bool   `json:"sure,omitempty" doc:"Yours before it too, where the last thing you did was to take one back"`
	}
}

func benches(a *API) {
	operation(a, "open-bench", sootline.Technician, http.MethodPost, "/sites/{site}/bench", "Begin a run at the bench", a.openBench)
	operation(a, "show-bench", sootline.Reader, http.MethodGet, "/sites/{site}/bench/{run}", "A run at the bench: its places with their cards, its box, what is done and what is left", a.showBench)
	operation(a, "bench-device", sootline.Technician, http.MethodPost, "/sites/{site}/bench/{run}/devices", "Write down what became of a device: set for its place, skipped or rejected", a.benchDevice)
	operation(a, "undo-bench", sootline.Technician, http.MethodPost, "/sites/{site}/bench/{run}/undo", "Take back what was last done in a run, with all that was written with it", a.undoBench)
}

// at gives the use cases of whoever asks, in the name of the id that was handed in
// with a request, and the site that it is about.
func (a *API) at(ctx context.Context, of OfSite, id string) (*app.App, store.SiteLine, error) {
	at := a.as(ctx)
	site, err := of.id()
	if err != nil {
		return nil, store.SiteLine{}, err
	}
	if id != "" {
		if at.Form, err = sootline.ParseID(id); err != nil {
			return nil, store.SiteLine{}, err
		}
	}
	line, err := at.SiteOf(ctx, site)
	if err == nil && line == nil {
		err = sootline.Errorf(sootline.NotFound, "GET /sites lists them", "there is no such site")
	}
	if err != nil {
		return nil, store.SiteLine{}, err
	}
	return at, *line, nil
}

func (a *API) showBench(ctx context.Context, in *BenchQuery) (shape.Bench, error) {
	at, line, err := a.at(ctx, in.OfSite, "")
	if err != nil {
		return shape.Bench{}, err
	}
	run, err := at.Bench(ctx, line, in.name())
	return a.ofBench(at, run, err)
}

// ofBench shapes a run for whoever asks.
func (a *API) ofBench(at *app.App, run *app.BenchRun, err error) (shape.Bench, error) {
	if err != nil {
		return shape.Bench{}, err
	}
	return shape.OfBench(run, a.App.Book.Station(at.Who.Station), at.Who.Name), nil
}

// name is the run as use cases find it: empty for the one that is open.
func (q *BenchQuery) name() string {
	if q.Run == "open" {
		return ""
	}
	return q.Run
}

func (a *API) openBench(ctx context.Context, in *BenchInput) (shape.Bench, error) {
	b := &in.Body
	at, line, err := a.at(ctx, in.OfSite, b.ID)
	if err != nil {
		return shape.Bench{}, err
	}
	run, err := at.OpenBench(ctx, line, app.BenchOpening{
		Name: b.Name, First: sootline.BenchFirst(b.First), Loop: b.Loop, Places: b.Places, All: b.All, Empty: b.Empty,
		By: app.BenchOrder(b.By), From: b.From, Sure: b.Sure,
	})
	return a.ofBench(at, run, err)
}

func (a *API) benchDevice(ctx context.Context, in *BenchedInput) (shape.Bench, error) {
	b := &in.Body
	at, line, err := a.at(ctx, in.OfSite, b.ID)
	if err != nil {
		return shape.Bench{}, err
	}
	unit := sootline.Unit{Serial: b.Serial}
	switch sootline.BenchOutcome(b.Outcome) {
	case sootline.BenchSkipped:
		err = at.BenchSkip(ctx, line, in.name(), b.Point, b.Reason)
	case sootline.BenchRejected:
		err = at.BenchReject(ctx, line, in.name(), b.Point, sootline.BoxDevice{Unit: unit, Type: b.Type}, b.Reason)
	default:
		err = a.benchDone(ctx, at, line, in)
	}
	if err != nil {
		return shape.Bench{}, err
	}
	return a.showBench(ctx, &in.BenchQuery)
}

// benchDone writes a device down that was set; without a point, for the place in hand.
func (a *API) benchDone(ctx context.Context, at *app.App, line store.SiteLine, in *BenchedInput) error {
	b := &in.Body
	run, err := at.Bench(ctx, line, in.name())
	if err != nil {
		return err
	}
	g := app.BenchGiven{Sure: b.Sure}
	g.Serial, g.Type, g.Read, g.How, g.Modes, g.Samples, g.Seconds = b.Serial, b.Type, b.Read, sootline.Means(b.How), b.Settings, b.Samples, b.Seconds
	if b.Point != "" {
		place, err := run.PlaceNamed(b.Point)
		if err != nil {
			return err
		}
		g.Point = place.Point.ID
	} else if h, ok := run.Hand(); ok && h.Place != nil {
		g.Point = h.Place.Point.ID
	}
	_, err = at.BenchDone(ctx, line, in.name(), g)
	return err
}

func (a *API) undoBench(ctx context.Context, in *BenchUndoInput) (shape.Bench, error) {
	at, line, err := a.at(ctx, in.OfSite, "")
	var record sootline.ID
	if err == nil && in.Body.Record != "" {
		record, err = sootline.ParseID(in.Body.Record)
	}
	if err == nil {
		_, err = at.BenchUndo(ctx, line, in.name(), record, in.Body.Sure)
	}
	if err != nil {
		return shape.Bench{}, err
	}
	return a.showBench(ctx, &in.BenchQuery)
}
