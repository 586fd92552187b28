package shape

import (
	"cmp"
	"maps"
	"time"

	"sootline"
	"sootline/internal/app"
)

// Bench is a run at the bench, with all that a phone or a page needs to go through
// it without network: it mirrors [bench.Run.Look] by these figures alone. Times are
// milliseconds since 1970, as browsers count them; 0 and empty: not known.
type Bench struct {
	ID       string          `json:"id"`
	Site     string          `json:"site"`
	SiteName string          `json:"site_name"`
	Name     string          `json:"name"`
	First    string          `json:"first"` // place or device
	Now      int64           `json:"now"`
	Opened   int64           `json:"opened"`
	Closed   int64           `json:"closed"`
	By       string          `json:"by"`      // who asks
	Station  string          `json:"station"` // what asks
	From     int             `json:"from"`
	Loop     string          `json:"loop"` // of devices without place; empty: none
	Loops    []BenchLoop     `json:"loops"`
	Types    []BenchType     `json:"types"`
	Other    BenchType       `json:"other"` // of a type that nobody described
	Places   []BenchPlace    `json:"places"`
	Box      []BenchDevice   `json:"box"`
	Serials  []BenchSerial   `json:"serials"`
	Numbers  []BenchNumber   `json:"numbers"`
	Next     []BenchNext     `json:"next"` // numbers that new places would get, with their cards
	Done     []BenchRecord   `json:"done"` // what stands, in order: devices set, places skipped, devices rejected
	Left     []BenchLeft     `json:"left"`
	Progress BenchProgress   `json:"progress"`
	Rules    app.BenchFigure `json:"rules"` // the figures of the rules by which values are judged

	OpenEnded bool   `json:"open_ended"` // devices come one after another, and each makes its place
	Phone     bool   `json:"phone"`      // whoever asks hands entries in; else each is written by the server
	Book      string `json:"book"`       // its era: another one may lack what it had
	KeptAt    int64  `json:"kept_at"`    // as in [Pack]
}

// BenchLoop is a loop of the site, with the numbers that it takes.
type BenchLoop struct {
	Name     string `json:"name"`
	Panel    string `json:"panel"`
	Loop     string `json:"loop"`
	First    int    `json:"first"`
	Last     int    `json:"last"`
	Unset    int    `json:"unset"`
	Reserved []int  `json:"reserved"`
	Separate bool   `json:"separate"`
}

// BenchType is what of a type the run needs.
type BenchType struct {
	Key     string      `json:"key"` // by which types are matched
	Name    string      `json:"name"`
	Width   int         `json:"width"`
	Most    int         `json:"most"`
	Modules bool        `json:"modules"`
	Judged  bool        `json:"judged"`
	Unit    string      `json:"unit"`
	Bands   []BenchBand `json:"bands"`
	Noise   float64     `json:"noise"`
	Spread  float64     `json:"spread"`
	Rest    *float64    `json:"rest"`
	Worse   int         `json:"worse"`
	Way     string      `json:"way"`   // how its number is set, as a type sheet says it
	Modes   []BenchMode `json:"modes"` // wanted of a device of the type that has no place yet
}

// BenchBand is the band of one setting of a type; an empty setting: any.
type BenchBand struct {
	Setting string   `json:"setting"`
	Low     *float64 `json:"low"`
	High    *float64 `json:"high"`
}

// BenchMode is a setting that is wanted, and why.
type BenchMode struct {
	Name   string `json:"name"`
	Choice string `json:"choice"`
	Reason string `json:"reason"`
}

