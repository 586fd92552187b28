package sootline_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"sootline"
)

// A rule that was never given holds its default, and an entry without losses is written as it always was.
func TestLossesOfASite(t *testing.T) {
	at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	site := sootline.DerivedID(at, []byte("site"))
	opened := func(n byte, rules sootline.Rules) sootline.Entry {
		when := at.Add(time.Duration(n) * time.Hour)
		return sootline.Entry{ID: sootline.DerivedID(when, []byte{n}), Site: site, At: when, Noted: when, Body: sootline.Opened{Rules: rules}}
	}
	old := opened(1, sootline.Rules{VisitMonths: 3})
	line, err := sootline.AppendSaid(nil, &old)
	if err != nil || strings.Contains(string(line), "losses") {
		t.Errorf("%s, %v", line, err)
	}
	entries := []sootline.Entry{old}
	usual := sootline.Losses{Missed: 1, Look: 1, Clean: 0.65, Trip: 2, Replace: 3}
	if got := sootline.Fold(entries, at.AddDate(0, 1, 0)).Site.Rules.Losses; got != usual {
		t.Errorf("%+v", got)
	}
	entries = append(entries, opened(2, sootline.Rules{Losses: sootline.Losses{Trip: 6}}), opened(3, sootline.Rules{Losses: sootline.Losses{Clean: 0.2}}))
	want := usual
	want.Trip, want.Clean = 6, 0.2
	if got := sootline.Fold(entries, at.AddDate(0, 1, 0)).Site.Rules; got.Losses != want || got.VisitMonths != 3 {
		t.Errorf("%+v", got)
	}
}

// By hand: 2 for nothing against 1 missed is 2 of 3.
func TestLossesFrom(t *testing.T) {
	l := sootline.Losses{Missed: 1}
	if got := l.From(2); math.Abs(got-2.0/3) > 1e-15 {
		t.Error(got)
	}
	if l.Missed = 4; l.From(2) >= 0.5 {
		t.Error("what costs more to miss is done from a lower chance")
	}
}

func TestLossesThatAreNone(t *testing.T) {
	for _, bad := range []sootline.Losses{{Missed: -1}, {Clean: math.NaN()}, {Replace: math.Inf(1)}, {Trip: 1001}} {
		at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
		id := sootline.DerivedID(at, []byte("bad"))
		e := sootline.Entry{ID: id, Site: id, At: at, Noted: at, Body: sootline.Opened{Rules: sootline.Rules{Losses: bad}}}
		if err := e.Check(); sootline.ErrorCode(err) != sootline.Invalid || !strings.Contains(err.Error(), "from 0 to 1000") {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}
