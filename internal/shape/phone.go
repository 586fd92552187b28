package shape

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// Pack is all that a phone needs to walk a round without network. Times are
// milliseconds since 1970, as browsers count them.
type Pack struct {
	Visit   string                     `json:"visit"` // the id of its opening
	Site    string                     `json:"site"`
	Name    string                     `json:"name"`
	Now     int64                      `json:"now"`     // the server's clock
	Book    string                     `json:"book"`    // its era: another one may lack what it had
	KeptAt  int64                      `json:"kept_at"` // when the newest backup that is kept began; 0: none is known. What was acknowledged before is in it
	Opened  int64                      `json:"opened"`
	Station string                     `json:"station"`
	By      string                     `json:"by"`
	Round   []string                   `json:"round"`
	Points  []PackPoint                `json:"points"` // all of the site
	Does    map[string][]sootline.Kind `json:"does"`   // which kinds of entry do which work; under "" where none was written down
	Kinds   []Kind                     `json:"kinds"`  // what a phone captures
	Loops   []PackLoop                 `json:"loops"`  // of which something is measured
}

// PackLoop is a loop as a phone shows it.
type PackLoop struct {
	Ref   string `json:"ref"`
	Panel string `json:"panel"`
	Loop  string `json:"loop"`
}

// PackPoint is a point as a phone shows it.
type PackPoint struct {
	ID     string   `json:"id"`
	Ref    string   `json:"ref"`
	Number int      `json:"number"`
	Where  string   `json:"where"`
	Area   string   `json:"area"`
	Serial string   `json:"serial"` // of the unit there; empty: not known
	Type   string   `json:"type"`
	Unit   string   `json:"unit"`
	Card   string   `json:"picture,omitempty"` // its setting card, as one svg element
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
	Spread *float64 `json:"spread"` // the largest standard deviation of samples
	Value  *float64 `json:"value"`  // expected
	From   *float64 `json:"from"`   // the interval of 99 % of looks
	To     *float64 `json:"to"`
	Judged bool     `json:"judged"` // it has a resting value
	Last   []Look   `json:"last"`   // before this visit, the latest first
	Tasks  []string `json:"tasks"`
	Work   []string `json:"work"` // planned here: the keys of Pack.Does; of a point not on the round none

	Defects []PackDefect `json:"defects"` // not closed when the visit began
}

// PackDefect is a defect as a phone shows it, which folds what was done in the
// visit by itself.
type PackDefect struct {
	ID     string `json:"id"`
	State  string `json:"state"`
	Nature string `json:"nature"`
	Told   string `json:"told"` // the kind of the entry that told of it first
	Grade  string `json:"grade"`
	Cause  string `json:"cause"`
	Text   string `json:"text"`
	Needs  string `json:"needs"`
	Since  string `json:"since"`
}

// Look is an earlier reading.
type Look struct {
	Day   string  `json:"day"`
	Value float64 `json:"value"`
}

// mostLooks is how many earlier readings a phone shows.
const mostLooks = 3

// OfPack shapes what a phone takes along.
func OfPack(pack *app.VisitPack, now time.Time, station, by string) Pack {
	shape := Pack{
		Site: pack.Site.ID.String(), Name: pack.Site.Name, Now: now.UnixMilli(), Opened: pack.Visit.From().UnixMilli(),
		Station: station, By: by, Round: []string{}, Points: []PackPoint{}, Does: app.Does(), Kinds: phoneKinds(), Loops: []PackLoop{},
	}
	if pack.Visit.Opened != nil {
		shape.Visit = pack.Visit.Opened.Entry.ID.String()
	}
	tasks, work := map[sootline.ID][]string{}, map[sootline.ID][]string{}
	for _, stop := range pack.Stops {
		shape.Round = append(shape.Round, stop.Point.ID.String())
		for i := range stop.Tasks {
			t := &stop.Tasks[i]
			tasks[stop.Point.ID] = append(tasks[stop.Point.ID], taskWords(t))
		}
	}
	for turn, p := range pack.Visit.Round {
		work[p.ID] = pack.Visit.Planned(turn)
	}
	for _, l := range pack.Register.Loops() {
		shape.Loops = append(shape.Loops, PackLoop{l.LoopID.String(), l.Panel, l.Name})
	}
	for _, p := range pack.Register.Points() {
		shape.Points = append(shape.Points, packPoint(pack, p, tasks[p.ID], work[p.ID]))
	}
	return shape
}

// taskWords says what is to be done; no reason stands where the plan of then gives
// none any more.
func taskWords(t *app.Task) string {
	words := t.Work
	if t.Minutes > 0 {
		words += fmt.Sprintf(", %d min", t.Minutes)
	}
	if len(t.Whys) > 0 {
		words += ": " + strings.Join(t.Whys, "; ")
	}
	return words
}

