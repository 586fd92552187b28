package api

import (
	"bytes"
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// mostLog is the largest export that is taken in one request.
const mostLog = 256 << 20

// LogQuery asks for entries of a log book.
type LogQuery struct {
	OfSite
	Point  string   `query:"point" doc:"Only about this point: its reference, for example 1.2.073, or its id"`
	Kind   []string `query:"kind,explode" maxItems:"30" doc:"Only these kinds"`
	From   string   `query:"from" format:"date" doc:"Only what happened on this day or later"`
	To     string   `query:"to" format:"date" doc:"Only what happened on this day or earlier"`
	Text   string   `query:"text" doc:"Only entries that hold this text"`
	Take   string   `query:"take" doc:"Only what this take wrote, and its line: its name or its id"`
	Folded bool     `query:"folded" doc:"A take as one line, without what it wrote"`
	Offset int      `query:"offset" minimum:"0" doc:"Leave out the latest so many"`
	Limit  int      `query:"limit" minimum:"1" maximum:"10000" default:"100"`
}

// OfEntry names an entry of a site's log.
type OfEntry struct {
	OfSite
	Entry string `path:"entry" format:"uuid" doc:"Id of the entry"`
}

// LogFile is an export of another book.
type LogFile struct {
	RawBody []byte `contentType:"application/jsonl" required:"true" doc:"A log as JSON Lines, docs/formats/log.md"`
}

func logs(a *API) {
	operation(a, "list-kinds", sootline.Reader, http.MethodGet, "/kinds", "What entries can say: each kind with its keys, and who may write it", func(context.Context, *None) (shape.Kinds, error) {
		return shape.OfKinds(), nil
	})
	operation(a, "read-log", sootline.Reader, http.MethodGet, "/sites/{site}/log", "The log book, the latest first, with what amends each entry", a.readLog)
	operation(a, "show-entry", sootline.Reader, http.MethodGet, "/sites/{site}/log/entries/{entry}", "One entry, with what amends it", a.showEntry)
	operation(a, "verify-log", sootline.Reader, http.MethodGet, "/sites/{site}/log/verification", "Whether no line was altered, removed or reordered", func(ctx context.Context, in *OfSite) (shape.Verification, error) {
		site, err := a.known(ctx, *in)
		if err != nil {
			return shape.Verification{}, err
		}
		v, err := a.as(ctx).Verify(ctx, site)
		return shape.OfVerification(v), err
	})
	huma.Register(a.huma, huma.Operation{
		OperationID: "export-log", Method: http.MethodGet, Path: "/sites/{site}/log/export", Summary: "The whole log as JSON Lines, docs/formats/log.md", Tags: []string{"log"},
		Errors: []int{401, 403, 404, 500, 503}, Metadata: map[string]any{needs: sootline.Technician}, Security: []map[string][]string{{"session": {}}}, Description: "For the role of technician.",
		Responses: map[string]*huma.Response{"200": {Description: "A line an entry", Content: map[string]*huma.MediaType{"application/jsonl": {Schema: &huma.Schema{Type: "string"}}}}},
	}, a.exportLog)
	operation(a, "import-log", sootline.Manager, http.MethodPost, "/log/import", "Bring in a log that another book exported: the union of both", func(ctx context.Context, in *LogFile) (shape.Imported, error) {
		imported, err := a.as(ctx).Import(ctx, bytes.NewReader(in.RawBody))
		return shape.OfImported(imported), err
	}, roomFor(mostLog))
}

// known finds a site that the book holds.
func (a *API) known(ctx context.Context, in OfSite) (sootline.ID, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in})
	if err != nil {
		return sootline.ID{}, err
	}
	return survey.Register.Site.ID, nil
}

func (a *API) readLog(ctx context.Context, in *LogQuery) (shape.Log, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in.OfSite})
	if err != nil {
		return shape.Log{}, err
	}
	filter := app.LogFilter{Point: in.Point, Text: in.Text, Take: in.Take, Folded: in.Folded}
	for _, kind := range in.Kind {
		filter.Kinds = append(filter.Kinds, sootline.Kind(kind))
	}
	if filter.From, filter.To, err = days(in.From, in.To, survey.Zone); err != nil {
		return shape.Log{}, err
	}
	found, err := survey.Log(filter)
	if err != nil {
		return shape.Log{}, err
	}
	first := min(in.Offset, len(found))
	var lines []app.LogLine
	for _, e := range found[first:min(first+in.Limit, len(found))] {
		lines = append(lines, survey.LogLine(e))
	}
	return shape.OfLog(survey.Register, survey.Zone, len(found), in.Offset, lines)
}

// days reads the first and the last day of a span, as its first instant and the
// one after it; nothing is the zero time.
func days(first, last string, zone *time.Location) (from, to time.Time, err error) {
	if first != "" {
		if from, err = sootline.ParseDayBegins(first, zone); err != nil {
			return from, to, err
		}
	}
	if last != "" {
		to, err = sootline.ParseDayEnds(last, zone)
		to = to.Add(time.Millisecond)
	}
	return from, to, err
}

func (a *API) showEntry(ctx context.Context, in *OfEntry) (shape.Logged, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in.OfSite})
	if err != nil {
		return shape.Logged{}, err
	}
	id, err := entryID(in.Entry)
	if err != nil {
		return shape.Logged{}, err
	}
	line, err := survey.LogEntry(id)
	if err != nil {
		return shape.Logged{}, err
	}
	log, err := shape.OfLog(survey.Register, survey.Zone, 1, 0, []app.LogLine{line})
	if err != nil {
		return shape.Logged{}, err
	}
	return log.Entries[0], nil
}

// exportLog streams the log; nothing of it is held in memory whole.
func (a *API) exportLog(ctx context.Context, in *OfSite) (*huma.StreamResponse, error) {
	site, err := a.known(ctx, *in)
	if err != nil {
		return nil, a.problem(ctx, err)
	}
	return &huma.StreamResponse{Body: func(ctx huma.Context) {
		ctx.SetHeader("Content-Type", "application/jsonl; charset=utf-8")
		if _, err := a.as(ctx.Context()).Export(ctx.Context(), site, ctx.BodyWriter()); err != nil {
			a.Trouble(ctx.Context(), err)
			panic(http.ErrAbortHandler) // half of it is out: an end that looks whole would be a lie
		}
	}}, nil
}
