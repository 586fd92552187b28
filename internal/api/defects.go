package api

import (
	"context"
	"encoding/json"
	"net/http"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// DefectsQuery asks for the defects of a site.
type DefectsQuery struct {
	AsOf
	All   bool   `query:"all" doc:"Closed ones too"`
	Point string `query:"point" doc:"Only those at this point: its reference, for example 1.2.073, or its id"`
}

// OfDefect names a defect of a site.
type OfDefect struct {
	AsOf
	Defect string `path:"defect" doc:"Its id, an unambiguous beginning of it, the id of an entry that tells of it, or its point, where one alone is not closed"`
}

// NewDefect is a defect to be written down.
type NewDefect struct {
	OfSite
	Body struct {
		ID    string          `json:"id" format:"uuid" doc:"Id of the entry, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
		At    *time.Time      `json:"at,omitempty" doc:"When it was seen; left out: now"`
		Point string          `json:"point,omitempty" doc:"The point's reference or id; left out: at no point"`
		Sure  bool            `json:"sure,omitempty" doc:"It is so, although it may look like a slip. Without it what may be one is refused as doubtful, with the reason"`
		Body  json.RawMessage `json:"body" doc:"What it says: the kind defect of docs/formats/log.md"`
	}
}

// DefectStep is a step in the story of a defect.
type DefectStep struct {
	OfSite
	Defect string `path:"defect" doc:"Its id, an unambiguous beginning of it, the id of an entry that tells of it, or its point, where one alone is not closed"`
	Body   struct {
		ID   string         `json:"id" format:"uuid" doc:"Id of the entry, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
		At   *time.Time     `json:"at,omitempty" doc:"When it happened; left out: now"`
		Kind string         `json:"kind" enum:"followed,mended,retested"`
		Sure bool           `json:"sure,omitempty" doc:"It is so, although it may look like a slip. Without it what may be one is refused as doubtful, with the reason"`
		Body map[string]any `json:"body,omitempty" doc:"What it says, by its kind, without the defect"`
	}
}

func defects(a *API) {
	operation(a, "list-defects", sootline.Reader, http.MethodGet, "/sites/{site}/defects", "The defects: the open ones first, the gravest of them first", a.listDefects)
	operation(a, "add-defect", sootline.Technician, http.MethodPost, "/sites/{site}/defects", "Write a defect down; a failed test and a fault are defects by themselves", a.addDefect)
	operation(a, "show-defect", sootline.Reader, http.MethodGet, "/sites/{site}/defects/{defect}", "One defect with its story", a.showDefect)
	operation(a, "step-defect", sootline.Technician, http.MethodPost, "/sites/{site}/defects/{defect}/steps", "Say who was told, that it was mended, or that it was tried again", a.stepDefect)
}

func (a *API) listDefects(ctx context.Context, in *DefectsQuery) (shape.Defects, error) {
	survey, err := a.survey(ctx, in.AsOf)
	if err != nil {
		return shape.Defects{}, err
	}
	list, err := survey.Defects(app.DefectFilter{All: in.All, Point: in.Point})
	if err != nil {
		return shape.Defects{}, err
	}
	return shape.OfDefects(survey.Register, survey.On, list)
}

func (a *API) showDefect(ctx context.Context, in *OfDefect) (shape.DefectStory, error) {
	survey, err := a.survey(ctx, in.AsOf)
	if err != nil {
		return shape.DefectStory{}, err
	}
	d, err := app.DefectNamed(survey.Register, in.Defect)
	if err != nil {
		return shape.DefectStory{}, err
	}
	return shape.OfDefectStory(d)
}

func (a *API) addDefect(ctx context.Context, in *NewDefect) (shape.Entry, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.Entry{}, err
	}
	note := app.Note{Point: in.Body.Point, Sure: in.Body.Sure}
	if note.ID, err = entryID(in.Body.ID); err != nil {
		return shape.Entry{}, err
	}
	if in.Body.At != nil {
		note.At = *in.Body.At
	}
	if note.Body, err = decoded(sootline.DefectKind, in.Body.Body); err != nil {
		return shape.Entry{}, err
	}
	return entryOf(a.as(ctx).AddEntry(ctx, site, note))
}

func (a *API) stepDefect(ctx context.Context, in *DefectStep) (shape.Entry, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in.OfSite})
	if err != nil {
		return shape.Entry{}, err
	}
	d, err := app.DefectNamed(survey.Register, in.Defect)
	if err != nil {
		return shape.Entry{}, err
	}
	note := app.Note{Sure: in.Body.Sure}
	if note.ID, err = entryID(in.Body.ID); err != nil {
		return shape.Entry{}, err
	}
	if in.Body.At != nil {
		note.At = *in.Body.At
	}
	said := map[string]any{"defect": d.ID}
	for key, value := range in.Body.Body {
		if key != "defect" {
			said[key] = value
		}
	}
	raw, err := json.Marshal(said)
	if err != nil {
		return shape.Entry{}, err
	}
	if note.Body, err = decoded(sootline.Kind(in.Body.Kind), raw); err != nil {
		return shape.Entry{}, err
	}
	return entryOf(a.as(ctx).StepDefect(ctx, survey.Register.Site.ID, d.ID.String(), note))
}
