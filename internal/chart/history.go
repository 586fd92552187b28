package chart

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// History is what is known of one point over time.
type History struct {
	Point    string // as people call it, 1.2.073
	Unit     string // of the values; nothing for a bare number
	Zone     *time.Location
	AsOf     time.Time // the day as of which is told; zero: none is marked
	Readings []Reading // in any order
	Bands    []Span    // the bands that held, one after the other; of the last one the limits are numbered
	Resets   []Happened
	Events   []Happened // anything else
	Forecast *Forecast
}

// Reading is one look at a value.
type Reading struct {
	At      time.Time
	Value   float64
	Spread  float64 // standard deviation; 0: not known
	LeftOut bool    // not used for the drift
}

// Span is a band, inclusive at both ends.
type Span struct {
	Low, High float64   // infinite: there is no limit on that side
	Since     time.Time // zero: always
}

// limits are the ends that there are, the high one first.
func (b Span) limits() []float64 {
	return slices.DeleteFunc([]float64{b.High, b.Low}, func(v float64) bool { return math.IsInf(v, 0) })
}

// isDrawable: it has a limit, and no end that no device gives.
func (b Span) isDrawable() bool {
	limits := b.limits()
	return len(limits) > 0 && b.Low <= b.High && !slices.ContainsFunc(limits, func(v float64) bool { return !drawable(v) })
}

// reaches says where a band lies: both says it of one with two limits.
func (h History) reaches(b Span, both string) string {
	switch {
	case math.IsInf(b.Low, 0):
		return "up to " + h.value(b.High)
	case math.IsInf(b.High, 0):
		return "from " + h.value(b.Low) + " up"
	}
	return both + plain(b.Low) + " to " + h.value(b.High)
}

// Happened is a day on which something was done or happened.
type Happened struct {
	At     time.Time
	Letter string // of a reset: one letter, as C for cleaned
	Words  string
}

// Letters of the resets.
const (
	Cleaned  = "C"
	Replaced = "R"
	Fitted   = "F"
	Rebased  = "B"
)

// Forecast is what a value is expected to do.
type Forecast struct {
	Fan                      []FanAt // in order of time
	Limit                    float64 // that the days are about
	Earliest, Likely, Latest time.Time
	Say                      func(time.Time) string // writes such a day as finely as it is known; nil: as a day
}

// FanAt is a forecast at an instant: its middle, and between what it lies with 50
// and with 90 %.
type FanAt struct {
	At                           time.Time
	Median                       float64
	Low50, High50, Low90, High90 float64
}

// Picture draws the history.
func (h History) Picture() *Picture {
	h = h.tidy()
	title := "Readings of " + h.Point
	if len(h.Readings) == 0 {
		return blank(title, "No reading of "+h.Point+" yet.", h.table())
	}
	d := &historyDrawing{History: h}
	d.spans()
	return newPicture(title, h.describe(), h.table(), sketch{
		lines: func(m Medium) int { return 19 + len(keyRows(m, d.key())) },
		draw:  d.draw,
	})
}

// tidy sorts by time, and leaves out what no device gives.
func (h History) tidy() History {
	if h.Zone == nil {
		h.Zone = time.UTC
	}
	h.Readings = slices.DeleteFunc(slices.Clone(h.Readings), func(r Reading) bool { return !drawable(r.Value) || !datable(r.At) })
	slices.SortStableFunc(h.Readings, func(a, b Reading) int { return a.At.Compare(b.At) })
	h.Bands = slices.DeleteFunc(slices.Clone(h.Bands), func(b Span) bool { return !b.isDrawable() })
	slices.SortStableFunc(h.Bands, func(a, b Span) int { return a.Since.Compare(b.Since) })
	byDay := func(a, b Happened) int { return a.At.Compare(b.At) }
	undated := func(e Happened) bool { return !datable(e.At) }
	h.Resets = slices.SortedStableFunc(slices.Values(slices.DeleteFunc(slices.Clone(h.Resets), undated)), byDay)
	h.Events = slices.SortedStableFunc(slices.Values(slices.DeleteFunc(slices.Clone(h.Events), undated)), byDay)
	if h.Forecast != nil {
		h.Forecast = h.Forecast.tidy()
	}
	return h
}