// BenchPlace is a place of the run, with the card by which its device is set.
type BenchPlace struct {
	ID       string            `json:"point_id"`
	Name     string            `json:"name"`
	Ref      string            `json:"ref"`
	Loop     string            `json:"loop"`
	Number   int               `json:"number"`
	Wanted   int               `json:"wanted"` // 0: none is
	Last     int               `json:"last"`
	Assigned bool              `json:"assigned"`
	Type     string            `json:"type"`
	Stands   int               `json:"stands"` // what the device carries before it is set
	Fresh    bool              `json:"fresh"`  // nobody looked: it is taken to carry the unset number, as from its box
	Steps    []string          `json:"steps"`
	Modes    []BenchMode       `json:"modes"`
	Has      map[string]string `json:"has"` // settings as found
	Location string            `json:"location"`
	Area     string            `json:"area"`
	Zone     string            `json:"zone"`
	Floor    string            `json:"floor"`
	Order    int               `json:"order"`
	Planned  string            `json:"planned"` // the serial of the device that is meant for it
	Unit     string            `json:"unit"`    // the serial of the unit that the register has there
	Replaces bool              `json:"replaces"`
	Card     string            `json:"card"` // drawn, as one svg element
	State    string            `json:"state"`
}

// BenchDevice is a device of the box.
type BenchDevice struct {
	Serial   string `json:"serial"`
	Type     string `json:"type"`
	Batch    string `json:"batch"`
	Made     string `json:"made"`
	Place    string `json:"place_id"` // where it went
	Rejected bool   `json:"rejected"`
	Twice    bool   `json:"twice"`
}

// BenchSerial is a serial that the register has at a point.
type BenchSerial struct {
	Key    string `json:"key"` // by which serials are matched
	Serial string `json:"serial"`
	Point  string `json:"point_id"`
	Ref    string `json:"ref"`
}

// BenchNumber is a number that a point carries or should have.
type BenchNumber struct {
	Point   string `json:"point_id"`
	Name    string `json:"name"` // as sentences call it
	Ref     string `json:"ref"`
	Loop    string `json:"loop"`
	Modules bool   `json:"modules"`
	Width   int    `json:"width"`
	Carries int    `json:"carries"`
	Wanted  int    `json:"wanted"`
}

// BenchNext is a number that a new place would get.
type BenchNext struct {
	Type   string   `json:"type"`
	Number int      `json:"number"`
	Last   int      `json:"last"`
	Steps  []string `json:"steps"`
	Card   string   `json:"card"`
}

// BenchRecord is what became of a device or place.
type BenchRecord struct {
	ID      string    `json:"id"`
	At      int64     `json:"at"`
	By      string    `json:"by"`
	Station string    `json:"station"`
	Outcome string    `json:"outcome"`
	Point   string    `json:"point_id"`
	Serial  string    `json:"serial"`
	Type    string    `json:"type"`
	Reason  string    `json:"reason"`
	With    []string  `json:"with"`
	Carries int       `json:"carries"` // the number that the device carries; 0: nobody said
	Value   *float64  `json:"value"`   // of the look that was written with it
	Samples []float64 `json:"samples"`
	Verdict string    `json:"verdict"`
}

// BenchLeft is one thing that is left.
type BenchLeft struct {
	Kind   string `json:"kind"`
	Point  string `json:"point_id"`
	Serial string `json:"serial"`
	Text   string `json:"text"`
}

// BenchProgress is how far the run has come; seconds are 0 where not known.
type BenchProgress struct {
	Places   int         `json:"places"`
	Done     int         `json:"done"`
	Skipped  int         `json:"skipped"`
	Left     int         `json:"left"`
	Rejected int         `json:"rejected"`
	Pace     float64     `json:"pace_seconds"`
	TimeLeft float64     `json:"left_seconds"`
	Hands    []BenchPace `json:"hands"`
}

// BenchPace is how fast one person goes.
type BenchPace struct {
	By   string  `json:"by"`
	Done int     `json:"done"`
	Pace float64 `json:"pace_seconds"`
}

// OfBench shapes a run for who asks.
func OfBench(b *app.BenchRun, station, by string) Bench {
	shape := Bench{
		ID: b.ID.String(), Site: b.Site.ID.String(), SiteName: b.Site.Name, Name: b.Title(), First: string(cmp.Or(b.Said.First, sootline.PlaceFirst)),
		Now: b.Now.UnixMilli(), Opened: b.Opened.At.UnixMilli(), By: by, Station: station, From: b.Said.From,
		Loops: []BenchLoop{}, Types: []BenchType{}, Places: []BenchPlace{}, Box: []BenchDevice{}, Serials: []BenchSerial{},
		Numbers: []BenchNumber{}, Next: []BenchNext{}, Done: []BenchRecord{}, Left: OfBenchLeft(b), Progress: ofProgress(b), Rules: app.BenchFigures(),
	}
	if b.Closed != nil {
		shape.Closed = b.Closed.At.UnixMilli()
	}
	if loop, ok := b.NewLoop(); ok {
		shape.Loop = loop.String()
	}
	shape.OpenEnded = len(b.Said.Points) == 0 && len(b.Said.Box) == 0
	shape.site(b)
	shape.run(b)
	return shape
}

