package app

import (
	"cmp"
	"slices"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// writtenSince is how many of the latest entries may have been written since a question was shown. Ours: more than
// somebody answers from one page, and ten looks at the site.
const writtenSince = 32

// answerable finds a question that can be answered: one that is open, or was before the latest entries, until one of them
// wrote of what it is about. An answer elsewhere moves all chances a little, and takes no question off a page.
func answerable(log *sootline.Log, key string, on time.Time) (*Asked, error) {
	latest := slices.Clone(log.Entries())
	slices.SortStableFunc(latest, func(a, b *sootline.Entry) int { return cmp.Or(b.Noted.Compare(a.Noted), -sootline.Compare(a, b)) })
	for back := 0; back <= min(writtenSince, len(latest)); back += max(1, back/2) {
		q, err := openBefore(latest[back:], key, on)
		if err != nil || q == nil {
			if err != nil {
				return nil, err
			}
			continue
		}
		for _, e := range latest[:back] {
			if settles(e, q) {
				return nil, settledBy(key, e, q.To.Location())
			}
		}
		return q, nil
	}
	// However long ago it was answered, and whatever was written with it: the answer names it.
	for _, e := range latest {
		if note, ok := e.Body.(sootline.Note); ok && note.Answers == key {
			return nil, settledBy(key, e, time.UTC)
		}
	}
	return nil, nil
}

// settledBy refuses the answer to a question that an entry settled.
func settledBy(key string, by *sootline.Entry, zone *time.Location) error {
	return sootline.Errorf(sootline.Conflict, "see which are open", "question %s was settled by entry %s of %s", key, by.ID, by.At.In(zone).Format(time.DateOnly)).Do(sootline.ListQuestions)
}

// openBefore finds a question among those that some entries raise, also one that is held back.
func openBefore(entries []*sootline.Entry, key string, on time.Time) (*Asked, error) {
	list := make([]sootline.Entry, len(entries))
	for i, e := range entries {
		list[i] = *e
	}
	r, zone, err := fold(sootline.NewLog(list), orAlways(on))
	if err != nil {
		return nil, err
	}
	asked := openQuestions(r, judge.Raised(r), zone)
	if i := slices.IndexFunc(asked, func(q Asked) bool { return q.Key == key }); i >= 0 {
		return &asked[i], nil
	}
	return nil, nil
}

// settles reports whether an entry wrote of what a question is about: answered it, changed a reading that it rests on,
// or told of its points and time.
func settles(e *sootline.Entry, q *Asked) bool {
	switch body := e.Body.(type) {
	case sootline.Note:
		if body.Answers != "" {
			return body.Answers == q.Key
		}
	case sootline.Corrected:
		if slices.Contains(q.Entries, body.Entry) {
			return true
		}
	case sootline.Withdrawn:
		return slices.Contains(q.Entries, body.Entry)
	}
	return !e.At.Before(q.From) && !e.At.After(q.To) && slices.ContainsFunc(q.Points, func(p *sootline.Point) bool { return p.ID == e.Point })
}
