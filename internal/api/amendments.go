package api

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// NewEntry is an entry to be added.
type NewEntry struct {
	OfSite
	Body struct {
		ID    string          `json:"id" format:"uuid" doc:"Id of the entry, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
		At    *time.Time      `json:"at,omitempty" doc:"When it happened; left out: now"`
		Day   bool            `json:"day,omitempty" doc:"Only the day is known: at is an instant of it, on the site's clock"`
		Point string          `json:"point,omitempty" doc:"The point's reference, for example 1.2.073, or its id; left out: about the site"`
		Kind  EntryKind       `json:"kind" doc:"What it is; GET /kinds tells of each what it says and who may write it"`
		Body  json.RawMessage `json:"body" doc:"What it says, by its kind"`
		Sure  bool            `json:"sure,omitempty" doc:"It is so, although it may look like a slip. Without it what may be one is refused as doubtful, with the reason"`
	}
}

// Correction puts an entry right.
type Correction struct {
	OfEntry
	Body struct {
		ID    string          `json:"id" format:"uuid" doc:"Id of the entry that corrects"`
		Why   string          `json:"why,omitempty"`
		At    *time.Time      `json:"at,omitempty" doc:"When it happened; left out: as it holds"`
		Day   bool            `json:"day,omitempty" doc:"Only the day is known: at is an instant of it, on the site's clock"`
		Point string          `json:"point,omitempty" doc:"Left out: as it holds"`
		Body  json.RawMessage `json:"body,omitempty" doc:"What it should have said: the keys to be changed. What is left out stays as it holds, null takes a key away (JSON merge patch, RFC 7396)"`
		Sure  bool            `json:"sure,omitempty" doc:"It is so, although it may look like a slip"`
		Seen  *string         `json:"seen,omitempty" doc:"Id of the amendment that held when whoever asks looked, empty: none; where another one holds by now, it is refused. Left out: not looked at"`
	}
}

// Withdrawal takes an entry back.
type Withdrawal struct {
	OfEntry
	Body struct {
		ID  string `json:"id" format:"uuid" doc:"Id of the entry that takes the other back"`
		Why string `json:"why,omitempty"`
	}
}

func amendments(a *API) {
	operation(a, "add-entry", sootline.Technician, http.MethodPost, "/sites/{site}/log", "Add an entry to the log book", a.addEntry)
	operation(a, "correct-entry", sootline.Technician, http.MethodPost, "/sites/{site}/log/entries/{entry}/correction", "Put an entry right; both stay in the log", a.correct)
	operation(a, "withdraw-entry", sootline.Technician, http.MethodPost, "/sites/{site}/log/entries/{entry}/withdrawal", "Take an entry back; both stay in the log", a.withdraw)
}

func (a *API) addEntry(ctx context.Context, in *NewEntry) (shape.Entry, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.Entry{}, err
	}
	kind := sootline.Kind(in.Body.Kind)
	note := app.Note{Point: in.Body.Point, Sure: in.Body.Sure}
	if note.ID, err = entryID(in.Body.ID); err != nil {
		return shape.Entry{}, err
	}
	if note.Body, err = decoded(kind, in.Body.Body); err != nil {
		return shape.Entry{}, err
	}
	if in.Body.At != nil {
		note.At, note.Day = *in.Body.At, in.Body.Day
	}
	return entryOf(a.as(ctx).AddEntry(ctx, site, note))
}

// decoded reads what an entry says. A kind that is not known is a mistake here.
func decoded(kind sootline.Kind, raw json.RawMessage) (sootline.Body, error) {
	if kind == sootline.CorrectedKind || kind == sootline.WithdrawnKind {
		return nil, sootline.Errorf(sootline.Invalid, "they have operations of their own", "a correction or withdrawal is not added by itself")
	}
	body, err := sootline.DecodeBody(kind, raw)
	if sootline.ErrorCode(err) == sootline.Newer {
		return nil, sootline.Errorf(sootline.Invalid, "docs/formats/log.md lists the kinds", "%w", err)
	}
	return body, err
}

func entryOf(e sootline.Entry, err error) (shape.Entry, error) {
	if err != nil {
		return shape.Entry{}, err
	}
	return shape.OfEntry(&e)
}

// amendment names the entry that is amended, which whoever asks may write.
func (a *API) amendment(ctx context.Context, of OfEntry, id, why string) (site sootline.ID, m app.Amendment, err error) {
	if site, err = a.known(ctx, of.OfSite); err != nil {
		return site, m, err
	}
	m.Why = why
	if m.ID, err = entryID(id); err != nil {
		return site, m, err
	}
	if m.Entry, err = entryID(of.Entry); err != nil {
		return site, m, err
	}
	return site, m, nil
}

func (a *API) correct(ctx context.Context, in *Correction) (shape.Entry, error) {
	site, m, err := a.amendment(ctx, in.OfEntry, in.Body.ID, in.Body.Why)
	if err != nil {
		return shape.Entry{}, err
	}
	m.Sure = in.Body.Sure
	if m.Seen, err = seenOf(in.Body.Seen); err != nil {
		return shape.Entry{}, err
	}
	r, err := a.as(ctx).Register(ctx, site, time.Time{})
	if err != nil {
		return shape.Entry{}, err
	}
	return entryOf(a.as(ctx).Correct(ctx, site, m, func(holds sootline.Entry) (c sootline.Corrected, err error) {
		c = app.AsItHolds(holds)
		if in.Body.At != nil {
			c.At, c.Day = sootline.Instant(*in.Body.At), in.Body.Day
		}
		if in.Body.Point != "" {
			p, err := app.PointNamed(r, in.Body.Point)
			if err != nil {
				return c, err
			}
			c.Point = p.ID
		}
		if len(in.Body.Body) > 0 {
			c.Body, err = merged(holds.Body, in.Body.Body)
		}
		return c, err
	}))
}

// merged lays keys over what an entry says, by the rules of JSON merge patch (RFC 7396):
// what is left out stays, null takes away, a list is replaced whole.
func merged(holds sootline.Body, patch json.RawMessage) (sootline.Body, error) {
	var keys map[string]any
	if err := withNumbers(patch, &keys); err != nil || keys == nil {
		return nil, sootline.Errorf(sootline.Invalid, "give an object with the keys to be changed", "the body of a correction is no JSON object")
	}
	raw, err := json.Marshal(holds)
	if err != nil {
		return nil, err
	}
	said := map[string]any{}
	if err := withNumbers(raw, &said); err != nil {
		return nil, err
	}
	lay(said, keys)
	if raw, err = json.Marshal(said); err != nil {
		return nil, err
	}
	return decoded(holds.Kind(), raw)
}

// withNumbers decodes JSON, and keeps numbers as they are written.
func withNumbers(raw []byte, into *map[string]any) error {
	read := json.NewDecoder(bytes.NewReader(raw))
	read.UseNumber()
	return read.Decode(into)
}

// lay lays the keys of a patch over an object.
func lay(over, patch map[string]any) {
	for key, value := range patch {
		inner, isObject := value.(map[string]any)
		switch {
		case value == nil:
			delete(over, key)
		case isObject:
			was, ok := over[key].(map[string]any)
			if !ok {
				was = map[string]any{}
			}
			lay(was, inner)
			over[key] = was
		default:
			over[key] = value
		}
	}
}

// seenOf reads which amendment somebody saw to hold.
func seenOf(text *string) (*app.Seen, error) {
	switch {
	case text == nil:
		return nil, nil
	case *text == "":
		return &app.Seen{}, nil
	}
	id, err := entryID(*text)
	return &app.Seen{Amendment: id}, err
}

func (a *API) withdraw(ctx context.Context, in *Withdrawal) (shape.Entry, error) {
	site, m, err := a.amendment(ctx, in.OfEntry, in.Body.ID, in.Body.Why)
	if err != nil {
		return shape.Entry{}, err
	}
	return entryOf(a.as(ctx).Withdraw(ctx, site, m))
}
