package demo

import (
	"math/rand/v2"
	"time"

	"sootline"
)

// Years is how many years of readings a scenario holds.
const Years = 6

// VisitMonths is the time to the next visit, in months, that [Leaving] looks ahead.
const VisitMonths = 6

// Scenario is the invented site: what it is, the files it hands over, and what
// is truly the matter there.
type Scenario struct {
	Site   Site
	From   time.Time // the day of handover, midnight UTC
	Until  time.Time // the day on which the story ends, midnight UTC
	Files  []File
	Truths []Truth // by kind, in the order of [TruthKinds], then by time
}

// Site is what has to be said of the site beside its files.
type Site struct {
	Name  string
	Zone  string // IANA time zone of all dates and times in the files
	Loops []sootline.Loop
}

// File is one listing.
type File struct {
	Name    string
	Content []byte
	Says    string // what it lists, and in which shape
}

// Make tells the story that belongs to the seed and ends on the day of until,
// in UTC. The six years of its readings are the years that end on that day;
// each readings file is named by the year in which its own twelve months end.
func Make(seed uint64, until time.Time) Scenario {
	w, readings := told(seed, until)
	files := []File{typesFile(), scheduleFile(w)}
	files = append(files, readingFiles(w, readings)...)
	files = append(files, eventsFile(w))
	return Scenario{Site: site(), From: w.from, Until: w.until, Files: files, Truths: w.sortedTruths()}
}

// told lives the story through and reads what there is to read.
func told(seed uint64, until time.Time) (*world, []reading) {
	w := newWorld(seed, until)
	w.plantNumbers()
	w.plantUnits()
	w.live()
	readings := w.takeReadings()
	w.plantSlip(readings)
	w.seeEnd()
	return w, readings
}

// Of gives the truths of one kind, in order of time.
func (s Scenario) Of(kind TruthKind) []Truth {
	var found []Truth
	for _, truth := range s.Truths {
		if truth.Kind == kind {
			found = append(found, truth)
		}
	}
	return found
}

func site() Site {
	s := Site{Name: "Wendlequay Harbour Works", Zone: "UTC"}
	for _, name := range loopNames() {
		s.Loops = append(s.Loops, sootline.Loop{
			LoopID: sootline.LoopID{Panel: panelName, Name: name},
			First:  firstNumber, Last: lastNumber, Unset: unsetNumber,
		})
	}
	return s
}

// world is the site while its story is being told.
type world struct {
	rng         *rand.Rand
	from, until time.Time
	visits      []visit
	points      []*point // in cable order, loop by loop
	events      []event
	truths      []Truth
	taken       map[*point]bool // points that already have a trouble of their own
}

func newWorld(seed uint64, until time.Time) *world {
	y, m, d := until.UTC().Date()
	end := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	w := &world{
		rng:   rand.New(rand.NewPCG(seed, 0x5007)), // the second word only tells this stream from others
		until: end, from: end.AddDate(-Years, 0, 0),
		taken: map[*point]bool{},
	}
	w.visits = w.planVisits()
	w.points = w.layOut()
	return w
}
