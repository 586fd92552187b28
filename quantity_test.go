package sootline_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"sootline"
)

// sheetOfThree has a resting value in counts, a share and a sensitivity.
func sheetOfThree() *sootline.TypeSheet {
	return &sootline.TypeSheet{
		Name: "Larch", Quantity: "resting value", Unit: "counts",
		Others: []sootline.Quantity{{Name: "compensation used", Unit: "%"}, {Name: "sensitivity", Unit: "%/ft"}},
	}
}

// Pairs of one figure in three scales: facts on obscuration, computed apart from
// this module by the relations of UL 268, NFPA 72 Annex B and the SFPE Handbook (from memory); the pair
// 4.0 %/ft and 12.5 %/m is printed in UL 268 (from memory). Tolerance: half of
// the last digit given.
func TestSettle(t *testing.T) {
	for _, c := range []struct {
		label, name string
		read, want  float64
		tolerance   float64
		known       bool
	}{
		{"resting value", "", 25, 25, 0, true},
		{"Resting  Value (counts)", "", 25, 25, 0, true},
		{"counts", "", 25, 25, 0, true},
		{"compensation used", "compensation used", 40, 40, 0, true},
		{"%", "compensation used", 40, 40, 0, true},
		{"sensitivity (%/ft)", "sensitivity", 2, 2, 0, true},
		{"sensitivity", "sensitivity", 2, 2, 0, true},
		{"sensitivity (%/m)", "sensitivity", 6.4133, 2, 0.5e-4, true},
		{"%/m", "sensitivity", 12.5, 3.9883, 0.5e-4, true},
		{"dB/m", "sensitivity", 0.24, 1.6703, 0.5e-4, true},
		{"sensitivity (dB/m)", "sensitivity", 1, 6.7777, 0.5e-4, true},
		{"%/m", "%/m", 120, 120, 0, false}, // no smoke dims all of the light and more
		{"sensitivity (%)", "sensitivity (%)", 2, 2, 0, false},
		{"temperature", "temperature", 21, 21, 0, false},
	} {
		written := []float64{c.read}
		reading := sootline.Reading{Samples: written, Quantity: c.label}
		if known := sheetOfThree().Settle(&reading); known != c.known || reading.Quantity != c.name {
			t.Errorf("%q is %q, known %t; want %q, %t", c.label, reading.Quantity, known, c.name, c.known)
		}
		if got := reading.Samples[0]; math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%v of %q is %v, want %v", c.read, c.label, got, c.want)
		}
		if written[0] != c.read {
			t.Errorf("the samples as written changed to %v", written[0])
		}
	}
}

// A unit that two quantities share names neither of them, and a sheet that says
// nothing of its value takes bare counts as its own, and nothing else.
func TestSettleDoubt(t *testing.T) {
	two := &sootline.TypeSheet{Name: "Larch", Unit: "counts", Others: []sootline.Quantity{{Name: "a", Unit: "%"}, {Name: "b", Unit: "%"}}}
	silent := &sootline.TypeSheet{Name: "Larch"}
	for _, c := range []struct {
		sheet *sootline.TypeSheet
		label string
		known bool
	}{{two, "%", false}, {two, "b (%)", true}, {silent, "counts", true}, {silent, "%/ft", false}, {nil, "counts", false}} {
		reading := sootline.Reading{Samples: []float64{2}, Quantity: c.label}
		if known := c.sheet.Settle(&reading); known != c.known {
			t.Errorf("%q known: %t, want %t", c.label, known, c.known)
		}
	}
}

