package api

import (
	"bytes"
	"context"
	"net/http"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// OfSource names a source of a site.
type OfSource struct {
	OfSite
	Source string `path:"source" doc:"Its name"`
}

// SourceHeard says where a source is heard.
type SourceHeard struct {
	OfSource
	Body struct {
		ID      string `json:"id" format:"uuid" doc:"Id of the entry, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
		Via     string `json:"via" doc:"By what it is heard: tcp, serial, file, syslog; of values: modbus, modbus-serial, mqtt, bacnet"`
		Address string `json:"address" doc:"Host and port, or a path of the machine that listens: it opens those alone that whoever started it named"`
		Places  string `json:"places,omitempty" doc:"Of a source of values: a table as text, with the columns point, source, unit, scale, as read-places gives it"`
		Minutes int    `json:"minutes,omitempty" minimum:"0" doc:"Of a source of values: how often they are read; left out: once a day"`
		Speed   int    `json:"speed,omitempty" doc:"Of a serial line, bit/s; left out: it is found out"`
		Panel   string `json:"panel,omitempty" doc:"The panel of which it tells; left out: as it was, or the site's only one"`
	}
}

// SourceEntry is a change of a source that needs an id alone.
type SourceEntry struct {
	OfSource
	Body struct {
		ID string `json:"id" format:"uuid" doc:"Id of the entry, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
	}
}

// SourceLesson says which parts of some lines are what.
type SourceLesson struct {
	OfSource
	Body struct {
		ID    string            `json:"id,omitempty" format:"uuid" doc:"Id of the entry, where it is kept"`
		From  int64             `json:"from" doc:"As it was given with the lines"`
		Panel string            `json:"panel,omitempty" doc:"The panel of which it tells; left out: the site's only one"`
		Lines []TaughtLine      `json:"lines" minItems:"1" maxItems:"20"`
		Words map[string]string `json:"words,omitempty" doc:"What words mean: alarm, pre-alarm, fault, fault cleared, disabled, enabled, test, reset, silence, nothing"`
		Keep  bool              `json:"keep,omitempty" doc:"Keep it with the site. Without it, it is shown what would come of it"`
	}
}

// TaughtLine is a record with its parts.
type TaughtLine struct {
	First int          `json:"first" doc:"The number of its first line"`
	Last  int          `json:"last,omitempty" doc:"The number of its last line; left out: it has one"`
	Parts []TaughtPart `json:"parts" doc:"In the order in which they are printed"`
}

// TaughtPart is a part of a record.
type TaughtPart struct {
	Role  string `json:"role" doc:"day, time, loop, number, sub, zone, event or text"`
	Value string `json:"value" doc:"What stands there"`
	Means string `json:"means,omitempty" doc:"Of the event: what it means"`
	After int    `json:"after,omitempty" doc:"So many letters stand before it at least, white space not counted"`
}

// MapInHand is a listing of which value is of which point.
type MapInHand struct {
	OfSite
	Body struct {
		Via  string `json:"via" doc:"By what values are read: modbus, modbus-serial, mqtt, bacnet"`
		Text string `json:"text,omitempty" doc:"A table as text: CSV, semicolons or tabs"`
		File []byte `json:"file,omitempty" doc:"Or the file that has it, CSV or XLSX say"`
	}
}

// HeardAgain asks that what was heard be read again.
type HeardAgain struct {
	OfSource
	Body struct {
		Keep bool `json:"keep,omitempty" doc:"Write it. Without it, it is shown what would be otherwise. Twice is as good as once"`
	}
}

func sources(a *API) {
	operation(a, "read-places", sootline.Manager, http.MethodPost, "/sites/{site}/places", "Read which value is of which point from a listing, and say what it would do; nothing is kept", a.readPlaces)
	operation(a, "read-again", sootline.Technician, http.MethodPost, "/sites/{site}/sources/{source}/again", "Read again what was heard, by how its lines are read now: corrections are added, nothing is changed or taken away", a.readAgain)
	operation(a, "list-sources", sootline.Reader, http.MethodGet, "/sites/{site}/sources", "What is listened to, how it does, and what was not understood", a.listSources)
	operation(a, "show-heard", sootline.Technician, http.MethodGet, "/sites/{site}/sources/{source}/lines", "The lines of a source as they were heard last", a.showHeard)
	operation(a, "teach-source", sootline.Technician, http.MethodPost, "/sites/{site}/sources/{source}/lesson", "Say what the parts of two or three lines are, see how the others are read then, and keep it", a.teachSource)
	operation(a, "take-back-lesson", sootline.Technician, http.MethodPost, "/sites/{site}/sources/{source}/lesson/back", "Take back what was taught last", a.takeBackTaught)
	operation(a, "keep-source", sootline.Manager, http.MethodPut, "/sites/{site}/sources/{source}", "Keep with the site where a source is heard", a.keepSource)
	operation(a, "drop-source", sootline.Manager, http.MethodPost, "/sites/{site}/sources/{source}/drop", "Hear and read a source no more; what was heard and written stays", a.dropSource)
}

func (a *API) sourcesOf(ctx context.Context, in OfSite) (shape.Sources, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in})
	if err != nil {
		return shape.Sources{}, err
	}
	found, err := a.as(ctx).SourcesOf(ctx, siteLine(survey))
	return shape.Sources{Sources: shape.OfSources(found, survey.Zone)}, err
}

