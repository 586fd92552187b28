package worlds

import (
	"errors"
	"fmt"
	"strings"
	"time"
)

// Figures are the figures of docs/methods/counting.md, of a site at an instant.
type Figures struct {
	Points, Detectors, NotDescribed, UnderTest int
	Kinds                                      map[string]int // points in place by device kind; "" not known

	Tested, Failed int      // points under test: tested within the term, and those whose last test failed
	FailedPoints   []string // all points in place whose last test failed

	NextDue, NextDueOf string // a day, empty where nothing is due; what it is the last day of
	UserNext           string
	Left               []string // rules whose last days this recount does not work out: NextDue may be earlier

	Signals, Fires, TestSignals, Asked, FalseAlarms, Incidents, Attended int // of the twelve months to the instant
	Categories                                                           map[string]Count

	Readings, PointsRead int // of the term
	Visits               []Attendance
	EndsAlone            int // attendances of which nobody wrote the beginning down

	Open, Mended, Closed int
	Defects              []Defect
}

// Count is a figure of alarms.
type Count struct{ Alarms, Incidents int }

// Recount works the figures out of the lines of a log, at an instant, with a term in months for tests and readings. It
// decides nothing about who may write what: a line that is in the log counts. An entry that cannot be read is an error
// beside the figures of the rest.
func Recount(lines []Line, at time.Time, term int) (Figures, error) {
	all, err := facts(lines)
	if err != nil {
		return Figures{}, err
	}
	s := settled(all, at)
	var fig Figures
	signals, d := s.fold()
	s.stand(term, &fig)
	s.read(term, &fig)
	s.alarms(signals, &fig)
	s.due(&fig)
	fig.Visits, fig.EndsAlone = s.attendances(s.tests), len(s.ends)
	for _, x := range d.all {
		fig.Defects = append(fig.Defects, *x)
		switch x.State {
		case "open":
			fig.Open++
		case "mended":
			fig.Mended++
		case "closed":
			fig.Closed++
		}
	}
	if len(s.errs) > 0 {
		return fig, errors.New("entries that cannot be read: " + strings.Join(s.errs, "; "))
	}
	return fig, nil
}

// RecountDay works the figures out at the end of the day on which an instant lies, on the clock that the site has at it.
func RecountDay(lines []Line, at time.Time, term int) (Figures, error) {
	all, err := facts(lines)
	if err != nil {
		return Figures{}, err
	}
	zone := settled(all, at).zone
	y, m, d := at.In(zone).Date()
	return Recount(lines, time.Date(y, m, d+1, 0, 0, 0, 0, zone).Add(-time.Nanosecond), term)
}

// settled is a site at an instant, before its points.
func settled(all []fact, at time.Time) *site {
	s := &site{
		zone: time.UTC, at: at, months: 6,
		sheets: map[string]sheet{}, points: map[string]*point{},
	}
	for _, f := range all {
		if !f.at.After(at) {
			s.facts = append(s.facts, f)
		}
	}
	s.settle()
	return s
}

// fold goes through the log once: places, tests, alarms and defects.
func (s *site) fold() ([]signal, *defects) {
	d := &defects{byID: map[string]*Defect{}}
	var signals []signal
	for _, f := range s.arranged() {
		s.place(f)
		s.defect(f, d)
		switch f.kind {
		case "tested":
			s.test(f.point, f, failed(f))
		case "retested":
			if x := d.byID[names(f)]; x != nil && x.Nature == "failed test" {
				s.test(x.Point, f, failed(f))
			}
		case "alarm":
			g := s.signal(f)
			signals = append(signals, g)
			if g.walk {
				s.test(f.point, f, false)
				d.passedTest(f.point, true)
			}
		}
	}
	return signals, d
}

// test notes a test at a point.
func (s *site) test(id string, f fact, failed bool) {
	if id == "" {
		return
	}
	p := s.point(id)
	s.tests = append(s.tests, pointTest{test{f.at, failed, f.id}, id})
	p.tests = append(p.tests, test{f.at, failed, f.id})
	if !failed {
		p.passed = f.at
	}
}

// defect folds one entry into the defects.
func (s *site) defect(f fact, d *defects) {
	var b struct{ Nature, Grade, Cause, Text string }
	x := d.byID[names(f)]
	switch f.kind {
	case "defect":
		s.body(f, &b)
		d.open(f, b.Nature, b.Grade)
	case "fault":
		s.body(f, &b)
		d.faulty(f, b.Cause, b.Text)
	case "tested":
		if f.point != "" && failed(f) {
			d.failedTest(f)
		} else if f.point != "" {
			d.passedTest(f.point, false)
		}
	case "mended":
		if x != nil && x.State == "open" {
			x.State = "mended"
		}
	case "retested":
		if x != nil {
			p := s.points[x.Point]
			d.retested(x, failed(f), p != nil && p.removed > 0 && !p.in)
		}
	case "replaced":
		d.at(f.point, "mended", func(x *Defect) bool { return x.State == "open" && mends(x) })
	case "removed":
		d.at(f.point, "closed", func(*Defect) bool { return true })
	}
}

// mends says whether another unit mends a defect.
func mends(x *Defect) bool {
	for _, n := range replacing {
		if x.Nature == n && x.Point != "" {
			return true
		}
	}
	return false
}

// stand counts the points in place, and those tested within the term.
func (s *site) stand(term int, fig *Figures) {
	fig.Kinds = map[string]int{}
	today := s.day(s.at)
	for _, id := range s.order {
		p := s.points[id]
		if !p.in {
			continue
		}
		fig.Points++
		fig.Kinds[p.kind]++
		if p.detector() {
			fig.Detectors++
		}
		if p.kind == "" {
			fig.NotDescribed++
		}
		t, ok := p.last()
		if ok && t.failed {
			fig.FailedPoints = append(fig.FailedPoints, id)
		}
		if !p.underTest() {
			continue
		}
		fig.UnderTest++
		switch {
		case !ok:
		case t.failed:
			fig.Failed++
		case !monthsOn(s.day(t.at), term).Before(today):
			fig.Tested++
		}
	}
}

// read counts the readings of the term.
func (s *site) read(term int, fig *Figures) {
	seen := map[string]bool{}
	for _, f := range s.facts {
		if f.kind != "read" || monthsOn(s.day(f.at), term).Before(s.day(s.at)) {
			continue
		}
		var b struct {
			Samples []float64 `json:"samples"`
		}
		s.body(f, &b)
		if len(b.Samples) == 0 {
			continue
		}
		fig.Readings++
		if p := s.points[f.point]; p != nil && p.in {
			seen[f.point] = true
		}
	}
	fig.PointsRead = len(seen)
}

// Share words the share of the term: both numbers, and per cent rounded half up to a tenth, where 100 and 0 mean all
// and none.
func (fig Figures) Share() string {
	if fig.UnderTest == 0 {
		return "no points"
	}
	tenths := (2000*fig.Tested + fig.UnderTest) / (2 * fig.UnderTest)
	if fig.Tested < fig.UnderTest {
		tenths = min(tenths, 999)
	}
	if fig.Tested > 0 {
		tenths = max(tenths, 1)
	}
	return fmt.Sprintf("%d of %d (%d.%d %%)", fig.Tested, fig.UnderTest, tenths/10, tenths%10)
}