// A register tells readings in the unit of the sheet, whichever came first; the
// entry holds what was read.
func TestFoldSettles(t *testing.T) {
	at := time.Date(2025, 4, 1, 9, 0, 0, 0, time.UTC)
	site, point := sootline.DerivedID(at, []byte("site")), sootline.DerivedID(at, []byte("point"))
	entry := func(name string, at time.Time, point sootline.ID, body sootline.Body) sootline.Entry {
		return sootline.Entry{ID: sootline.DerivedID(at, []byte(name)), Site: site, At: at, Noted: at, Point: point, Body: body}
	}
	r := sootline.Fold([]sootline.Entry{
		entry("fitted", sootline.LongAgo, point, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}, Type: "larch"}),
		entry("read", at, point, sootline.Read{Samples: []float64{6.4133}, Quantity: "%/m"}),
		entry("sheet", at.Add(time.Hour), sootline.ID{}, sootline.Sheet{TypeSheet: *sheetOfThree()}),
	}, at.AddDate(1, 0, 0))
	reading := r.Points()[0].Readings[0]
	if reading.Quantity != "sensitivity" || math.Abs(reading.Samples[0]-2) > 0.5e-4 {
		t.Errorf("the register reads %v of %q, want 2 of sensitivity", reading.Samples, reading.Quantity)
	}
	if read := reading.Entry.Body.(sootline.Read); read.Quantity != "%/m" || read.Samples[0] != 6.4133 {
		t.Errorf("the entry reads %v of %q", read.Samples, read.Quantity)
	}
}

func TestSheetChecksQuantities(t *testing.T) {
	for says, spoil := range map[string]func(*sootline.TypeSheet){
		"":                        func(*sootline.TypeSheet) {},
		"needs a name":            func(s *sootline.TypeSheet) { s.Others[0].Name = " " },
		"is there twice":          func(s *sootline.TypeSheet) { s.Others[0].Name = "Sensitivity" },
		"up or down":              func(s *sootline.TypeSheet) { s.Others[1].Worse = "sideways" },
		"moves a value":           func(s *sootline.TypeSheet) { s.Worse = "left" },
		"is not below":            func(s *sootline.TypeSheet) { s.Others[1].Bands = []sootline.Band{{Low: new(4.0), High: new(1.0)}} },
		"pooled sd is a number":   func(s *sootline.TypeSheet) { s.Others[1].PooledSD = new(-1.0) },
		"rest of a clean unit is": func(s *sootline.TypeSheet) { s.Others[1].Rest = new(math.NaN()) },
	} {
		sheet := sheetOfThree()
		spoil(sheet)
		switch err := sheet.Check(); {
		case says == "" && err != nil, says != "" && (err == nil || !strings.Contains(err.Error(), says)):
			t.Errorf("%v, want %q", err, says)
		}
	}
}

// A sheet of a log that knew one quantity reads as ever, and is written the same.
func TestOlderSheet(t *testing.T) {
	raw := `{"name":"Larch","device":"smoke","quantity":"counts","bands":[{"low":20,"high":40}],"compensated":true}`
	body, err := sootline.DecodeBody(sootline.SheetKind, []byte(raw))
	if err != nil {
		t.Fatal(err)
	}
	e := sootline.Entry{Body: body}
	line, err := sootline.AppendLine(nil, &e)
	if err != nil || !strings.Contains(string(line), `"body":`+raw+`,"hash"`) {
		t.Errorf("written anew as %s (%v)", line, err)
	}
}

// 08:00 on 2 April 2025 in Auckland, at UTC+13, is 19:00 of the day before in UTC.
func TestRegisterInZone(t *testing.T) {
	zone, err := time.LoadLocation("Pacific/Auckland")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2025, 4, 1, 19, 0, 0, 0, time.UTC)
	point := sootline.DerivedID(at, []byte("point"))
	r := sootline.Fold([]sootline.Entry{
		{ID: sootline.DerivedID(at, []byte("a")), At: at, Point: point, Body: sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}, Type: "Larch"}},
		{ID: sootline.DerivedID(at, []byte("b")), At: at, Point: point, Body: sootline.Read{Samples: []float64{25}}},
		{ID: sootline.DerivedID(at, []byte("c")), At: at, Point: point, Body: sootline.Disabled{}},
	}, at)
	r.In(zone)
	p := r.Points()[0]
	for name, x := range map[string]time.Time{"read": p.Readings[0].At, "reset": p.LastReset().At, "since": p.UnitSince, "disabled": p.Disabled.At, "last": r.Last} {
		if got := x.Format("2006-01-02 15:04"); got != "2025-04-02 08:00" || !x.Equal(at) {
			t.Errorf("%s: %s", name, got)
		}
	}
	if entry := p.Readings[0].Entry; !entry.At.Equal(at) || entry.At.Location() != time.UTC {
		t.Errorf("the entry changed to %v", entry.At)
	}
}
