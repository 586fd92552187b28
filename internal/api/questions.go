package api

import (
	"context"
	"net/http"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// Reply answers a question.
type Reply struct {
	OfSite
	Key  string `path:"key" doc:"The key of the question"`
	Body struct {
		ID  string     `json:"id" format:"uuid" doc:"Id of the entry that the answer writes"`
		Yes bool       `json:"yes"`
		At  *time.Time `json:"at,omitempty" doc:"With a yes, when it was; left out: between the visits that the question is about"`
		Why string     `json:"why,omitempty" doc:"With a no, what it was"`
	}
}

// Written is the entries that a write made.
type Written struct {
	Entries []shape.Entry `json:"entries"`
}

func questions(a *API) {
	operation(a, "list-questions", sootline.Reader, http.MethodGet, "/sites/{site}/questions", "What nobody wrote down and the readings ask about", func(ctx context.Context, in *AsOf) (shape.Questions, error) {
		survey, err := a.judged(ctx, *in)
		if err != nil {
			return shape.Questions{}, err
		}
		return shape.OfQuestions(survey.Register, survey.Asked()), nil
	})
	operation(a, "answer-question", sootline.Technician, http.MethodPost, "/sites/{site}/questions/{key}", "Answer a question: a yes becomes an entry, a no is noted", func(ctx context.Context, in *Reply) (Written, error) {
		site, err := in.id()
		if err != nil {
			return Written{}, err
		}
		reply := app.Reply{Yes: in.Body.Yes, Why: in.Body.Why}
		if reply.ID, err = entryID(in.Body.ID); err != nil {
			return Written{}, err
		}
		if in.Body.At != nil {
			reply.At = *in.Body.At
		}
		entries, err := a.as(ctx).Answer(ctx, site, in.Key, reply)
		if err != nil {
			return Written{}, err
		}
		return writtenOf(entries...)
	})
}

// entryID reads the id of an entry that is to be written.
func entryID(text string) (sootline.ID, error) {
	id, err := sootline.ParseID(text)
	if err != nil {
		return id, sootline.Errorf(sootline.Invalid, "make a UUID version 7 for each entry", "the id cannot be read: %w", err)
	}
	return id, nil
}

func writtenOf(entries ...sootline.Entry) (Written, error) {
	list := make([]*sootline.Entry, len(entries))
	for i := range entries {
		list[i] = &entries[i]
	}
	shapes, err := shape.OfEntries(list)
	return Written{shapes}, err
}
