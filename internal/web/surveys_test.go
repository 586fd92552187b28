package web

import (
	"context"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// Surveys are held by what they take, not by how many they are; the one used
// longest ago goes first, and the one in hand stays however large it is.
func TestSurveysAreHeldByBytes(t *testing.T) {
	made := 0
	s := surveys{
		make: func(context.Context, store.SiteLine) (*app.Survey, error) { made++; return &app.Survey{}, nil },
		now:  func() (at time.Time) { return today.Add(time.Duration(made) * time.Second) }, most: 1000 * surveyBytes,
	}
	look := func(name string, entries int) {
		t.Helper()
		if _, _, err := s.of(t.Context(), store.SiteLine{ID: sootline.DerivedID(today, []byte(name)), Entries: entries}); err != nil {
			t.Fatal(err)
		}
	}
	look("a", 400)
	look("b", 400)
	look("a", 400)
	if made != 2 {
		t.Errorf("%d made, want the two kept", made)
	}
	look("c", 400)
	look("a", 400)
	if made != 3 || s.len() != 2 {
		t.Errorf("%d made and %d kept: b was used longest ago", made, s.len())
	}
	look("huge", 5000)
	look("huge", 5000)
	if made != 4 || s.len() != 1 {
		t.Errorf("%d made and %d kept: what is in hand stays", made, s.len())
	}
}

// Many who look while others write wait for a few surveys, not each for one of
// their own: one that was made of more than they saw is as good.
func TestSurveyOfMoreIsGoodForLess(t *testing.T) {
	log := sootline.NewLog(make([]sootline.Entry, 12))
	made := 0
	s := surveys{
		make: func(context.Context, store.SiteLine) (*app.Survey, error) {
			made++
			return app.SurveyOf(log.Fold(today), log, today, time.UTC, today), nil
		},
		now: func() time.Time { return today }, most: 1000 * surveyBytes,
	}
	for _, entries := range []int{10, 12, 11, 10, 12, 13} {
		if _, _, err := s.of(t.Context(), store.SiteLine{Entries: entries}); err != nil {
			t.Fatal(err)
		}
	}
	if made != 2 {
		t.Errorf("%d made, want one for those who saw 10 to 12 entries and one for who saw 13", made)
	}
}
