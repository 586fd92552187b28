package chart

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"
)

// ruler reads a scale off the words of an axis: it knows where two of them stand.
type ruler struct{ v0, at0, v1, at1 float64 }

func (r ruler) at(v float64) float64 { return r.at0 + (v-r.v0)/(r.v1-r.v0)*(r.at1-r.at0) }

// rulers reads both scales of a picture with dates, from its labels and its ticks
// as a reader would.
func rulers(t *testing.T, root node) (dates, values ruler) {
	t.Helper()
	var days, numbers []XY // X the value, Y the place
	for _, label := range root.all("text", "label") {
		words, _, _ := strings.Cut(label.Text, " ")
		for _, layout := range []string{"2006-01-02", "2006-01", "2006"} {
			if at, err := time.Parse(layout, words); err == nil && label.attr("text-anchor") == "middle" {
				days = append(days, XY{float64(at.Unix()), label.number(t, "x")})
			}
		}
		if v, err := strconv.ParseFloat(words, 64); err == nil && label.attr("text-anchor") == "end" {
			numbers = append(numbers, XY{v, label.number(t, "y") - 15*0.27}) // 0.27 lines from the middle of letters to their foot
		}
	}
	if len(days) < 2 || len(numbers) < 2 {
		t.Fatalf("%d dates and %d numbers", len(days), len(numbers))
	}
	d, n := days[len(days)-1], numbers[len(numbers)-1]
	return ruler{days[0].X, days[0].Y, d.X, d.Y}, ruler{numbers[0].X, numbers[0].Y, n.X, n.Y}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 0.05 { // two decimals, over the length of a scale
		t.Errorf("%s at %v, want %v", what, got, want)
	}
}

// TestHistoryPlaces: what is drawn stands where the words of the axes say.
func TestHistoryPlaces(t *testing.T) {
	h := sampleHistory()
	root := parsed(t, h.Picture())
	dates, values := rulers(t, root)
	circles := root.all("circle", "value")
	used := 0
	for _, r := range h.Readings {
		if r.LeftOut {
			continue
		}
		near(t, "reading, across", circles[used].number(t, "cx"), dates.at(float64(r.At.Unix())))
		near(t, "reading, upright", circles[used].number(t, "cy"), values.at(r.Value))
		used++
	}
	if used+1 != len(circles) { // one is in the key
		t.Errorf("%d circles for %d readings", len(circles), used)
	}
	band := root.all("rect", "band")[0]
	near(t, "band's upper limit", band.number(t, "y"), values.at(40))
	near(t, "band's lower limit", band.number(t, "y")+band.number(t, "height"), values.at(20))
	for i, line := range root.all("polyline", "reset") {
		near(t, "reset", line.pairs(t)[0].X, dates.at(float64(h.Resets[i].At.Unix())))
	}
	median := root.all("polyline", "median")[0].pairs(t)
	for i, a := range h.Forecast.Fan {
		near(t, "median", median[i].Y, values.at(a.Median))
	}
	whisker := root.all("polyline", "whisker")[0].pairs(t)
	near(t, "whisker's upper end", whisker[0].Y, values.at(h.Readings[3].Value+3))
	near(t, "whisker's lower end", whisker[1].Y, values.at(h.Readings[3].Value-3))
}

// The line breaks at a reset and skips what was left out. A reading a quarter from
// 2021-03-02 on makes thirteen until the cleaning of 2024-05-10, less one, and nine
// after it, less one.
func TestHistoryCourse(t *testing.T) {
	root := parsed(t, sampleHistory().Picture())
	lines := root.all("polyline", "course")
	if len(lines) != 2 || len(lines[0].pairs(t)) != 12 || len(lines[1].pairs(t)) != 8 {
		for _, l := range lines {
			t.Logf("%d places", len(l.pairs(t)))
		}
		t.Errorf("%d lines, want two of 12 and 8 places", len(lines))
	}
}

// A reading that was left out does not press the others flat: it is put at the
// edge, its value told.
func TestHistoryLeftOut(t *testing.T) {
	root := parsed(t, sampleHistory().Picture())
	_, values := rulers(t, root)
	if top := values.at(60); top > 40 {
		t.Errorf("the scale reaches beyond 60, at %v", top)
	}
	told := false
	for _, title := range root.all("title", "") {
		told = told || strings.Contains(title.Text, "255 counts, spread 0.8, left out")
	}
	if !told {
		t.Error("the value 255 is told nowhere")
	}
}

func TestHistoryWords(t *testing.T) {
	p := sampleHistory().Picture()
	for _, want := range []string{"22 readings from 2021-03-02 to 2026-06-02", "inside the band from 20 to 40 counts", "earliest 2027-02-11, likely 2027-11-20, latest 2029-06-01"} {
		if !strings.Contains(p.Desc, want) {
			t.Errorf("no %q in %q", want, p.Desc)
		}
	}
	if len(p.Table.Rows) != 22+2+2+3 {
		t.Errorf("%d rows", len(p.Table.Rows))
	}
}

// What is dated long before the first reading, as "since always" is, does not
// stretch the axis.
func TestHistoryLongAgo(t *testing.T) {
	h := sampleHistory()
	h.Resets = append(h.Resets, Happened{day("1970-01-01"), Fitted, "fitted"})
	root := parsed(t, h.Picture())
	if dates, _ := rulers(t, root); dates.at(float64(day("2020-01-01").Unix())) > 60 {
		t.Error("the axis begins before 2020")
	}
	if n := len(root.all("polyline", "reset")); n != 2 {
		t.Errorf("%d resets drawn", n)
	}
}

// Bands that held one after the other are each drawn over their time.
func TestHistoryBands(t *testing.T) {
	h := sampleHistory()
	h.Bands = append(h.Bands, Span{Low: 22, High: 44, Since: day("2025-01-01")})
	root := parsed(t, h.Picture())
	dates, values := rulers(t, root)
	bands := root.all("rect", "band")
	if len(bands) != 2 {
		t.Fatalf("%d bands", len(bands))
	}
	change := dates.at(float64(day("2025-01-01").Unix()))
	near(t, "end of the first", bands[0].number(t, "x")+bands[0].number(t, "width"), change)
	near(t, "begin of the second", bands[1].number(t, "x"), change)
	near(t, "its limit", bands[1].number(t, "y"), values.at(44))
}

// A band of one limit is shaded from that limit to the edge, and only that limit is drawn, numbered and told.
func TestHistoryOfOneLimit(t *testing.T) {
	for _, c := range []struct {
		band        Span
		limit       float64
		words, side string
	}{
		{Span{Low: math.Inf(-1), High: 40}, 40, "the band up to 40 counts", "below"},
		{Span{Low: 20, High: math.Inf(1)}, 20, "the band from 20 counts up", "above"},
	} {
		h := sampleHistory()
		h.Bands = []Span{c.band}
		picture := h.Picture()
		root := parsed(t, picture)
		_, values := rulers(t, root)
		bands, limits := root.all("rect", "band"), root.all("polyline", "limit")
		if len(bands) != 1 || len(limits) != 1 || !strings.Contains(picture.Desc, c.words) {
			t.Fatalf("%d bands, %d limits, %q", len(bands), len(limits), picture.Desc)
		}
		top := bands[0].number(t, "y")
		if c.side == "above" {
			near(t, "foot of the band", top+bands[0].number(t, "height"), values.at(c.limit))
		} else {
			near(t, "head of the band", top, values.at(c.limit))
		}
		if height := bands[0].number(t, "height"); height <= 1 {
			t.Errorf("the band is %v high", height)
		}
	}
}
