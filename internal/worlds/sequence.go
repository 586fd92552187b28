package worlds

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"time"
)

// Story is a site and what people try to do on it, one after the other.
type Story struct {
	Site, Zone string
	Types      []TypeSpec
	Loops      []LoopSpec
	Points     []PointSpec
	People     []Person
	Acts       []Act
}

// TypeSpec is a type of device that is there before the first act; one without a band has no limits.
type TypeSpec struct {
	Name, Device string
	Low, High    float64
}

// LoopSpec is a loop that is there before the first act.
type LoopSpec struct {
	Panel, Loop string
	First, Last int
}

// PointSpec is a point that is there before the first act.
type PointSpec struct {
	Loop                       int // index of the loop
	Address                    int
	Type, Area, Zone, Location string
	FittedDaysAgo              int
}

// Person is somebody whom the book knows.
type Person struct{ Name, Role string }

// Act is one try. What is
//
//   - "write": Kind and Body, at Point (an index; -1: the site; beyond the last: a point that is not there);
//   - "correct": the entry of act Of should have said Kind, Body and Point, for the reason Why;
//   - "withdraw": the entry of act Of is taken back;
//   - "again": act Of is handed in once more, as it was, by the actor of this act;
//   - "again otherwise": the id of act Of, with what this act says.
//
// Of may name an act that was refused, that amends, or that is not there (len(Acts) and beyond, -1). In a Body, "@act:K"
// stands for the id of the entry of act K, and "@point:K" for that of point K; Resolve puts them in.
type Act struct {
	Person, Role, Door string
	Site               int // 0: the story's site; 1: another one; 2: one that is not there
	What, Kind, Why    string
	Body               json.RawMessage
	Point, Of          int
	DaysAgo, Minute    int           // when it happened: days before today (below 0: after it), minute of that day in UTC
	Day                bool          // only the day is known
	Clock              time.Duration // by how much the clock is wrong while this is done, and written down
	Odd                string        // why it cannot be, where that is so by design; an act without it may be refused too
}

var placeholder = regexp.MustCompile(`@(act|point):(-?\d+)`)

// Resolve puts ids into a body.
func Resolve(body json.RawMessage, act, point func(int) string) json.RawMessage {
	return placeholder.ReplaceAllFunc(body, func(m []byte) []byte {
		of := placeholder.FindSubmatch(m)
		n, err := strconv.Atoi(string(of[2]))
		if err != nil {
			return m
		}
		if string(of[1]) == "act" {
			return []byte(act(n))
		}
		return []byte(point(n))
	})
}

// teller makes one story.
type teller struct {
	rng   *rand.Rand
	story *Story
	days  []int      // the days on which things happen, so that they meet
	clock *rand.Rand // tells of clocks, so that stories are otherwise as they were without
}

// Sequence gives a site with a few loops and points, and n acts on it: likely ones, unlikely ones, forbidden and
// impossible ones, and repeats. The same source gives the same story.
func Sequence(rng *rand.Rand, n int) Story {
	t := &teller{rng: rng, story: &Story{Site: "Mill"}}
	t.begin()
	t.clock = rand.New(rand.NewPCG(uint64(len(t.story.Points)), uint64(t.days[3])))
	for range n {
		t.story.Acts = append(t.story.Acts, t.act())
	}
	return *t.story
}

// begin makes the site.
func (t *teller) begin() {
	s := t.story
	s.Zone = pick(t.rng, "UTC", "Europe/London", "Europe/Berlin", "Australia/Sydney", "America/New_York")
	s.Types = []TypeSpec{
		{"Larch", "smoke", 20, 40},
		{"Elder", "heat", 10, 30},
		{"Hazel", "multi", 15, 35},
		{"Pull", "call point", 0, 0},
		{"Iso", "isolator", 0, 0},
		{"Horn", "sounder", 0, 0},
	}
	s.People = []Person{
		{"M. Lead", "manager"}, {"N. Lead", "manager"}, {"A. Tech", "technician"}, {"B. Tech", "technician"}, {"R. Reader", "reader"},
	}
	for i := range 1 + t.rng.IntN(3) {
		s.Loops = append(s.Loops, LoopSpec{"1", strconv.Itoa(i + 1), 1, 126})
	}
	for i := range 4 + t.rng.IntN(9) {
		typ := s.Types[t.rng.IntN(len(s.Types))].Name
		if t.rng.IntN(12) == 0 {
			typ = "Unknown" // nobody described it
		}
		s.Points = append(s.Points, PointSpec{
			Loop: t.rng.IntN(len(s.Loops)), Address: i + 1, Type: typ,
			Area: pick(t.rng, "Hall", "Kitchen", "Loft", ""), Zone: pick(t.rng, "1", "2", ""),
			Location: fmt.Sprint("place ", i+1), FittedDaysAgo: pick(t.rng, 30, 300, 400, 1200),
		})
	}
	t.days = []int{0, 0, 1, t.rng.IntN(30), 180 + t.rng.IntN(10), 364 + t.rng.IntN(4), 365 + t.rng.IntN(3), 500, 740}
}