// DropCards leaves the pictures out, for a page that has them.
func (shape *Bench) DropCards() {
	for i := range shape.Places {
		shape.Places[i].Card = ""
	}
	for i := range shape.Next {
		shape.Next[i].Card = ""
	}
}

// site shapes what the run needs of the site.
func (shape *Bench) site(b *app.BenchRun) {
	for _, l := range b.Register.Loops() {
		shape.Loops = append(shape.Loops, BenchLoop{l.LoopID.String(), l.LoopID.Panel, l.LoopID.Name, l.First, l.Last, l.Unset, append([]int{}, l.Reserved...), l.Separate})
	}
	for _, t := range b.TypesInOrder() {
		shape.Types = append(shape.Types, ofBenchType(b, t))
	}
	shape.Other = ofBenchType(b, b.OtherType())
	for _, p := range b.Register.Points() {
		if p.Unit.Serial != "" {
			shape.Serials = append(shape.Serials, BenchSerial{sootline.SerialKey(p.Unit.Serial), p.Unit.Serial, p.ID.String(), p.Ref().String()})
		}
	}
	for i := range b.Carriers {
		c := &b.Carriers[i]
		shape.Numbers = append(shape.Numbers, BenchNumber{c.Point.ID.String(), b.NameOf(c), c.Point.Ref().String(), c.Loop.String(), c.Modules, c.Width, c.Carries, c.Wanted})
	}
}

func ofBenchType(b *app.BenchRun, t *app.BenchType) BenchType {
	one := BenchType{
		Key: sootline.TypeKey(t.Name), Name: t.Name, Width: t.Width, Most: t.Most, Modules: t.Modules, Judged: t.Judged, Unit: t.Unit,
		Bands: []BenchBand{}, Noise: t.Noise, Spread: t.Spread, Rest: t.Rest, Worse: t.Worse, Way: b.SetWay(t.Name), Modes: []BenchMode{},
	}
	for _, band := range t.Bands {
		one.Bands = append(one.Bands, BenchBand{band.Setting, band.Low, band.High})
	}
	for _, w := range b.Register.WishesOf(&sootline.Point{Type: t.Name}) {
		one.Modes = append(one.Modes, BenchMode{w.Name, w.Choice, w.Reason})
	}
	return one
}

// run shapes the run itself.
func (shape *Bench) run(b *app.BenchRun) {
	for _, place := range b.Places {
		shape.Places = append(shape.Places, ofBenchPlace(b, place))
	}
	for _, d := range b.Box {
		one := BenchDevice{Serial: d.Serial, Type: d.Type, Batch: d.Batch, Made: d.Made, Rejected: d.Rejected, Twice: d.Twice}
		if d.Place != nil {
			one.Place = d.Place.Point.ID.String()
		}
		shape.Box = append(shape.Box, one)
	}
	for _, h := range b.NextCards() {
		shape.Next = append(shape.Next, BenchNext{h.Type, h.Number, h.Last, orEmpty(h.Steps), app.CardSVG(&h.Card)})
	}
	for i := range b.Records {
		shape.Done = append(shape.Done, ofBenchRecord(b, &b.Records[i]))
	}
}