func (f *Forecast) tidy() *Forecast {
	copied := *f
	copied.Fan = slices.DeleteFunc(slices.Clone(f.Fan), func(a FanAt) bool {
		return !datable(a.At) || !drawable(a.Median) || !drawable(a.Low50) || !drawable(a.High50) || !drawable(a.Low90) || !drawable(a.High90)
	})
	slices.SortStableFunc(copied.Fan, func(a, b FanAt) int { return a.At.Compare(b.At) })
	return &copied
}

func (h History) day(t time.Time) string { return t.In(h.Zone).Format("2006-01-02") }

// ahead writes a day of the forecast.
func (h History) ahead(t time.Time) string {
	if h.Forecast.Say == nil {
		return h.day(t)
	}
	return h.Forecast.Say(t)
}

func (h History) value(v float64) string {
	if h.Unit == "" {
		return plain(v)
	}
	return plain(v) + " " + h.Unit
}

// band is the band that holds last.
func (h History) band() (Span, bool) {
	if len(h.Bands) == 0 {
		return Span{}, false
	}
	return h.Bands[len(h.Bands)-1], true
}

func (h History) describe() string {
	first, last := h.Readings[0], h.Readings[len(h.Readings)-1]
	words := fmt.Sprintf("%s from %s to %s; the last is %s", counted(len(h.Readings), "reading", "readings"), h.day(first.At), h.day(last.At), h.value(last.Value))
	if b, known := h.band(); known {
		where := "inside"
		switch {
		case last.Value < b.Low:
			where = "below"
		case last.Value > b.High:
			where = "above"
		}
		words += ", " + where + " the band " + h.reaches(b, "from ")
	}
	return words + "." + h.leaving()
}

// leaving tells the days on which the forecast meets the limit.
func (h History) leaving() string {
	f := h.Forecast
	if f == nil {
		return ""
	}
	var days []string
	for _, d := range f.days() {
		days = append(days, d.words+" "+h.ahead(d.at))
	}
	if len(days) == 0 {
		return ""
	}
	return " It meets " + h.value(f.Limit) + " " + strings.Join(days, ", ") + "."
}

type leavingDay struct {
	at    time.Time
	words string
	form  Form
}

// days are the days of leaving that are known.
func (f *Forecast) days() []leavingDay {
	all := []leavingDay{{f.Earliest, "earliest", Left}, {f.Likely, "likely", Diamond}, {f.Latest, "latest", Right}}
	return slices.DeleteFunc(all, func(d leavingDay) bool { return !datable(d.at) })
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// table lists readings, resets and events in order of time, and the days of
// leaving.
func (h History) table() Table {
	type row struct {
		at    time.Time
		cells []string
	}
	rows := make([]row, 0, len(h.Readings)+len(h.Resets)+len(h.Events)+3)
	for _, r := range h.Readings {
		spread, note := "", ""
		if r.Spread > 0 {
			spread = plain(r.Spread)
		}
		if r.LeftOut {
			note = "left out"
		}
		rows = append(rows, row{r.At, []string{h.day(r.At), "reading", h.value(r.Value), spread, note}})
	}
	for _, r := range h.Resets {
		rows = append(rows, row{r.At, []string{h.day(r.At), cmp.Or(r.Words, r.Letter), "", "", "drift starts afresh"}})
	}
	for _, e := range h.Events {
		rows = append(rows, row{e.At, []string{h.day(e.At), e.Words, "", "", ""}})
	}
	if h.Forecast != nil {
		for _, d := range h.Forecast.days() {
			rows = append(rows, row{d.at, []string{h.ahead(d.at), "meets the limit, " + d.words, h.value(h.Forecast.Limit), "", "forecast"}})
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int { return a.at.Compare(b.at) })
	t := Table{Head: []string{"day", "what", "value", "spread", "note"}, Rows: make([][]string, 0, len(rows))}
	for _, r := range rows {
		t.Rows = append(t.Rows, r.cells)
	}
	return t
}
