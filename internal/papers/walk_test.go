package papers

import (
	"context"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// walked is a site on which one person walks a round of two of three points with
// the panel's list of events: three alarms, one of them at the third.
func walked(t *testing.T) (*app.App, store.SiteLine, time.Time) {
	t.Helper()
	ctx := context.Background()
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	line, err := a.Site(ctx, "")
	if err != nil || line.ID != site {
		t.Fatalf("%v, %v", line, err)
	}
	points := register(t, a, site).Points()
	began := a.Now().Add(-3 * time.Hour)
	opened := sootline.Visit{State: "opened", Minutes: 60, Round: []sootline.ID{points[0].ID, points[1].ID}, Work: [][]string{{visit.Test}, {visit.Test, visit.Read}}}
	attend(t, a, site, began, opened)
	for _, n := range []app.Note{
		{At: began.Add(10 * time.Minute), Point: points[0].ID.String(), Body: sootline.Alarm{}},
		{At: began.Add(20 * time.Minute), Point: points[1].ID.String(), Body: sootline.Alarm{}},
		{At: began.Add(30 * time.Minute), Point: points[2].ID.String(), Body: sootline.Alarm{}},
	} {
		if _, err := a.AddEntry(ctx, site, n); err != nil {
			t.Fatal(err)
		}
	}
	return a, line, began
}

// TestWalkTestIsCountedAsTestsEverywhere: the report of the visit, the share of the
// year, what is due and the closing count the alarms as tests, and the count of
// false alarms stays as it was; an alarm that is not certain is asked.
func TestWalkTestIsCountedAsTestsEverywhere(t *testing.T) {
	ctx := context.Background()
	before := newApp(t, "laptop")
	quiet, err := before.Alarms(ctx, paperSite(t, before), before.Now(), "")
	if err != nil {
		t.Fatal(err)
	}
	a, line, began := walked(t)
	falseAlarms := func(a *app.App, site sootline.ID, want int) {
		t.Helper()
		r, err := a.Alarms(ctx, site, a.Now(), "")
		if err != nil || r.Year.Incidents-quiet.Year.Incidents != want || r.Year.Alarms-quiet.Year.Alarms != want {
			t.Errorf("%d incidents more, want %d (%v)", r.Year.Incidents-quiet.Year.Incidents, want, err)
		}
	}
	falseAlarms(a, line.ID, 0)
	state, err := a.VisitState(ctx, line, a.Now())
	if err != nil || len(state.Undone) != 1 || strings.Join(state.Undone[0].Work, " ") != visit.Read || len(state.Walk.Seen) != 2 || len(state.Walk.Others) != 1 {
		t.Fatalf("%+v, %+v, %v", state.Undone, state.Walk, err)
	}
	done, err := a.VisitDone(ctx, line)
	if err != nil || done.Visit == nil || len(done.Done) != 2 || len(done.Undone) != 1 {
		t.Errorf("the phone is told %d done, %d not; %v", len(done.Done), len(done.Undone), err)
	}
	report := fieldsOf(makePaper(t, a, line.ID, Wish{Kind: "visit"}))
	if report["tested at this visit"] != "2 of 3, 66.7 %" || report["of the round, not done"] != "1.1.002 read" {
		t.Errorf("the report says %q, not done %q", report["tested at this visit"], report["of the round, not done"])
	}

	_, asked, err := a.Questions(ctx, line.ID, a.Now())
	var question *app.Asked
	for i := range asked {
		if asked[i].Kind == app.AskAlarmTest {
			question = &asked[i]
		}
	}
	if err != nil || question == nil || !question.From.Equal(sootline.Instant(began.Add(30*time.Minute))) {
		t.Fatalf("%+v, %v", asked, err)
	}
	for _, yes := range []bool{true, false} {
		b, line, _ := walked(t)
		_, asked, err := b.Questions(ctx, line.ID, b.Now())
		if err != nil {
			t.Fatal(err)
		}
		if _, err := b.Answer(ctx, line.ID, asked[len(asked)-1].Key, app.Reply{Yes: yes, Why: "toast"}); err != nil {
			t.Fatal(err)
		}
		report := fieldsOf(makePaper(t, b, line.ID, Wish{Kind: "visit"}))
		_, again, err := b.Questions(ctx, line.ID, b.Now())
		if err != nil || len(again) != len(asked)-1 {
			t.Errorf("%d questions after the answer, %d before (%v)", len(again), len(asked), err)
		}
		if yes {
			falseAlarms(b, line.ID, 0)
			if report["tested at this visit"] != "2 of 3, 66.7 %" { // it was not on the round
				t.Errorf("answered with yes: %q", report["tested at this visit"])
			}
		} else {
			falseAlarms(b, line.ID, 1)
			if report["tested at this visit"] != "2 of 3, 66.7 %" {
				t.Errorf("answered with no: %q", report["tested at this visit"])
			}
		}
	}
}

// attend writes that a visit begins or ends as an older log may hold it.
func attend(t *testing.T, a *app.App, site sootline.ID, at time.Time, body sootline.Body) {
	t.Helper()
	station := a.Book.Station(a.Who.Station)
	e := sootline.Entry{ID: sootline.NewID(at, a.Random()), Site: site, At: sootline.Instant(at), Noted: sootline.Instant(at), By: a.Who.Name, Station: station, Body: body}
	err := a.Book.Write(t.Context(), func(tx *store.Tx) error {
		return tx.Append(site, station, func(w *store.Writer) error { return w.Add(e) })
	})
	if err != nil {
		t.Fatal(err)
	}
}
