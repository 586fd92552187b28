package shape

import (
	"encoding/json"
	"time"

	"sootline"
	"sootline/internal/app"
)

// Entry is an entry of the log book. Its body is that of its kind, as
// docs/formats/log.md describes it.
type Entry struct {
	ID      string          `json:"id"`
	Site    string          `json:"site"`
	At      *string         `json:"at"`
	Day     bool            `json:"day,omitempty"`
	Noted   string          `json:"noted"`
	By      string          `json:"by"`
	Station string          `json:"station"`
	Seq     int64           `json:"seq"`
	Point   string          `json:"point,omitempty"`
	Kind    string          `json:"kind"`
	Body    json.RawMessage `json:"body"`

	Replaces []string `json:"replaces,omitempty" doc:"Ids of the entries of the same facts in whose place it puts itself"`
}

// OfEntry shapes an entry; at is null where nobody knows when.
func OfEntry(e *sootline.Entry) (Entry, error) {
	body, err := json.Marshal(e.Body)
	shape := Entry{
		ID: e.ID.String(), Site: e.Site.String(), At: instantOf(e.At), Day: e.Day, Noted: instant(e.Noted), By: e.By, Station: e.Station,
		Seq: e.Seq, Kind: string(e.Body.Kind()), Body: body,
	}
	if !e.Point.Zero() {
		shape.Point = e.Point.String()
	}
	for _, id := range e.Replaces {
		shape.Replaces = append(shape.Replaces, id.String())
	}
	return shape, err
}

// OfEntries shapes entries.
func OfEntries(entries []*sootline.Entry) ([]Entry, error) {
	shapes := make([]Entry, len(entries))
	for i, e := range entries {
		var err error
		if shapes[i], err = OfEntry(e); err != nil {
			return nil, err
		}
	}
	return shapes, nil
}

// Log is a part of a log book, the latest first.
type Log struct {
	Site    string   `json:"site"`
	Zone    string   `json:"zone"`
	Found   int      `json:"found"`
	Offset  int      `json:"offset"`
	Entries []Logged `json:"entries"`
}

// Logged is an entry beside what amends it.
type Logged struct {
	Entry
	Ref     string `json:"ref"`
	Amended *Entry `json:"amended"`
}

// OfLog shapes lines of a log.
func OfLog(r *sootline.Register, zone *time.Location, found, offset int, lines []app.LogLine) (Log, error) {
	shape := Log{Site: r.Site.Name, Zone: zone.String(), Found: found, Offset: offset, Entries: []Logged{}}
	for i := range lines {
		e, err := OfEntry(&lines[i].Entry)
		if err != nil {
			return shape, err
		}
		one := Logged{Entry: e, Ref: lines[i].Ref}
		if lines[i].Amended != nil {
			amended, err := OfEntry(lines[i].Amended)
			if err != nil {
				return shape, err
			}
			one.Amended = &amended
		}
		shape.Entries = append(shape.Entries, one)
	}
	return shape, nil
}

// Questions are the open questions of a site.
type Questions struct {
	Site      string     `json:"site"`
	Questions []Question `json:"questions"`
}

// Question is about what nobody wrote down.
type Question struct {
	Key       string   `json:"key"`
	Kind      string   `json:"kind"`
	Points    []string `json:"points"`
	IDs       []string `json:"point_ids"`
	From      string   `json:"from"`
	To        string   `json:"to"`
	Evidence  []string `json:"evidence"`
	Question  string   `json:"question"`
	CanSayYes bool     `json:"can_say_yes"`
}

// OfQuestions shapes them.
func OfQuestions(r *sootline.Register, asked []app.Asked) Questions {
	shape := Questions{Site: r.Site.Name, Questions: []Question{}}
	for _, q := range asked {
		last := len(q.Evidence) - 1
		shape.Questions = append(shape.Questions, Question{
			Key: q.Key, Kind: string(q.Kind), Points: Refs(q.Points), IDs: pointIDs(q.Points), From: instant(q.From), To: instant(q.To),
			Evidence: q.Evidence[:last], Question: q.Evidence[last], CanSayYes: len(q.Say) > 0,
		})
	}
	return shape
}
