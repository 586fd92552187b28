package app

import (
	"fmt"
	"time"

	"sootline"
	"sootline/internal/count"
	"sootline/internal/judge"
	"sootline/internal/visit"
)

// AskAlarmTest is the kind of the question whether an alarm during a visit was a
// test.
const AskAlarmTest judge.QuestionKind = "alarm during a visit"

// SignalsOf sorts the fire signals of a register, with what was answered of them:
// for due dates, counts of false alarms, visits and papers alike.
func SignalsOf(r *sootline.Register, zone *time.Location) *count.Signals {
	signals := count.SignalsOf(r, zone, nil)
	not := map[sootline.ID]bool{} // no tests
	for _, q := range alarmQuestions(signals, zone) {
		if r.Answered(q.Key()) {
			not[q.Entries[0]] = true
		}
	}
	if len(not) > 0 {
		return count.SignalsOf(r, zone, not)
	}
	return signals
}

// RaisedOf gives the alarms that were raised while somebody was on site.
func RaisedOf(signals *count.Signals) visit.Raised {
	raised := visit.Raised{Tests: signals.Walks(), Asked: map[sootline.ID]string{}}
	for i := range signals.All {
		if s := &signals.All[i]; s.Asked {
			raised.Asked[s.Entry.ID] = s.Why
		}
	}
	return raised
}

// alarmQuestions asks of each alarm during a visit that is not certain whether it
// was a test. A yes says so in a correction; a no leaves it an alarm like others.
func alarmQuestions(signals *count.Signals, zone *time.Location) []judge.Question {
	var all []judge.Question
	for i := range signals.All {
		if s := &signals.All[i]; s.Asked && s.Point != nil {
			all = append(all, alarmQuestion(s.Point, s.Entry, s.Why, zone))
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
	return append(Open(r, readings), Open(r, alarmQuestions(count.SignalsOf(r, zone, nil), zone))...)
}
