package shape

import (
	"math"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/app"
)

// Alarms is what the false alarms of a site come to.
type Alarms struct {
	Site       string          `json:"site"`
	On         string          `json:"on"`
	Code       string          `json:"code"`
	Edition    string          `json:"edition"`
	Year       AlarmRate       `json:"year"`
	YearBefore AlarmRate       `json:"year_before"`
	Fires      int             `json:"fires"`
	Attended   int             `json:"attended"`
	Categories []AlarmCategory `json:"categories"`
	Answers    []AlarmAnswer   `json:"answers"`
	Points     []AlarmRepeat   `json:"points"`
	Areas      []AlarmRepeat   `json:"areas"`
	Causes     []AlarmRepeat   `json:"causes"`
	Hours      []AlarmRepeat   `json:"hours"`
	Weekdays   []AlarmRepeat   `json:"weekdays"`
	Outside    []AlarmOutside  `json:"outside"`
	Effects    []Effect        `json:"effects"`
	Months     []AlarmMonth    `json:"months"`
	Advice     []AlarmAdvice   `json:"advice"`
	Notes      []string        `json:"notes"`
	Alarms     []Alarm         `json:"alarms"`
}

// AlarmRate is how often incidents were.
type AlarmRate struct {
	From          string   `json:"from"`
	To            string   `json:"to"`
	Covered       *float64 `json:"covered"`
	Alarms        int      `json:"alarms"`
	Incidents     int      `json:"incidents"`
	Detectors     *float64 `json:"detectors"`
	DetectorYears *float64 `json:"detector_years"`
	Per100        *float64 `json:"per_100"`
	Low           *float64 `json:"low"`
	High          *float64 `json:"high"`
}

// AlarmCategory is how many false alarms were of a category.
type AlarmCategory struct {
	Category  string `json:"category"`
	Alarms    int    `json:"alarms"`
	Incidents int    `json:"incidents"`
}

// AlarmAnswer is whether a limit is passed.
type AlarmAnswer struct {
	Level  string   `json:"level"`
	Limit  string   `json:"limit"`
	State  string   `json:"state"`
	Count  int      `json:"count"`
	Reason string   `json:"reason"`
	Chance *string  `json:"chance"`
	Why    string   `json:"why,omitempty"`
	Points []string `json:"points"`
	Clause string   `json:"clause,omitempty"`
	Source string   `json:"source"`
	Basis  string   `json:"basis"`
}

// AlarmRepeat is what incidents come from again and again.
type AlarmRepeat struct {
	Name      string   `json:"name"`
	Alarms    int      `json:"alarms"`
	Incidents int      `json:"incidents"`
	Expected  *float64 `json:"expected"`
	P         *float64 `json:"p"`
	More      bool     `json:"more_than_chance"`
}

// AlarmOutside is an alarm of a device outside its band.
type AlarmOutside struct {
	Point   string `json:"point"`
	At      string `json:"at"`
	Verdict string `json:"verdict"`
	Value   string `json:"value"`
}

// Effect is whether what was done helped.
type Effect struct {
	What            string   `json:"what"`
	On              string   `json:"on"`
	State           string   `json:"state"`
	IncidentsBefore int      `json:"incidents_before"`
	YearsBefore     *float64 `json:"detector_years_before"`
	IncidentsSince  int      `json:"incidents_since"`
	YearsSince      *float64 `json:"detector_years_since"`
	Ratio           *float64 `json:"ratio"`
	RatioLow        *float64 `json:"ratio_low"`
	RatioHigh       *float64 `json:"ratio_high"`
	P               *float64 `json:"p"`
	Reason          string   `json:"reason"`
	Entries         []string `json:"entries"`
}

// AlarmMonth is a month and the year to its end.
type AlarmMonth struct {
	Month      string         `json:"month"`
	Incidents  map[string]int `json:"incidents"`
	YearPer100 *float64       `json:"year_per_100"`
	YearLow    *float64       `json:"year_low"`
	YearHigh   *float64       `json:"year_high"`
}

// AlarmAdvice is something to try next.
type AlarmAdvice struct {
	Text    string `json:"text"`
	Do      string `json:"do,omitempty"`
	Because string `json:"because"`
}

// Alarm is one false alarm.
type Alarm struct {
	At       string `json:"at"`
	Day      bool   `json:"day,omitempty"` // only the day is known
	Point    string `json:"point,omitempty"`
	Area     string `json:"area,omitempty"`
	Category string `json:"category"`
	Told     string `json:"told,omitempty"`
	Cause    string `json:"cause,omitempty"`
	Text     string `json:"text,omitempty"`
	Attended bool   `json:"attended,omitempty"`
	Incident int    `json:"incident"`
	Entry    string `json:"entry"`
}

