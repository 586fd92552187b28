package shape

import (
	"time"

	"sootline/internal/app"
)

// Source is a source that is listened to, and what became of what was heard last.
type Source struct {
	Name          string          `json:"name"`
	Panel         string          `json:"panel,omitempty"`
	Via           string          `json:"via,omitempty"` // by what it is heard; empty: it is not kept with the site
	Address       string          `json:"address,omitempty"`
	Speed         int             `json:"speed,omitempty"`
	State         string          `json:"state"`
	Said          string          `json:"said,omitempty"`       // what was told of the connection last
	Last          *time.Time      `json:"last_heard,omitempty"` // in the site's clock; nil: nothing was heard yet
	Taught        bool            `json:"taught"`
	Lines         int             `json:"lines"`            // heard last
	Values        int             `json:"values,omitempty"` // heard last, of a source of values
	Read          int             `json:"read"`             // of them, records that are read
	NotUnderstood []NotUnderstood `json:"not_understood"`
	NotKept       int64           `json:"not_kept,omitempty"` // bytes that came too fast
}

// GivesValues reports whether it gives values, which nobody teaches.
func (s *Source) GivesValues() bool { return app.GivesValues(s.Via) }

// NotUnderstood is why lines were kept as heard, how many, and the last of them.
type NotUnderstood struct {
	Why   string `json:"why"`
	Do    string `json:"do"` // what somebody can do about it
	Lines int    `json:"lines"`
	Last  string `json:"last"`
}

// OfSources tells of sources in a site's clock.
func OfSources(found []app.SourceStatus, zone *time.Location) []Source {
	all := make([]Source, 0, len(found))
	for i := range found {
		f := &found[i]
		one := Source{
			Name: f.Name, Panel: f.Panel, Via: f.Via, Address: f.Address, Speed: f.Speed, State: string(f.State), Said: f.Said,
			Taught: f.Style != "", Lines: f.Lines, Values: f.Values, Read: f.Read, NotUnderstood: []NotUnderstood{}, NotKept: f.Turned,
		}
		if !f.Last.IsZero() {
			at := f.Last.In(zone)
			one.Last = &at
		}
		for _, n := range f.Unread {
			one.NotUnderstood = append(one.NotUnderstood, NotUnderstood{string(n.Why), n.Why.Do(), n.Lines, n.Last})
		}
		all = append(all, one)
	}
	return all
}

// Sources are the sources of a site.
type Sources struct {
	Sources []Source `json:"sources"`
}

// HeardLines are lines as they were heard.
type HeardLines struct {
	From  int64       `json:"from"` // where they begin in all that was heard; a lesson is given it
	Lines []HeardLine `json:"lines"`
}

// HeardLine is a line with its number.
type HeardLine struct {
	Number int    `json:"number"`
	Text   string `json:"text"`
}

// OfHeardLines gives the last lines of what was heard.
func OfHeardLines(h *app.HeardOf, most int) HeardLines {
	all := HeardLines{From: h.From, Lines: []HeardLine{}}
	for _, l := range h.LinesOf(most) {
		all.Lines = append(all.Lines, HeardLine(l))
	}
	return all
}

// Lesson is what comes of a lesson.
type Lesson struct {
	Kept   bool         `json:"kept"`
	Read   int          `json:"read"`   // records
	Unread int          `json:"unread"` // lines that are not understood
	Asks   []AskedWord  `json:"asks"`   // words that nobody explained
	Lines  []LessonLine `json:"lines"`
}

// AskedWord is a word that nobody explained.
type AskedWord struct {
	Word  string `json:"word"`
	Count int    `json:"count"`
	Line  string `json:"line"` // one in which it stands
}

// LessonLine is a line with what it says.
type LessonLine struct {
	Text string `json:"text"`
	Read bool   `json:"read"`
	Says string `json:"says"`
}

// lessonLines is how many lines are shown of a lesson.
const lessonLines = 200

// OfLesson tells what came of a lesson.
func OfLesson(t *app.Taught, kept bool) Lesson {
	l := Lesson{Kept: kept, Asks: []AskedWord{}, Lines: []LessonLine{}}
	l.Read, l.Unread = t.Counts()
	for _, q := range t.Asks {
		l.Asks = append(l.Asks, AskedWord(q))
	}
	for i := range t.Lines {
		if line := &t.Lines[i]; line.Shown != "" {
			l.Lines = append(l.Lines, LessonLine{line.Shown, line.Read != nil, app.ReadAs(line)})
		}
	}
	l.Lines = l.Lines[max(0, len(l.Lines)-lessonLines):]
	return l
}
