package papers

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"time"

	"sootline"
)

// Shape is how much happened at a visit.
type Shape string

// The shapes of a story.
const (
	Full       Shape = "full"       // three defects, two photos, five values outside, twelve points not reached, something left out of use
	Small      Shape = "small"      // six points, one defect, one value outside, one point not reached
	Fine       Shape = "fine"       // every point tested, nothing wrong
	Nothing    Shape = "nothing"    // opened and closed, and nothing done
	Unrecorded Shape = "unrecorded" // a register, and no visit, test or reading ever
)

// Shapes lists the shapes.
func Shapes() []Shape { return []Shape{Full, Small, Fine, Nothing, Unrecorded} }

// Story is an invented site and a visit to it. All times are UTC, which is the zone of the site.
type Story struct {
	Shape     Shape
	Site      string
	Person    string // who attends
	Points    []Point
	Before    time.Time // noon of the day of the visit before, at which every point was tested and read
	Alarm     *Alarm
	Opened    time.Time // zero: no visit
	Closed    time.Time
	Disabled  []string // for the visit, in the words of its opening
	Restored  []string // of these
	Remarks   []string // at opening, between, and at closing
	Tested    []int    // points that were tested and passed in the end, as indices into Points
	Outside   []Value
	Unreached []int
	Why       string // they were not reached
	Defects   []Defect
	Photos    [][]byte // JPEG
	Acts      []Act    // in the order of their times
}

// Point is a point of loop 1 of panel 1.
type Point struct {
	Number           int
	Type, Zone, Area string
	Where, Low, High string // the location; its band, empty where it has none
}

// Ref names the point as papers do.
func (p *Point) Ref() string { return fmt.Sprintf("1.1.%03d", p.Number) }

// Value is a reading outside the band of its point.
type Value struct {
	Point int
	Says  int
}

// Alarm is an unwanted alarm between the visits.
type Alarm struct {
	At    time.Time
	Point int
	Cause string
}

// Defect is what was seen at the visit and how far it came.
type Defect struct {
	Point         int
	Says          string // what is seen
	Grade         sootline.DefectGrade
	State         string // open, mended or closed when the visit ended
	Needs, Agreed string
	By            time.Time // the day by which it was agreed; zero: none
	Photo         bool
}

// Act is one entry of the visit, between its opening and its closing.
type Act struct {
	At    time.Time
	Point int // -1: at no point
	Step  bool
	Body  sootline.Body
}

// Draw draws a story of a shape from a seed.
func Draw(shape Shape, seed uint64) *Story {
	d := &drawing{rand: rand.New(rand.NewPCG(seed, 7)), Story: &Story{Shape: shape, Person: "A. Tech"}}
	d.Site = fmt.Sprintf("%s %d", []string{"Mill", "Granary", "Ropery", "Dairy"}[d.rand.IntN(4)], 10+seed%90)
	d.Before = time.Date(2025, 7, 21+d.rand.IntN(3), 12, 0, 0, 0, time.UTC)
	d.points()
	if shape == Unrecorded {
		d.Before = time.Time{}
		return d.Story
	}
	d.Opened = time.Date(2026, 1, 19+d.rand.IntN(5), 8, 10+d.rand.IntN(40), 0, 0, time.UTC)
	d.clock = d.Opened
	switch shape {
	case Full:
		d.full()
	case Small:
		d.small()
	case Fine:
		d.rounds(nil)
	}
	d.Closed = d.clock.Add(time.Duration(10+d.rand.IntN(20)) * time.Minute)
	return d.Story
}

// drawing is a story that is being drawn.
type drawing struct {
	*Story
	rand  *rand.Rand
	clock time.Time
}

// lockedRoom is the area that nobody could get into.
const lockedRoom = "Archive"

// points draws the register: of a full site twelve points lie in the locked room, of a small one one.
func (d *drawing) points() {
	areas, each, locked := []string{"Kitchen", "Hall", "Workshop", "Store", "Office"}, 8+d.rand.IntN(3), 12
	if d.Shape != Full {
		areas, each, locked = areas[:5], 1, 1
		if d.Shape != Small {
			each, locked = 2, 0
		}
	}
	for zone, area := range append(areas, lockedRoom) {
		n := each
		if area == lockedRoom {
			n = locked
		}
		for i := range n {
			p := Point{Number: len(d.Points) + 1, Type: "Larch", Low: "20", High: "40", Zone: fmt.Sprint(zone + 1), Area: area, Where: fmt.Sprintf("Ground floor, bay %d", i+1)}
			switch {
			case i == 1:
				p.Type, p.Low, p.High = "Elder", "10", "30"
			case i == 2 || each < 3 && area == "Hall":
				p.Type, p.Low, p.High = "Pull", "", ""
			}
			d.Points = append(d.Points, p)
		}
	}
}

// act writes down what is done next, some minutes later.
func (d *drawing) act(point int, step bool, body sootline.Body) {
	d.clock = d.clock.Add(time.Duration(2+d.rand.IntN(5)) * time.Minute)
	d.Acts = append(d.Acts, Act{d.clock, point, step, body})
}