func ofBenchPlace(b *app.BenchRun, place *app.BenchPlace) BenchPlace {
	p, h := place.Point, b.WithCard(b.HandAt(place))
	one := BenchPlace{
		ID: p.ID.String(), Name: place.Name(), Ref: p.Ref().String(), Loop: place.Loop.String(), Number: place.Number, Wanted: b.Wanted(p), Last: h.Last, Assigned: place.Assigned,
		Type: p.Type, Stands: h.Stands, Fresh: h.Fresh, Steps: orEmpty(h.Steps), Modes: []BenchMode{}, Location: p.Location, Area: p.Area, Zone: p.Zone, Floor: b.Register.Floor(p),
		Order: p.Order, Unit: p.Unit.Serial, Replaces: place.Replaces, Has: map[string]string{}, Card: app.CardSVG(&h.Card), State: string(place.State()),
	}
	for _, m := range place.Modes {
		one.Modes = append(one.Modes, BenchMode(m))
	}
	maps.Copy(one.Has, p.Has)
	if place.Open() && !place.Replaces {
		one.Planned = p.Unit.Serial
	}
	return one
}

func ofBenchRecord(b *app.BenchRun, rec *sootline.BenchRecord) BenchRecord {
	one := BenchRecord{
		ID: rec.Entry.ID.String(), At: rec.Entry.At.UnixMilli(), By: rec.Entry.By, Station: rec.Entry.Station, Outcome: string(rec.Outcome),
		Serial: rec.Serial, Type: rec.Type, Reason: rec.Reason, With: ids(rec.With), Samples: []float64{},
	}
	if !rec.Entry.Point.Zero() {
		one.Point = rec.Entry.Point.String()
	}
	place := b.Place(rec.Entry.Point)
	if place == nil {
		return one
	}
	one.Carries = b.Carries(place, rec)
	if reading := place.ReadingOf(rec); reading != nil {
		v := b.ValueOf(place, rec)
		one.Samples, one.Value, one.Verdict = reading.Samples, rounded(&v.Value), v.State
	}
	return one
}

// OfBenchLeft shapes what is left of a run.
func OfBenchLeft(b *app.BenchRun) []BenchLeft {
	all := []BenchLeft{}
	for _, l := range b.Left() {
		one := BenchLeft{Kind: string(l.Kind), Serial: l.Serial, Text: l.Text}
		if l.Place != nil {
			one.Point = l.Place.Point.ID.String()
		}
		all = append(all, one)
	}
	return all
}

func ofProgress(b *app.BenchRun) BenchProgress {
	pr := b.Progress()
	shape := BenchProgress{
		Places: pr.Places, Done: pr.Done, Skipped: pr.Skipped, Left: pr.Left, Rejected: pr.Rejected,
		Pace: pr.Pace.Round(time.Second).Seconds(), TimeLeft: pr.TimeLeft.Round(time.Second).Seconds(), Hands: []BenchPace{},
	}
	for _, h := range pr.Hands {
		shape.Hands = append(shape.Hands, BenchPace{h.By, h.Done, h.Pace.Round(time.Second).Seconds()})
	}
	return shape
}

// BenchLook is what is to be said of what was typed.
type BenchLook struct {
	Number  int           `json:"number"`
	Last    int           `json:"last"`
	Value   BenchValue    `json:"value"`
	Remarks []BenchRemark `json:"remarks"`
}

// BenchValue is a look at a resting value.
type BenchValue struct {
	State    string   `json:"state"`
	Value    float64  `json:"value"`
	Spread   *float64 `json:"spread"`
	Low      *float64 `json:"low"`
	High     *float64 `json:"high"`
	Margin   *float64 `json:"margin"`
	Settling bool     `json:"settling"`
	Unsteady bool     `json:"unsteady"`
	Wait     float64  `json:"wait_seconds"`
}

// BenchRemark is one thing to say.
type BenchRemark struct {
	Code  string `json:"code"`
	Grave string `json:"grave"` // refused, asked or told
	Text  string `json:"text"`
}

// OfBenchLook shapes it.
func OfBenchLook(l *app.BenchLooked) BenchLook {
	shape := BenchLook{Number: l.Hand.Number, Last: l.Hand.Last, Value: BenchValue(l.Value), Remarks: []BenchRemark{}}
	for _, r := range l.Remarks {
		shape.Remarks = append(shape.Remarks, BenchRemark{string(r.Code), string(r.Grave), r.Text})
	}
	return shape
}
