package api

import (
	"context"
	"net/http"
	"time"

	"sootline"
	"sootline/internal/app"
)

// NewDevice is a device at a place where none was.
type NewDevice struct {
	OfSite
	Body struct {
		ID       string     `json:"id" format:"uuid" doc:"A UUID version 7 made by whoever asks: handing it in twice adds one device"`
		Number   string     `json:"number,omitempty" doc:"Whole, as 1.2.099, or with a loop as 99; left out: nobody said"`
		Loop     string     `json:"loop,omitempty" doc:"The loop, for example 1.2; left out: the number says it"`
		Type     string     `json:"type" minLength:"1" doc:"As the schedule or the device has it"`
		Location string     `json:"location,omitempty" doc:"Where it is, in words"`
		Area     string     `json:"area,omitempty"`
		Zone     string     `json:"zone,omitempty"`
		Floor    string     `json:"floor,omitempty"`
		Serial   string     `json:"serial,omitempty"`
		At       *time.Time `json:"at,omitempty" doc:"Since when it is there; left out: now"`
		Sure     bool       `json:"sure,omitempty" doc:"It is so, although it may look like a slip. Without it what may be one is refused as doubtful, with the reason"`
	}
}

// PointMoved is where a point goes.
type PointMoved struct {
	OfSite
	Point string `path:"point" doc:"Its reference, for example 1.2.073, or its id"`
	Body  struct {
		ID     string `json:"id" format:"uuid" doc:"A UUID version 7 made by whoever asks: handing it in twice moves it once"`
		Number string `json:"number,omitempty" doc:"That was set on it, whole, as 1.2.099, or with a loop as 99; left out: it keeps the one it has"`
		Loop   string `json:"loop,omitempty" doc:"The loop that it goes to, for example 1.2; left out: the number says it"`
		Sure   bool   `json:"sure,omitempty" doc:"It is so, although it may look like a slip. Without it what may be one is refused as doubtful, with the reason"`
	}
}

// PointsDescribed says anew where points are.
type PointsDescribed struct {
	OfSite
	Body struct {
		ID       string   `json:"id" format:"uuid" doc:"A UUID version 7 made by whoever asks: handing it in twice writes it once"`
		Points   []string `json:"points" minItems:"1" doc:"References, for example 1.2.073, or ids"`
		Location *string  `json:"location,omitempty" doc:"Left out, this and what follows stay as they are"`
		Area     *string  `json:"area,omitempty"`
		Zone     *string  `json:"zone,omitempty"`
		Floor    *string  `json:"floor,omitempty"`
	}
}

// PointsRemoved says that points are no more.
type PointsRemoved struct {
	OfSite
	Body struct {
		ID     string   `json:"id" format:"uuid" doc:"A UUID version 7 made by whoever asks: handing it in twice writes it once"`
		Points []string `json:"points" minItems:"1" doc:"References, for example 1.2.073, or ids"`
		Why    string   `json:"why,omitempty"`
	}
}

func places(a *API) {
	operation(a, "add-point", sootline.Technician, http.MethodPost, "/sites/{site}/points", "Add a device at a place of its own", a.addPoint)
	operation(a, "move-point", sootline.Technician, http.MethodPost, "/sites/{site}/points/{point}/move", "Move a point to another loop or number", a.movePoint)
	operation(a, "describe-points", sootline.Technician, http.MethodPost, "/sites/{site}/points/described", "Say anew where points are, all or none", a.describePoints)
	operation(a, "remove-points", sootline.Technician, http.MethodPost, "/sites/{site}/points/removed", "Say that points are no more, all or none; their history stays", a.removePoints)
}

// placing does what changes places, as the act that whoever asks named.
func (a *API) placing(ctx context.Context, in OfSite, id string, do func(*app.App, *sootline.Register) ([]sootline.Entry, error)) (Written, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in})
	if err != nil {
		return Written{}, err
	}
	at := a.as(ctx)
	if at.Form, err = entryID(id); err != nil {
		return Written{}, err
	}
	entries, err := do(at, survey.Register)
	if err != nil {
		return Written{}, err
	}
	return writtenOf(entries...)
}

func (a *API) addPoint(ctx context.Context, in *NewDevice) (Written, error) {
	b := &in.Body
	return a.placing(ctx, in.OfSite, b.ID, func(at *app.App, r *sootline.Register) ([]sootline.Entry, error) {
		loop, number, err := app.NumberTyped(r, b.Number, b.Loop, "")
		if err != nil {
			return nil, err
		}
		device := app.NewPoint{
			Place:  sootline.Place{Panel: loop.Panel, Loop: loop.Name, Location: b.Location, Area: b.Area, Zone: b.Zone, Floor: b.Floor},
			Number: number, Type: b.Type, Serial: b.Serial, Sure: b.Sure,
		}
		if b.At != nil {
			device.At = *b.At
		}
		return at.AddPoint(ctx, r.Site.ID, device)
	})
}

func (a *API) movePoint(ctx context.Context, in *PointMoved) (Written, error) {
	b := &in.Body
	return a.placing(ctx, in.OfSite, b.ID, func(at *app.App, r *sootline.Register) ([]sootline.Entry, error) {
		p, err := app.PointNamed(r, in.Point)
		if err != nil {
			return nil, err
		}
		loop, number, err := app.NumberTyped(r, b.Number, b.Loop, "")
		if err != nil {
			return nil, err
		}
		return at.MovePoint(ctx, r.Site.ID, app.PointMove{Point: p.ID, Loop: loop, Number: number, Sure: b.Sure})
	})
}

func (a *API) describePoints(ctx context.Context, in *PointsDescribed) (Written, error) {
	b := &in.Body
	return a.placing(ctx, in.OfSite, b.ID, func(at *app.App, r *sootline.Register) ([]sootline.Entry, error) {
		points, err := app.PointsNamed(r, b.Points)
		if err != nil {
			return nil, err
		}
		return at.DescribePoints(ctx, r.Site.ID, points, app.PlaceChange{Location: b.Location, Area: b.Area, Zone: b.Zone, Floor: b.Floor})
	})
}

func (a *API) removePoints(ctx context.Context, in *PointsRemoved) (Written, error) {
	b := &in.Body
	return a.placing(ctx, in.OfSite, b.ID, func(at *app.App, r *sootline.Register) ([]sootline.Entry, error) {
		points, err := app.PointsNamed(r, b.Points)
		if err != nil {
			return nil, err
		}
		return at.RemovePoints(ctx, r.Site.ID, points, b.Why)
	})
}
