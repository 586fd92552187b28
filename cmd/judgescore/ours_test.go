package main

import (
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	engine "sootline/internal/judge"
	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/harbour"
)

// Whatever the judge may say has a word in the worlds.
func TestEveryWordIsTranslated(t *testing.T) {
	for _, action := range engine.Actions() {
		if word := actionOf(action); !slices.Contains(levels.Actions(), word) {
			t.Errorf("action %q is scored as %q, which no world wants", action, word)
		}
	}
	for _, kind := range []engine.QuestionKind{
		engine.AskCleaned, engine.AskOtherDevice, engine.AskChangedPlaces, engine.AskNeverMoves,
		engine.AskNeighbour, engine.AskTransposed, engine.AskFactorTen, engine.AskSlip, engine.AskWorks, engine.AskUnsteady, engine.AskRescaled, engine.AskInstrument, engine.AskHalfCleaned,
	} {
		if word := kindOf(kind); !slices.Contains(levels.Kinds(), word) {
			t.Errorf("question %q is scored as %q, which cannot happen", kind, word)
		}
	}
	if word := kindOf("struck by lightning"); slices.Contains(levels.Kinds(), word) {
		t.Errorf("an unknown question is scored as %q", word)
	}
}

// A judgement's chance, days and action arrive as they are.
func TestAnswerOfAJudgement(t *testing.T) {
	chance, day := 0.4, time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC)
	later := day.AddDate(1, 0, 0)
	point := &sootline.Point{ID: sootline.ID{7}}
	a := answerOf(&engine.Judgement{
		Point: point, Verdict: engine.Inside, ChanceOutside: &chance, LeavesEarliest: &day, LeavesLatest: &later, Action: engine.CleanAtVisit,
	})
	if a.Point != point.ID || a.Chance != chance || !a.Outside || !a.Earliest.Equal(day) || !a.Likely.IsZero() || !a.Latest.Equal(later) || a.Action != levels.Clean {
		t.Errorf("%+v", a)
	}
	a = answerOf(&engine.Judgement{Point: point, Verdict: engine.Inside, Action: engine.Read})
	if a.Chance == a.Chance || a.Outside || !a.Earliest.IsZero() || a.Action != levels.LookAgain {
		t.Errorf("without a chance: %+v", a)
	}
	q := questionOf(&engine.Question{Kind: engine.AskChangedPlaces, Points: []*sootline.Point{point, {ID: sootline.ID{8}}}, From: day, To: later})
	if q.Kind != levels.Swapped || !slices.Equal(q.With, []sootline.ID{{8}}) || !q.Day.After(day) || !q.Day.Before(later) {
		t.Errorf("%+v", q)
	}
	if q := questionOf(&engine.Question{Kind: engine.AskNeverMoves, Points: []*sootline.Point{point}, From: day, To: later}); !q.Day.Equal(later) {
		t.Errorf("what lasts is asked about on %s", q.Day)
	}
}

// On the site that it was written for, the judge answers about each point once, and asks.
func TestOursAnswersOnceAPoint(t *testing.T) {
	site := harbour.World{}.Make(51, "harbour")
	answers := ours(site.Entries, site.Now, site.NextVisit)
	asked := 0
	for _, a := range answers {
		asked += len(a.Questions)
		for _, q := range a.Questions {
			if strings.HasPrefix(q.Kind, "unknown") {
				t.Errorf("asked: %s", q.Kind)
			}
		}
	}
	r := levels.Score(&site, answers)
	if r.Missing > 0 || r.Strange > 0 || asked == 0 {
		t.Errorf("%d points without an answer, %d strange answers, %d questions", r.Missing, r.Strange, asked)
	}
}
