package web

import (
	"strings"

	"sootline"
	"sootline/internal/app"
)

// correctionForm is the form filled with what holds of an entry: every key of it,
// so that nothing is lost.
func (s *Server) correctionForm(survey *app.Survey, line app.LogLine) (entryForm, error) {
	holds := line.Holds()
	form := entryForm{ID: s.newID(), Kind: string(holds.Body.Kind()), AsksPoint: true, Corrects: true, Point: namesPoint(survey, holds.Point), At: saysWhen(survey, holds)}
	seen := ""
	if line.Amended != nil {
		seen = line.Amended.ID.String()
	}
	form.Seen = &seen
	var err error
	form.typed, err = sootline.FormOf(holds.Body)
	return form, err
}

// namesPoint gives the reference of a point where that names no other, else its id.
func namesPoint(survey *app.Survey, id sootline.ID) string {
	if id.Zero() {
		return ""
	}
	return shortName(survey, id.String())
}

// saysWhen is empty where nobody knows.
func saysWhen(survey *app.Survey, e sootline.Entry) string {
	if !e.At.After(sootline.LongAgo) {
		return ""
	}
	if e.Day {
		return day(e.At, survey.Zone)
	}
	return sootline.Clocked(e.At, survey.Zone)
}

// amendment names what the form amends, and what it saw to hold.
func (f entryForm) amendment(entry string) (m app.Amendment, err error) {
	if m.ID, err = sootline.ParseID(f.ID); err != nil {
		return m, lostNumber(err)
	}
	if m.Entry, err = sootline.ParseID(entry); err != nil {
		return m, err
	}
	m.Why, m.Sure = f.Why, f.Sure
	if f.Seen == nil {
		return m, nil
	}
	m.Seen = &app.Seen{}
	if *f.Seen != "" {
		m.Seen.Amendment, err = sootline.ParseID(*f.Seen)
	}
	return m, err
}

// correction says what an entry should have said. What stands in the form as it
// was shown stays as it is, to the millisecond and the last mark.
func (f entryForm) correction(survey *app.Survey, holds sootline.Entry) (c sootline.Corrected, err error) {
	c = app.AsItHolds(holds)
	if f.At != saysWhen(survey, holds) {
		if f.At == "" {
			return c, sootline.Errorf(sootline.Invalid, "write 2026-01-15 or 2026-01-15 09:30", "a correction does not say when it happened")
		}
		at, err := typedMoment(f.At, survey.Zone)
		if err != nil {
			return c, err
		}
		c.At, c.Day = sootline.Instant(at.At), at.Day
	}
	if f.Point != namesPoint(survey, holds.Point) {
		if c.Point = (sootline.ID{}); f.Point != "" {
			p, err := app.PointNamed(survey.Register, f.Point)
			if err != nil {
				return c, err
			}
			c.Point = p.ID
		}
	}
	held, err := sootline.FormOf(holds.Body)
	if err != nil {
		return c, err
	}
	for key, text := range held {
		if typed, there := f.typed[key]; there && typed == strings.ReplaceAll(oneEnd(text), "\r", "\n") {
			f.typed[key] = text
		}
	}
	c.Body, err = sootline.BodyOf(holds.Body.Kind(), f.typed)
	return c, err
}
