package app

import (
	"context"
	"fmt"
	"strings"
	"time"

	"sootline"
	"sootline/internal/count"
	"sootline/internal/visit"
)

// Figures are the figures of a site that faces and papers show, counted once. See
// docs/methods/counting.md for what each means.
type Figures struct {
	On      visit.Day
	Points  count.Points
	Tested  count.Tested    // in the term of twelve months
	Signals count.Signalled // of the twelve months
	Read    int             // points read in the twelve months
	Defects count.Defects
	Next    visit.Next
}

// year is the term of the figures, in months.
const year = 12

// FiguresOf counts a register that was folded as of a day.
func FiguresOf(r *sootline.Register, signals *count.Signals, on time.Time, zone *time.Location) Figures {
	day := visit.DayOf(on, zone)
	walks := signals.Walks()
	during := count.DuringOf(r, walks, zone, func(e *sootline.Entry) bool {
		at := visit.DayOf(e.At, zone)
		return at <= day && day <= at.AddMonths(year)
	})
	return Figures{
		On: day, Points: count.PointsOf(r), Tested: count.TestedWithin(r, walks, day, year, zone), Signals: signals.Year(day, zone),
		Read: during.Read, Defects: count.DefectsOf(r), Next: visit.NextDue(Obligations(r, signals, day, 0, zone), day),
	}
}

// Figures counts the site.
func (s *Survey) Figures() Figures { return FiguresOf(s.Register, s.Signals(), s.On, s.Zone) }

// FiguresAt counts a site as of an instant.
func (a *App) FiguresAt(ctx context.Context, site sootline.ID, on time.Time) (Figures, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return Figures{}, err
	}
	r, zone, err := fold(log, on)
	if err != nil {
		return Figures{}, err
	}
	return FiguresOf(r, SignalsOf(r, zone), on, zone), nil
}

// FigureKey names a figure, for faces that pick some.
type FigureKey string

// The figures.
const (
	PointsFigure      FigureKey = "points"
	DetectorsFigure   FigureKey = "detectors"
	UnderTestFigure   FigureKey = "under_test"
	TestedFigure      FigureKey = "tested"
	FailedFigure      FigureKey = "failed"
	ReadFigure        FigureKey = "points_read"
	SignalsFigure     FigureKey = "fire_signals"
	FalseFigure       FigureKey = "false_alarms"
	AttendedFigure    FigureKey = "attended"
	FiresFigure       FigureKey = "real_fires"
	TestSignalsFigure FigureKey = "test_signals"
	AskedFigure       FigureKey = "to_be_asked"
	DefectsFigure     FigureKey = "defects"
	NextDueFigure     FigureKey = "next_due"
	UserNextFigure    FigureKey = "user_next"
)

// Figure is a figure as every face shows it: one name, one wording.
type Figure struct {
	Key         FigureKey
	Name, Value string
}

// List words all figures, in the order in which they are shown.
func (f *Figures) List() []Figure {
	n := fmt.Sprint
	return []Figure{
		{PointsFigure, "points", n(f.Points.All)},
		{DetectorsFigure, "automatic detectors", f.detectors()},
		{UnderTestFigure, "points under test", n(f.Points.UnderTest)},
		{TestedFigure, "tested in twelve months", ShareWords(f.Tested.Share)},
		{FailedFigure, "points whose last test was not passed", n(f.Tested.Failed)},
		{ReadFigure, "points read in twelve months", n(f.Read)},
		{SignalsFigure, "fire signals in twelve months", n(f.Signals.Signals)},
		{FalseFigure, "false alarms in twelve months", f.falseAlarms()},
		{AttendedFigure, "of these attended by the fire service", n(f.Signals.Attended)},
		{FiresFigure, "real fires in twelve months", n(f.Signals.Fires)},
		{TestSignalsFigure, "test signals in twelve months", n(f.Signals.Tests)},
		{AskedFigure, "alarms of which nobody said whether they were tests", n(f.Signals.Asked)},
		{DefectsFigure, "defects not closed", f.defects()},
		{NextDueFigure, "next due", f.Next.String()},
		{UserNextFigure, "user's next test", userNext(f.Next)},
	}
}

// Of gives one figure.
func (f *Figures) Of(key FigureKey) Figure {
	for _, figure := range f.List() {
		if figure.Key == key {
			return figure
		}
	}
	return Figure{}
}

// ShareWords says a share in both numbers and per cent.
func ShareWords(s count.Share) string {
	if !s.Known() {
		return "no points"
	}
	return fmt.Sprintf("%d of %d, %d.%d %%", s.N, s.Of, s.Tenths()/10, s.Tenths()%10)
}

func (f *Figures) detectors() string {
	if f.Points.KindUnknown == 0 {
		return fmt.Sprint(f.Points.Detectors)
	}
	return fmt.Sprintf("%d; kind not known: %d", f.Points.Detectors, f.Points.KindUnknown)
}

func (f *Figures) falseAlarms() string {
	incidents := "incidents"
	if f.Signals.Incidents == 1 {
		incidents = "incident"
	}
	return fmt.Sprintf("%d in %d %s", f.Signals.False, f.Signals.Incidents, incidents)
}

func (f *Figures) defects() string {
	d := f.Defects
	if d.NotClosed() == 0 {
		return "none"
	}
	return fmt.Sprintf("%d: %d open, %d mended and not retested", d.NotClosed(), d.Open, d.Mended)
}

func userNext(n visit.Next) string {
	if !n.User.Known() {
		return "no day is known"
	}
	return n.User.String()
}

// UndatedWords names what is due without anybody knowing by when; "" where all has
// a day.
func UndatedWords(n visit.Next) string { return strings.Join(n.Undated, ", ") }
