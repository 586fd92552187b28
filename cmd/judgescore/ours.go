package main

import (
	"context"
	"slices"
	"time"

	"sootline"
	engine "sootline/internal/judge"
	"sootline/internal/worlds/levels"
)

// ours answers as the tool's own judge does: all of its words that are scored pass through here.
func ours(entries []sootline.Entry, now, next time.Time) []levels.Answer {
	assessment, err := engine.AssessUntil(context.Background(), sootline.Fold(entries, now), now, next)
	if err != nil {
		panic(err) // a context without an end ended
	}
	asked := questionsOf(&assessment)
	var all []levels.Answer
	for i := range assessment.Judgements {
		a := answerOf(&assessment.Judgements[i])
		a.Questions = asked[a.Point]
		delete(asked, a.Point)
		all = append(all, a)
	}
	for point, questions := range asked { // asked about a point that is not judged
		all = append(all, levels.Answer{Point: point, Chance: levels.Unstated(), Action: levels.Leave, Questions: questions})
	}
	return all
}

// answerOf translates a judgement.
func answerOf(j *engine.Judgement) levels.Answer {
	a := levels.Answer{Point: j.Point.ID, Chance: levels.Unstated(), Action: actionOf(j.Action)}
	if j.ChanceOutside != nil || j.Verdict == engine.Above || j.Verdict == engine.Below {
		a.Chance = j.Risk()
	}
	a.Outside = a.Chance >= engine.TooLikely // never so where none is stated
	a.Earliest, a.Likely, a.Latest = instantOf(j.LeavesEarliest), instantOf(j.LeavesLikely), instantOf(j.LeavesLatest)
	return a
}

func instantOf(at *time.Time) time.Time {
	if at == nil {
		return time.Time{}
	}
	return *at
}

// actionOf translates an action. One that is not known here would be scored as none of the worlds': no test
// lets that pass.
func actionOf(a engine.Action) string {
	switch a {
	case engine.Read:
		return levels.LookAgain
	case engine.CleanAtVisit:
		return levels.Clean
	}
	return string(a)
}

// questionsOf sorts the questions by point. One about several points stands at the first of them.
func questionsOf(a *engine.Assessment) map[sootline.ID][]levels.Question {
	asked := map[sootline.ID][]levels.Question{}
	for _, q := range a.Questions {
		point := q.Points[0].ID
		asked[point] = append(asked[point], questionOf(&q))
	}
	return asked
}

// questionOf translates a question. What lasts is asked about as of its last visit, all else between the two
// visits that bound it.
func questionOf(q *engine.Question) levels.Question {
	out := levels.Question{Kind: kindOf(q.Kind), Day: q.From.Add(q.To.Sub(q.From) / 2)}
	if out.Kind == levels.Stuck || out.Kind == levels.Noisy || out.Kind == levels.CompensationUsed {
		out.Day = q.To
	}
	for _, p := range q.Points[1:] {
		out.With = append(out.With, p.ID)
	}
	return out
}

// kindOf translates what is asked about. Words that the worlds share with the judge stay; any other counts as
// a question about what cannot happen, and so as wrong.
func kindOf(kind engine.QuestionKind) string {
	switch kind {
	case engine.AskOtherDevice, engine.AskChangedPlaces:
		return levels.Swapped
	case engine.AskNeverMoves:
		return levels.Stuck
	case engine.AskInstrument:
		return levels.InstrumentOffset
	case engine.AskNeighbour:
		return levels.Neighbour
	case engine.AskTransposed, engine.AskFactorTen:
		return levels.Slip
	}
	if word := string(kind); slices.Contains(levels.Kinds(), word) {
		return word
	}
	return "unknown: " + string(kind)
}