func siteLine(survey *app.Survey) store.SiteLine {
	return store.SiteLine{ID: survey.Register.Site.ID, Name: survey.Register.Site.Name}
}

func (a *API) listSources(ctx context.Context, in *OfSite) (shape.Sources, error) {
	return a.sourcesOf(ctx, *in)
}

// shownLines is how many lines are given.
const shownLines = 200

func (a *API) showHeard(ctx context.Context, in *OfSource) (shape.HeardLines, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.HeardLines{}, err
	}
	heard, err := a.as(ctx).LastHeard(ctx, site, in.Source)
	if err != nil {
		return shape.HeardLines{}, err
	}
	return shape.OfHeardLines(heard, shownLines), nil
}

func (a *API) teachSource(ctx context.Context, in *SourceLesson) (shape.Lesson, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in.OfSite})
	if err != nil {
		return shape.Lesson{}, err
	}
	by := app.TaughtBy{Source: in.Source, Panel: in.Body.Panel, From: in.Body.From, Words: in.Body.Words}
	for _, l := range in.Body.Lines {
		m := app.MarkedLine{First: l.First, Last: l.Last}
		for _, p := range l.Parts {
			m.Parts = append(m.Parts, app.MarkedPart(p))
		}
		by.Marked = append(by.Marked, m)
	}
	at := a.as(ctx)
	taught, err := at.TeachBy(ctx, siteLine(survey), by)
	if err == nil && in.Body.Keep {
		if at.Form, err = entryID(in.Body.ID); err == nil {
			err = at.KeepTaught(ctx, siteLine(survey), taught)
		}
	}
	if err != nil {
		return shape.Lesson{}, err
	}
	return shape.OfLesson(taught, in.Body.Keep), nil
}

// changed does what changes a source, as the entry that whoever asks named, and tells of the sources then.
func (a *API) changed(ctx context.Context, in OfSource, id string, do func(*app.App, sootline.ID) error) (shape.Sources, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.Sources{}, err
	}
	at := a.as(ctx)
	if at.Form, err = entryID(id); err != nil {
		return shape.Sources{}, err
	}
	if err := do(at, site); err != nil {
		return shape.Sources{}, err
	}
	return a.sourcesOf(ctx, in.OfSite)
}

func (a *API) keepSource(ctx context.Context, in *SourceHeard) (shape.Sources, error) {
	return a.changed(ctx, in.OfSource, in.Body.ID, func(at *app.App, site sootline.ID) error {
		return at.KeepSource(ctx, site, app.KeptSource{Name: in.Source, Panel: in.Body.Panel, Via: in.Body.Via, Address: in.Body.Address, Speed: in.Body.Speed, Places: in.Body.Places, Minutes: in.Body.Minutes})
	})
}

func (a *API) readPlaces(ctx context.Context, in *MapInHand) (shape.ValueMap, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.ValueMap{}, err
	}
	content := in.Body.File
	if len(content) == 0 {
		content = []byte(in.Body.Text)
	}
	read, err := a.as(ctx).ReadMap(ctx, site, in.Body.Via, "the list of values", bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return shape.ValueMap{}, err
	}
	return shape.OfMap(read), nil
}

func (a *API) readAgain(ctx context.Context, in *HeardAgain) (shape.Again, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in.OfSite})
	if err != nil {
		return shape.Again{}, err
	}
	found, err := a.as(ctx).ReadAgain(ctx, siteLine(survey), in.Source, in.Body.Keep)
	if err != nil {
		return shape.Again{}, err
	}
	return shape.OfAgain(found, in.Body.Keep), nil
}

func (a *API) takeBackTaught(ctx context.Context, in *SourceEntry) (shape.Sources, error) {
	return a.changed(ctx, in.OfSource, in.Body.ID, func(at *app.App, site sootline.ID) error {
		return at.TakeBackTaught(ctx, site, in.Source)
	})
}

func (a *API) dropSource(ctx context.Context, in *SourceEntry) (shape.Sources, error) {
	return a.changed(ctx, in.OfSource, in.Body.ID, func(at *app.App, site sootline.ID) error {
		return at.DropSource(ctx, site, in.Source)
	})
}
