package app

import (
	"cmp"
	"context"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// Asked is a question about what nobody wrote down, with the key by which it is
// answered.
type Asked struct {
	judge.Question
	Key string
}

// Questions gives the questions that are open as of an instant: those that the
// readings raise and nobody has answered with no.
func (a *App) Questions(ctx context.Context, site sootline.ID, on time.Time) (*sootline.Register, []Asked, error) {
	r, err := a.Register(ctx, site, on)
	if err != nil {
		return nil, nil, err
	}
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, nil, err
	}
	return r, openQuestions(r, judge.Unwritten(r), zone), nil
}

// Open leaves out the questions that were answered with no.
func Open(r *sootline.Register, questions []judge.Question) []Asked {
	var asked []Asked
	for _, q := range questions {
		if key := q.Key(); !r.Answered(key) {
			asked = append(asked, Asked{q, key})
		}
	}
	return asked
}

// Reply is the answer to a question.
type Reply struct {
	ID  sootline.ID // zero: a new one; else handing the reply in twice writes it once
	Yes bool
	At  time.Time // with a yes, when it was; zero: between the visits, as the question puts it
	Day bool      // only the day of At is known
	Why string    // with a no
}

// Answer answers an open question. A yes writes what happened; a no is noted, so
// that it is not asked again.
func (a *App) Answer(ctx context.Context, site sootline.ID, key string, reply Reply) ([]sootline.Entry, error) {
	var written []sootline.Entry
	err := a.settle(ctx, site, func() (fresh []sootline.Entry, err error) {
		written, fresh, err = a.answering(ctx, site, key, reply)
		return fresh, err
	})
	return written, err
}

// answering gives the entries of an answer, and those of them that are to be
// written: none where the very reply was handed in before.
func (a *App) answering(ctx context.Context, site sootline.ID, key string, reply Reply) (all, fresh []sootline.Entry, err error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, nil, err
	}
	q, err := answerable(log, key, a.Now())
	if q != nil && err == nil {
		all, err = a.answer(site, *q, reply)
		if err == nil && !reply.ID.Zero() {
			all[0].ID = reply.ID
		}
		return all, all, err
	}
	if !reply.ID.Zero() {
		if e, err := a.Entry(ctx, site, reply.ID); err == nil {
			return []sootline.Entry{e}, nil, nil
		}
	}
	if err != nil {
		return nil, nil, err
	}
	return nil, nil, sootline.Errorf(sootline.NotFound, "see which are open", "there is no open question %q", key).Do(sootline.ListQuestions)
}

func (a *App) answer(site sootline.ID, q Asked, reply Reply) ([]sootline.Entry, error) {
	if !reply.Yes {
		text := cmp.Or(reply.Why, "answered with no") + ": " + q.Evidence[len(q.Evidence)-1]
		return []sootline.Entry{a.entry(site, a.Now(), q.Points[0].ID, sootline.Note{Text: text, Answers: q.Key})}, nil
	}
	if len(q.Say) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "answer with no, or write down what happened", "nothing follows from a yes to this question").Do(sootline.AddEntry)
	}
	var entries []sootline.Entry
	for _, said := range q.Say {
		if !reply.At.IsZero() && said.Body.Kind() != sootline.CorrectedKind {
			if reply.At.Before(q.From) || reply.At.After(q.To) {
				return nil, sootline.Errorf(sootline.Invalid, "write down what happened", "%s is not between the two visits that the question is about, %s and %s",
					reply.At.Format(time.DateOnly), q.From.Format(time.DateOnly), q.To.Format(time.DateOnly)).Do(sootline.AddEntry)
			}
			said.At = reply.At
		}
		e := a.entry(site, said.At, said.Point.ID, said.Body)
		e.Day = reply.Day && said.At.Equal(reply.At)
		entries = append(entries, e)
	}
	return entries, nil
}