// act tells the next one.
func (t *teller) act() Act {
	a := t.actor()
	a.Of, a.Point = -1, t.point()
	a.DaysAgo, a.Minute = pick(t.rng, t.days...), t.rng.IntN(1440)
	a.Day = t.rng.IntN(8) == 0
	now := len(t.story.Acts)
	switch roll := t.rng.IntN(100); {
	case now == 0 || roll < 66:
		a.What = "write"
		t.say(&a)
	case roll < 78:
		a.What, a.Of, a.Why = "correct", t.amended(), pick(t.rng, "typed wrongly", "the wrong point", "")
		t.correct(&a)
	case roll < 88:
		a.What, a.Of, a.Why = "withdraw", t.amended(), pick(t.rng, "the wrong site", "")
	case roll < 96:
		a.What, a.Of = "again", t.rng.IntN(now)
	default:
		a.What, a.Of, a.Odd = "again otherwise", t.rng.IntN(now), "one id says two things"
		t.say(&a)
	}
	t.spoil(&a)
	amends := a.What == "correct" || a.What == "withdraw" // the order of amendments is where clocks tell the least
	if t.clock.IntN(6) == 0 || amends && t.clock.IntN(2) == 0 {
		a.Clock = pick(t.clock, clocks[a.Door]...)
	}
	return a
}

// clocks are how wrong a clock may be while something is done, by door. Years ahead a session ends, so that nothing more
// could be tried by it: there they are the phone's and the command line's.
var clocks = map[string][]time.Duration{
	"page":         {-50 * time.Millisecond, -time.Hour, -time.Hour, -3 * 24 * time.Hour, -3 * 24 * time.Hour, -3 * year, time.Hour},
	"api":          {-50 * time.Millisecond, -time.Hour, -time.Hour, -3 * 24 * time.Hour, -3 * 24 * time.Hour, -3 * year, time.Hour},
	"phone":        {-50 * time.Millisecond, -time.Hour, -3 * 24 * time.Hour, -3 * year, time.Hour, 2 * year},
	"command line": {-50 * time.Millisecond, -time.Hour, -3 * 24 * time.Hour, -3 * year, time.Hour, 2 * year, 30 * year},
}

const year = 365 * 24 * time.Hour

// actor chooses who acts, and where.
func (t *teller) actor() Act {
	p := t.story.People[pick(t.rng, 0, 1, 2, 2, 2, 3, 3, 3, 4)]
	door := pick(t.rng, "page", "page", "api", "api", "phone", "phone", "phone", "command line")
	return Act{Person: p.Name, Role: p.Role, Door: door}
}

// point chooses a point, mostly one of a few, so that things meet.
func (t *teller) point() int {
	if t.rng.IntN(3) > 0 {
		return t.rng.IntN(min(3, len(t.story.Points)))
	}
	return t.rng.IntN(len(t.story.Points))
}

// earlier chooses an act to amend, mostly a late one.
func (t *teller) earlier() int {
	n := len(t.story.Acts)
	if t.rng.IntN(2) == 0 {
		return n - 1 - t.rng.IntN(min(n, 4))
	}
	return t.rng.IntN(n)
}

// amended chooses an act to amend, often one that was corrected before, so that amendments meet.
func (t *teller) amended() int {
	var corrected []int
	for _, a := range t.story.Acts {
		if a.What == "correct" && a.Of >= 0 && a.Of < len(t.story.Acts) {
			corrected = append(corrected, a.Of)
		}
	}
	if len(corrected) > 0 && t.clock.IntN(2) == 0 {
		return corrected[t.clock.IntN(len(corrected))]
	}
	return t.earlier()
}

// correct says what the entry should have said: the same kind, mostly, or just what it said.
func (t *teller) correct(a *Act) {
	of := t.story.Acts[a.Of]
	a.DaysAgo, a.Minute, a.Day = of.DaysAgo, of.Minute, of.Day
	switch {
	case of.What != "write":
		t.say(a)
		a.Odd = "corrects what is no plain entry"
	case t.rng.IntN(6) == 0:
		a.Kind, a.Body, a.Point, a.Odd = of.Kind, of.Body, of.Point, "changes nothing"
	case t.rng.IntN(6) == 0:
		t.say(a)
	default:
		a.Kind, a.Point = of.Kind, of.Point
		a.Body = t.body(a.Kind)
	}
	if a.Point >= len(t.story.Points) {
		a.Odd = "a point that is not there"
	}
}

// spoil makes some acts impossible.
func (t *teller) spoil(a *Act) {
	switch t.rng.IntN(40) {
	case 0:
		a.Point, a.Odd = len(t.story.Points)+3, "a point that is not there"
	case 1:
		a.DaysAgo, a.Odd = -1-t.rng.IntN(400), "has not happened yet"
	case 2:
		a.Site, a.Odd = 1+t.rng.IntN(2), "another site"
	case 3:
		if a.What == "correct" || a.What == "withdraw" {
			a.Of, a.Odd = pick(t.rng, -1, len(t.story.Acts), len(t.story.Acts)+5), "amends what is not there"
		}
	case 4:
		if a.Body != nil {
			a.Body, a.Odd = json.RawMessage(pick(t.rng, `{}`, `null`, `[]`, `{"nonsense":1}`, `{"text":5}`)), "a body that cannot be"
		}
	}
}

// pick chooses one of several.
func pick[T any](rng *rand.Rand, of ...T) T { return of[rng.IntN(len(of))] }

// siteKinds are said of the site and not of a point.
var siteKinds = []string{"opened", "service", "loop", "supply", "area", "sheet", "changed", "visit", "issued", "pinned"}

// say chooses what is written.
func (t *teller) say(a *Act) {
	a.Kind = pick(t.rng, often...)
	if t.rng.IntN(3) == 0 {
		a.Kind = pick(t.rng, kinds...)
	}
	a.Body = t.body(a.Kind)
	if slices.Contains(siteKinds, a.Kind) || slices.Contains([]string{"defect", "fault", "note"}, a.Kind) && t.rng.IntN(4) == 0 {
		a.Point = -1
	}
}
