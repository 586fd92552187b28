package app

import (
	"fmt"
	"slices"
	"time"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/nuisance"
	"sootline/internal/visit"
)

// AskAlarmTest is the kind of the question whether an alarm during a visit was a
// test.
const AskAlarmTest judge.QuestionKind = "alarm during a visit"

// RaisedOf sorts the alarms that were raised while somebody was on site: for due
// dates, counts of false alarms, visits and papers alike.
func RaisedOf(r *sootline.Register, zone *time.Location) visit.Raised {
	sorted := visit.Raise(r, zone, nuisance.TellByWords)
	for _, q := range alarmQuestions(r, sorted, zone) {
		if r.Answered(questionKey(q)) {
			delete(sorted.Asked, q.Entries[0]) // it was no test
		}
	}
	return sorted
}

// alarmRecord reads the alarms of a register.
func alarmRecord(r *sootline.Register, on time.Time, zone *time.Location) *nuisance.Record {
	sorted := RaisedOf(r, zone)
	return nuisance.Read(r, on, zone, nuisance.Raised{Tests: sorted.Tests, Asked: sorted.Asked})
}

// alarmQuestions asks of each alarm during a visit that is not certain whether it
// was a test. A yes says so in a correction; a no leaves it an alarm like others.
func alarmQuestions(r *sootline.Register, sorted visit.Raised, zone *time.Location) []judge.Question {
	var all []judge.Question
	for _, p := range slices.Concat(r.Points(), r.Former()) {
		for i := range p.Events {
			e := p.Events[i].Entry
			if why := sorted.Asked[e.ID]; why != "" {
				all = append(all, alarmQuestion(p, e, why, zone))
			}
		}
	}
	return all
}

func alarmQuestion(p *sootline.Point, e *sootline.Entry, why string, zone *time.Location) judge.Question {
	at := e.When(zone, "2006-01-02 15:04")
	body, _ := e.Body.(sootline.Alarm)
	body.Category = sootline.TestAlarm
	return judge.Question{
		Kind: AskAlarmTest, Points: []*sootline.Point{p}, From: e.At, To: e.At, Entries: []sootline.ID{e.ID},
		Evidence: []string{
			fmt.Sprintf("%s gave an alarm on %s, during a visit; %s.", p.Ref(), at, why),
			fmt.Sprintf("Was the alarm of %s on %s a test?", p.Ref(), at),
		},
		Say: []judge.Said{{Point: p, At: e.At, Body: sootline.Corrected{Entry: e.ID, Why: "it was a test", At: e.At, Day: e.Day, Point: p.ID, Body: body}}},
	}
}

// openQuestions lists the questions of a site that nobody answered: those that
// the readings raise, and of alarms during visits.
func openQuestions(r *sootline.Register, readings []judge.Question, zone *time.Location) []Asked {
	return append(Open(r, readings), Open(r, alarmQuestions(r, RaisedOf(r, zone), zone))...)
}
