package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/listing"
)

// fact is one thing that a row says, as it was understood.
type fact struct{ name, text string }

// saidRow is what a row of a listing says; a wide one says something several times.
type saidRow []fact

// What rows say.
const (
	factPoint    = "point"
	factDay      = "day"
	factValue    = "value"
	factWhat     = "what"
	factType     = "type"
	factPlace    = "place"
	factZone     = "zone"
	factSerial   = "serial"
	factWanted   = "shall be"
	factFitted   = "fitted"
	factBand     = "band"
	factPerson   = "by"
	factRemark   = "remark"
	factNumber   = "found at"
	factTrouble  = "cannot be used"
	factCurrents = "currents"
)

// tells reports whether a column of that field may give one of the facts.
func tells(field listing.Field, facts []string) bool {
	gives := map[string][]listing.Field{
		factPoint: {listing.Point, listing.Panel, listing.Loop, listing.Address}, factDay: {listing.Date, listing.Time, listing.Day, listing.Month, listing.Year},
		factValue: {listing.Value, listing.Unit}, factWhat: {listing.What, listing.Result}, factType: {listing.Type}, factPlace: {listing.Location},
		factZone: {listing.Zone}, factSerial: {listing.Serial}, factWanted: {listing.Wanted}, factFitted: {listing.Fitted},
		factNumber: {listing.Found}, factPerson: {listing.By}, factRemark: {listing.Remark, listing.Text}, factBand: {listing.Low, listing.High, listing.Alarm},
	}
	return slices.ContainsFunc(facts, func(name string) bool { return slices.Contains(gives[name], field) })
}

// saidOf puts a row into words, fact by fact.
func saidOf(record listing.Record, fault *listing.RowError) saidRow {
	var row saidRow
	say := func(name, text string) {
		if text != "" {
			row = append(row, fact{name, strings.Clone(text)})
		}
	}
	switch {
	case fault != nil:
		say(factTrouble, fault.Trouble())
	case record.Reading != nil:
		r := record.Reading
		say(factPoint, refText(r.Ref))
		say(factDay, dayText(r.When))
		say(factValue, strings.TrimSpace(strings.Trim(fmt.Sprint(r.Samples), "[]")+" "+r.Unit))
		say(factPerson, r.By)
		say(factRemark, joined(string(r.Apart), r.Remark))
	case record.Event != nil:
		r := record.Event
		say(factPoint, refText(r.Ref))
		say(factDay, dayText(r.When))
		say(factWhat, joined(string(r.What), string(r.Outcome), r.Cause))
		say(factPerson, r.By)
		say(factRemark, r.Text)
	case record.Found != nil:
		r := record.Found
		say(factPoint, refText(r.Ref))
		say(factDay, dayText(r.When))
		say(factNumber, fmt.Sprint(r.Number))
		say(factPerson, r.By)
		say(factRemark, r.Remark)
	case record.Schedule != nil:
		row = pointSaid(record.Schedule)
	case record.Type != nil:
		row = typeSaid(record.Type)
	}
	return row
}

func pointSaid(r *listing.ScheduleRow) saidRow {
	row := saidRow{{factPoint, refText(r.Ref)}, {factType, r.Type}, {factZone, r.Zone}, {factPlace, joined(r.Area, r.Floor, r.Location)}, {factSerial, r.Serial}, {factFitted, dayText(r.Fitted)}}
	if r.Wanted != 0 {
		row = append(row, fact{factWanted, fmt.Sprint(r.Wanted)})
	}
	for i := range row {
		row[i].text = strings.Clone(row[i].text)
	}
	return slices.DeleteFunc(row, func(f fact) bool { return f.text == "" })
}

func typeSaid(r *listing.TypeRow) saidRow {
	row := saidRow{{factType, strings.Clone(joined(r.Name, r.DeviceText))}}
	if r.Low.Known || r.High.Known || r.Alarm.Known {
		row = append(row, fact{factBand, strings.Clone(strings.TrimSpace(fmt.Sprintf("%s to %s %s", figureText(r.Low), figureText(r.High), r.Unit)))})
	}
	if r.Standby.Known || r.AlarmCurrent.Known {
		row = append(row, fact{factCurrents, fmt.Sprintf("%s and %s mA", figureText(r.Standby), figureText(r.AlarmCurrent))})
	}
	return row
}

func figureText(f listing.Figure) string {
	if !f.Known {
		return "?"
	}
	return fmt.Sprint(f.Value)
}

func refText(r listing.Ref) string {
	if r == (listing.Ref{}) {
		return ""
	}
	return sootline.Ref{Panel: r.Panel, Loop: cmp.Or(r.Loop, "?"), Number: r.Address}.String()
}

func dayText(c listing.Civil) string {
	if c.Year == 0 {
		return ""
	}
	text := fmt.Sprintf("%04d-%02d-%02d", c.Year, c.Month, c.Day)
	if c.HasTime {
		text += fmt.Sprintf(" %02d:%02d", c.Hour, c.Minute)
	}
	return text
}

// of gives all that a row says of one thing.
func (r saidRow) of(name string) string {
	var texts []string
	for _, f := range r {
		if f.name == name {
			texts = append(texts, f.text)
		}
	}
	return strings.Join(texts, ", ")
}

// words says what a row becomes, of the things that are named.
func (r saidRow) words(names []string) string {
	var parts []string
	for _, name := range names {
		if text := r.of(name); text != "" {
			parts = append(parts, name+" "+text)
		}
	}
	if len(parts) == 0 {
		return "nothing"
	}
	return strings.Join(parts, "; ")
}