// rounds tests and reads every point that can be reached; outside are those whose value lies above the band.
func (d *drawing) rounds(outside map[int]bool) {
	for i := range d.Points {
		p := &d.Points[i]
		if p.Area == lockedRoom {
			d.Unreached = append(d.Unreached, i)
			d.act(i, false, sootline.Unreached{Text: d.Why})
			continue
		}
		d.Tested = append(d.Tested, i)
		d.act(i, false, sootline.Tested{})
		value := 25
		if outside[i] {
			value = 44 + d.rand.IntN(9)
			d.Outside = append(d.Outside, Value{i, value})
		}
		if p.Low != "" {
			d.act(i, false, sootline.Read{Samples: []float64{float64(value)}})
		}
	}
}

// of gives the indices of the points of a type that can be reached, in a random order.
func (d *drawing) of(typ string) []int {
	var all []int
	for _, i := range d.rand.Perm(len(d.Points)) {
		if d.Points[i].Type == typ && d.Points[i].Area != lockedRoom {
			all = append(all, i)
		}
	}
	return all
}

// full draws the visit at which most happens.
func (d *drawing) full() {
	d.Why = "locked, no key on site"
	smoke, press := d.of("Larch"), d.of("Pull")
	d.Disabled, d.Restored = []string{"sounders, by A. Tech", "smoke doors, by A. Tech"}, []string{"sounders, by A. Tech"}
	d.Remarks = []string{"the caretaker walks along", "the caretaker asks for a longer ladder", "the smoke doors wait for a door closer"}
	d.Alarm = &Alarm{d.Before.AddDate(0, 3, d.rand.IntN(20)), smoke[0], "toast"}
	d.rounds(map[int]bool{smoke[1]: true, smoke[2]: true, smoke[3]: true, smoke[4]: true, smoke[5]: true})
	d.mended(press[0])
	d.dangerous(smoke[6])
	d.waiting(smoke[7])
	d.act(-1, false, sootline.Note{Text: d.Remarks[1]})
}

// small draws a visit of a few points.
func (d *drawing) small() {
	d.Why = "locked, no key on site"
	smoke := d.of("Larch")
	d.Disabled, d.Restored = []string{"sounders, by A. Tech"}, []string{"sounders, by A. Tech"}
	d.Remarks = []string{"", "", "the caretaker was told"}
	d.rounds(map[int]bool{smoke[0]: true})
	d.dangerous(smoke[1])
}

// mended draws a call point that failed, was mended and tried again, all at the visit.
func (d *drawing) mended(point int) {
	defect := Defect{Point: point, Says: "glass pressed, no alarm", Grade: sootline.SeriousDefect, State: "closed"}
	d.act(point, false, sootline.Tested{Failed: true, Text: defect.Says})
	d.act(point, true, sootline.Mended{Text: "new switch fitted"})
	d.act(point, false, sootline.Tested{})
	d.Defects = append(d.Defects, defect)
}

// dangerous draws a defect that takes protection away and stays open.
func (d *drawing) dangerous(point int) {
	by := day(d.Opened.AddDate(0, 0, 7))
	defect := Defect{point, "racking hides the detector", sootline.CriticalDefect, "open", "clear the racking", "the store manager clears it", by, true}
	d.act(point, false, sootline.Defect{Nature: sootline.Obstruction, Grade: defect.Grade, Text: defect.Says, Needs: defect.Needs, Photo: d.photo()})
	d.act(point, true, sootline.Followed{Told: "R. Person, on the spot", Agreed: defect.Agreed, ByDay: by.Format(time.DateOnly)})
	d.Defects = append(d.Defects, defect)
}

// waiting draws a defect that was mended for now and waits for its retest.
func (d *drawing) waiting(point int) {
	by := day(d.Opened.AddDate(0, 0, 21))
	defect := Defect{point, "base cracked", sootline.SeriousDefect, "mended", "a new base", "Example Fire Care fits it", by, true}
	d.act(point, false, sootline.Defect{Nature: sootline.Damage, Grade: defect.Grade, Text: defect.Says, Needs: defect.Needs, Photo: d.photo()})
	d.act(point, true, sootline.Followed{Told: "R. Person, on the spot", Agreed: defect.Agreed, ByDay: by.Format(time.DateOnly)})
	d.act(point, true, sootline.Mended{Text: "clamped for now"})
	d.Defects = append(d.Defects, defect)
}

func day(t time.Time) time.Time { return t.Truncate(24 * time.Hour) }

// photo draws a picture, keeps it with the story and gives its name.
func (d *drawing) photo() string {
	m := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for i := range m.Pix {
		m.Pix[i] = uint8(d.rand.IntN(64))
	}
	for x := range 40 {
		m.Set(x+10, 20, color.RGBA{200, 120, 0, 255})
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		panic(err) // not reached: a picture of this size can be written to memory
	}
	d.Photos = append(d.Photos, b.Bytes())
	sum := sha256.Sum256(b.Bytes())
	return hex.EncodeToString(sum[:])
}