func packPoint(pack *app.VisitPack, p *sootline.Point, tasks, work []string) PackPoint {
	point := PackPoint{
		ID: p.ID.String(), Ref: p.Ref().String(), Number: p.Number(), Area: p.Area, Serial: p.Unit.Serial, Type: p.Type,
		Last: []Look{}, Tasks: append([]string{}, tasks...), Work: append([]string{}, work...),
	}
	if card, ok := pack.Cards[p.ID]; ok {
		point.Card = app.CardSVG(&card)
	}
	var where []string
	for _, part := range []string{p.Location, p.Area, pack.Register.Floor(p)} {
		if part != "" {
			where = append(where, part)
		}
	}
	point.Where = strings.Join(where, ", ")
	if sheet := pack.Register.Sheet(p.Type); sheet != nil {
		point.Unit = sheet.Unit
	}
	if x, ok := pack.Expected[p.ID]; ok {
		point.Judged = true
		point.Low, point.High, point.Spread, point.Value, point.From, point.To = x.Low, x.High, x.Spread, x.Value, x.From, x.To
	}
	for i := len(p.Readings) - 1; i >= 0 && len(point.Last) < mostLooks; i-- {
		if reading := &p.Readings[i]; reading.Quantity == "" && reading.At.Before(pack.Visit.From()) {
			point.Last = append(point.Last, Look{reading.At.In(pack.Zone).Format(time.DateOnly), app.ValueOf(reading)})
		}
	}
	point.Defects = OfPackDefects(pack, p)
	return point
}

// OfPackDefects shapes the defects of a point that were not closed when the visit began.
func OfPackDefects(pack *app.VisitPack, p *sootline.Point) []PackDefect {
	defects := []PackDefect{}
	before := pack.Before.Point(p.ID)
	if before == nil {
		return defects
	}
	for _, d := range before.Defects {
		if d.Waits() {
			defects = append(defects, PackDefect{
				ID: d.ID.String(), State: string(d.State), Nature: string(d.Nature), Told: string(d.Seen[0].Body.Kind()), Grade: string(d.Grade),
				Cause: d.Cause, Text: d.Text, Needs: d.Needs, Since: dayText(d.Since, pack.Zone),
			})
		}
	}
	return defects
}

// VisitDone is what all stations did in the visit that is open.
type VisitDone struct {
	Visit       string           `json:"visit"` // empty: none is open any more
	Now         int64            `json:"now"`
	Book        string           `json:"book"`    // its era, as in the pack
	Mark        string           `json:"mark"`    // how far the log has come: asked with it, the answer waits for what is new
	KeptAt      int64            `json:"kept_at"` // as in the pack
	Done        []VisitEntry     `json:"done"`
	Differences []PackDifference `json:"differences"`
	Off         []string         `json:"off"`
	Unlike      []PackUnlike     `json:"unlike"` // what a panel said that the register has otherwise, the last first
}

// VisitEntry is one entry of the visit.
type VisitEntry struct {
	ID        string        `json:"id"`
	At        int64         `json:"at"`
	Day       bool          `json:"day,omitempty"` // only the day is known
	Point     string        `json:"point"`
	Kind      string        `json:"kind"`
	Body      sootline.Body `json:"body"`
	Says      string        `json:"says"` // in words
	By        string        `json:"by"`
	Station   string        `json:"station"`
	Withdrawn bool          `json:"withdrawn,omitempty"`
}

// PackDifference names two entries that say different things of one point.
type PackDifference struct {
	Point   string    `json:"point"`
	What    string    `json:"what"`
	Entries [2]string `json:"entries"`
}

// PackUnlike is what a panel said of a point that the register has otherwise.
type PackUnlike struct {
	Point string `json:"point"`
	Ref   string `json:"ref"`
	Says  string `json:"says"`
}

// OfDone shapes what was done.
func OfDone(done *app.VisitDone, now time.Time) VisitDone {
	shape := VisitDone{Now: now.UnixMilli(), Done: []VisitEntry{}, Differences: []PackDifference{}, Off: []string{}, Unlike: []PackUnlike{}}
	if done.Visit != nil && done.Visit.Opened != nil {
		shape.Visit = done.Visit.Opened.Entry.ID.String()
	}
	for _, d := range done.Done {
		shape.Done = append(shape.Done, VisitEntry{
			ID: d.ID.String(), At: d.At.UnixMilli(), Day: d.Day, Point: d.Point.String(), Kind: string(d.Body.Kind()), Body: d.Body, Says: sootline.Say(d.Body), By: d.By, Station: d.Station, Withdrawn: d.Withdrawn,
		})
	}
	for _, d := range done.Differences {
		shape.Differences = append(shape.Differences, PackDifference{d.Point.ID.String(), d.What, [2]string{d.Says[0].ID.String(), d.Says[1].ID.String()}})
	}
	for _, o := range done.Off {
		shape.Off = append(shape.Off, o.String())
	}
	for _, u := range slices.Backward(done.Unlike) {
		shape.Unlike = append(shape.Unlike, PackUnlike{u.Point.ID.String(), u.Point.Ref().String(), u.Why})
	}
	return shape
}

// HandedIn answers them: every entry is in one of the two lists.
type HandedIn struct {
	Now     int64     `json:"now"`     // after they were kept
	KeptAt  int64     `json:"kept_at"` // as in the pack
	Kept    []string  `json:"kept"`
	Refused []Refused `json:"refused"`
}

// Refused is an entry that the log does not take. It is told by its id; where that
// could not be read, by its place in the list that was handed in, from 1.
type Refused struct {
	ID    string `json:"id"`
	Place int    `json:"place,omitempty"`
	Why   string `json:"why"`
}

// OfHandedIn shapes the answer.
func OfHandedIn(handed app.HandedIn, before []Refused, now time.Time) HandedIn {
	shape := HandedIn{Now: now.UnixMilli(), Kept: ids(handed.Kept), Refused: append([]Refused{}, before...)}
	for _, r := range handed.Refused {
		shape.Refused = append(shape.Refused, Refused{ID: r.ID.String(), Why: r.Why})
	}
	return shape
}
