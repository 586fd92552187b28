package shape

import (
	"time"

	"sootline"
)

// Defects are defects of a site, the open ones first.
type Defects struct {
	Site    string   `json:"site"`
	On      string   `json:"on"`
	Open    int      `json:"open"`   // of the site, whatever is listed
	Mended  int      `json:"mended"` // and wait for their retest
	Defects []Defect `json:"defects"`
	Stray   []Entry  `json:"stray"` // what was told of no defect of the site
}

// Defect is one thing that is or was wrong.
type Defect struct {
	ID       string   `json:"id"`
	Name     string   `json:"name"` // an unambiguous beginning of the id
	State    string   `json:"state"`
	Nature   string   `json:"nature"`
	Grade    string   `json:"grade"`
	Point    string   `json:"point,omitempty"`
	PointID  string   `json:"point_id,omitempty"`
	Place    string   `json:"place,omitempty"`
	Cause    string   `json:"cause,omitempty"`
	Text     string   `json:"text,omitempty"`
	Needs    string   `json:"needs,omitempty"`
	Told     string   `json:"told,omitempty"`
	Agreed   string   `json:"agreed,omitempty"`
	ByDay    string   `json:"by_day,omitempty"`
	Since    *string  `json:"since"`
	Seen     int      `json:"seen"` // how often
	MendedAt *string  `json:"mended_at"`
	ClosedAt *string  `json:"closed_at"`
	Photos   []string `json:"photos"`
	Entries  []string `json:"entries"` // that tell of it, in order
}

// DefectStory is a defect with all that was told of it.
type DefectStory struct {
	Defect
	Story []Entry `json:"story"`
}

// OfDefects shapes a list of defects of a register.
func OfDefects(r *sootline.Register, on time.Time, list []*sootline.DefectFacts) (Defects, error) {
	shape := Defects{Site: r.Site.Name, On: instant(on), Defects: []Defect{}}
	shape.Open, shape.Mended = r.CountDefects()
	for _, d := range list {
		shape.Defects = append(shape.Defects, OfDefect(d))
	}
	var err error
	shape.Stray, err = OfEntries(r.StraySteps())
	return shape, err
}

// OfDefect shapes a defect.
func OfDefect(d *sootline.DefectFacts) Defect {
	shape := Defect{
		ID: d.ID.String(), Name: d.Name, State: string(d.State), Nature: string(d.Nature), Grade: string(d.Grade), Place: d.Place,
		Cause: d.Cause, Text: d.Text, Needs: d.Needs, Told: d.Told, Agreed: d.Agreed, ByDay: d.ByDay,
		Since: instantOf(d.Since), Seen: len(d.Seen), Photos: append([]string{}, d.Photos...), Entries: []string{},
	}
	if d.Point != nil {
		shape.Point, shape.PointID = d.Point.Ref().String(), d.Point.ID.String()
	}
	if d.MendedBy != nil {
		shape.MendedAt = instantOf(d.MendedBy.At)
	}
	if d.ClosedBy != nil {
		shape.ClosedAt = instantOf(d.ClosedBy.At)
	}
	for _, e := range d.Story {
		shape.Entries = append(shape.Entries, e.ID.String())
	}
	return shape
}

// OfDefectStory shapes a defect with its story.
func OfDefectStory(d *sootline.DefectFacts) (DefectStory, error) {
	story, err := OfEntries(d.Story)
	return DefectStory{OfDefect(d), story}, err
}

// DefectsHead and DefectRow make a table of defects.
func DefectsHead() []string {
	return []string{"id", "state", "nature", "grade", "where", "cause", "text", "needs", "told", "agreed", "by day", "since", "mended", "closed"}
}

// DefectRow is the line of one defect; days are those of the register's zone.
func DefectRow(d *sootline.DefectFacts, zone *time.Location) []string {
	row := []string{d.ID.String(), string(d.State), string(d.Nature), string(d.Grade), d.Where(), d.Cause, d.Text, d.Needs, d.Told, d.Agreed, d.ByDay, dayText(d.Since, zone), "", ""}
	if d.MendedBy != nil {
		row[12] = dayText(d.MendedBy.At, zone)
	}
	if d.ClosedBy != nil {
		row[13] = dayText(d.ClosedBy.At, zone)
	}
	return row
}

func dayText(at time.Time, zone *time.Location) string {
	if !at.After(sootline.LongAgo) {
		return ""
	}
	return at.In(zone).Format(time.DateOnly)
}
