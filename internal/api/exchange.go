package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/exchange"
	"sootline/internal/shape"
)

// mostParcel is the largest parcel that is taken in one request.
const mostParcel = 64 << 20

// Parcel is what another book hands over.
type Parcel struct {
	RawBody []byte `contentType:"application/octet-stream" required:"true" doc:"A parcel, docs/formats/exchange.md"`
}

// Settling lets something hold of what was changed in two places.
type Settling struct {
	OfSite
	Body struct {
		ID    string `json:"id" format:"uuid" doc:"Id of the entry that settles it, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
		Entry string `json:"entry" format:"uuid" doc:"Id of the entry that is to hold, one of those by which the fact was changed"`
	}
}

func exchanges(a *API) {
	operation(a, "list-changed-apart", sootline.Reader, http.MethodGet, "/sites/{site}/apart",
		"Facts that were changed in two places, neither hand having the other's entry", a.listApart)
	operation(a, "settle-fact", sootline.Technician, http.MethodPost, "/sites/{site}/apart",
		"Let one of the values hold: an entry that replaces all of them", a.settle)
	parcel := map[string]*huma.MediaType{"application/octet-stream": {Schema: &huma.Schema{Type: "string", Format: "binary"}}}
	huma.Register(a.huma, huma.Operation{
		OperationID: "exchange", Method: http.MethodPost, Path: "/exchange", Tags: []string{"exchange"},
		Summary:     "Take in what a parcel of another book brings, and answer with what that book lacks, docs/formats/exchange.md",
		Description: "For the role of technician. Lines that somebody else wrote are handed in by a manager.",
		Errors:      []int{400, 401, 403, 404, 409, 413, 415, 422, 500, 503}, DefaultStatus: http.StatusOK,
		Metadata: map[string]any{needs: sootline.Technician}, Security: []map[string][]string{{"session": {}}, {"token": {}}},
		MaxBodyBytes: mostParcel, BodyReadTimeout: 5 * time.Minute,
		Responses: map[string]*huma.Response{"200": {Description: "A parcel", Content: parcel}},
	}, a.exchange)
}

func (a *API) listApart(ctx context.Context, in *OfSite) (shape.Apart, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: *in})
	if err != nil {
		return shape.Apart{}, err
	}
	return shape.OfApart(app.ApartOf(survey.Register)), nil
}

func (a *API) settle(ctx context.Context, in *Settling) (shape.Settled, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.Settled{}, err
	}
	var s app.Settling
	if s.ID, err = entryID(in.Body.ID); err != nil {
		return shape.Settled{}, err
	}
	if s.Entry, err = entryID(in.Body.Entry); err != nil {
		return shape.Settled{}, err
	}
	written, err := a.as(ctx).Settle(ctx, site, s)
	if err != nil {
		return shape.Settled{}, err
	}
	return shape.OfSettled(written)
}

// bytesAnswer is an answer that is no JSON.
type bytesAnswer struct {
	ContentType string `header:"Content-Type"`
	Body        []byte
}

func (a *API) exchange(ctx context.Context, in *Parcel) (*bytesAnswer, error) {
	theirs, err := exchange.Unpack(in.RawBody)
	if err != nil {
		return nil, a.problem(ctx, err)
	}
	answer, err := a.as(ctx).Exchange(ctx, theirs)
	if err != nil {
		return nil, a.problem(ctx, err)
	}
	packed, err := answer.Pack()
	if err != nil {
		return nil, a.problem(ctx, err)
	}
	return &bytesAnswer{"application/octet-stream", packed}, nil
}