// OfAlarms gives the shape of a report.
func OfAlarms(r *app.AlarmReport) Alarms {
	shape := Alarms{
		Site: r.Register.Site.Name, On: instant(r.On), Code: r.Code.Name, Edition: r.Code.Edition,
		Year: shapeRate(&r.Year), YearBefore: shapeRate(&r.YearBefore), Fires: r.Fires, Attended: r.Attended,
		Points: shapeRepeats(r.Points), Areas: shapeRepeats(r.Areas), Causes: shapeRepeats(r.Causes),
		Hours: shapeRepeats(r.Hours), Weekdays: shapeRepeats(r.Weekdays),
		Answers: []AlarmAnswer{}, Outside: []AlarmOutside{}, Effects: []Effect{}, Advice: []AlarmAdvice{},
		Notes: append([]string{}, r.Notes...), Alarms: shapeAlarms(r),
	}
	for _, c := range r.ByCategory {
		shape.Categories = append(shape.Categories, AlarmCategory{string(c.Category), c.Alarms, c.Incidents})
	}
	for i := range r.Answers {
		shape.Answers = append(shape.Answers, shapeAnswer(&r.Answers[i]))
	}
	for _, d := range r.Drift.List {
		shape.Outside = append(shape.Outside, AlarmOutside{d.Point.Ref().String(), instant(d.At), d.Verdict, d.Words})
	}
	for i := range r.Effects {
		shape.Effects = append(shape.Effects, OfEffect(&r.Effects[i]))
	}
	for i := range r.Months {
		shape.Months = append(shape.Months, shapeMonth(&r.Months[i]))
	}
	for _, a := range r.Advice {
		shape.Advice = append(shape.Advice, AlarmAdvice{a.Text, string(a.Use), a.Because})
	}
	return shape
}

func shapeRate(r *app.AlarmRate) AlarmRate {
	shape := AlarmRate{
		From: instant(r.From), To: instant(r.To), Covered: sane(r.Covered), Alarms: r.Alarms, Incidents: r.Incidents,
		Detectors: sane(r.Detectors), DetectorYears: sane(r.DetectorYears),
	}
	if r.Known() {
		shape.Per100, shape.Low, shape.High = sane(r.Per100), sane(r.Low), sane(r.High)
	}
	return shape
}

// sane gives a rounded number, or nil for one that JSON cannot hold.
func sane(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return rounded(&x)
}

func shapeAnswer(a *app.AlarmAnswer) AlarmAnswer {
	shape := AlarmAnswer{
		Level: a.Level, Limit: a.Limit(), State: string(a.State), Count: a.Count, Reason: a.Reason, Why: a.Why,
		Points: Refs(a.Points), Clause: a.Clause, Source: a.Source, Basis: string(a.Basis),
	}
	if a.Chance != "" {
		chance := string(a.Chance)
		shape.Chance = &chance
	}
	return shape
}

func shapeRepeats(list []app.AlarmRepeat) []AlarmRepeat {
	shapes := []AlarmRepeat{}
	for i := range list {
		x := &list[i]
		shape := AlarmRepeat{Name: x.Name, Alarms: x.Alarms, Incidents: x.Incidents, More: x.More()}
		if x.Expected > 0 {
			shape.Expected, shape.P = sane(x.Expected), sane(x.P)
		}
		shapes = append(shapes, shape)
	}
	return shapes
}

// OfEffect gives the shape of one comparison.
func OfEffect(e *app.AlarmEffect) Effect {
	shape := Effect{
		What: e.What, On: e.On.UTC().Format(time.DateOnly), State: string(e.State),
		IncidentsBefore: e.Before.Incidents, YearsBefore: sane(e.Before.Exposure),
		IncidentsSince: e.After.Incidents, YearsSince: sane(e.After.Exposure), Reason: e.Reason, Entries: ids(e.Entries),
	}
	if e.Known() {
		shape.Ratio, shape.RatioLow, shape.RatioHigh, shape.P = sane(e.Ratio.Value), sane(e.Ratio.Low), sane(e.Ratio.High), sane(e.Ratio.P)
	}
	return shape
}

func shapeMonth(m *app.AlarmMonth) AlarmMonth {
	shape := AlarmMonth{Month: m.From.Format("2006-01"), Incidents: map[string]int{}}
	for category, n := range m.By {
		shape.Incidents[string(category)] = n
	}
	if m.Year.Known() {
		shape.YearPer100, shape.YearLow, shape.YearHigh = sane(m.Year.Per100), sane(m.Year.Low), sane(m.Year.High)
	}
	return shape
}

func shapeAlarms(r *app.AlarmReport) []Alarm {
	shapes := []Alarm{}
	for i, in := range r.Incidents {
		for j := range in.Alarms {
			a := &in.Alarms[j]
			shapes = append(shapes, Alarm{
				At: instant(a.At), Day: a.Entry.Day, Point: Ref(a.Point), Area: a.Area(), Category: string(a.Category), Told: string(a.Told),
				Cause: a.Cause, Text: a.Text, Attended: a.Attended, Incident: i + 1, Entry: a.Entry.ID.String(),
			})
		}
	}
	return shapes
}

// Ref writes the reference of a point, or nothing where there is none.
func Ref(p *sootline.Point) string {
	if p == nil {
		return ""
	}
	return p.Ref().String()
}

// AlarmsHead names the columns of AlarmsRows.
func AlarmsHead() []string {
	return []string{"at", "point", "area", "category", "told", "cause", "text", "attended", "incident"}
}

// AlarmsRows gives every false alarm of the twelve
// months.
func AlarmsRows(r *app.AlarmReport) [][]string {
	var rows [][]string
	for _, a := range shapeAlarms(r) {
		at := a.At
		if day, err := time.Parse(time.RFC3339, a.At); err == nil && a.Day {
			at = r.Local(day)
		}
		rows = append(rows, []string{at, a.Point, a.Area, a.Category, a.Told, a.Cause, a.Text, strconv.FormatBool(a.Attended), strconv.Itoa(a.Incident)})
	}
	return rows
}
