package chart

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func day(text string) time.Time {
	t, err := time.Parse("2006-01-02", text)
	if err != nil {
		panic(err)
	}
	return t
}

// samples are invented pictures that between them use every class.
func samples() map[string]*Picture {
	all := map[string]*Picture{
		"history":      sampleHistory().Picture(),
		"history-one":  History{Point: "1.1.001", Readings: []Reading{{At: day("2026-01-05"), Value: 30}}}.Picture(),
		"history-none": History{Point: "1.1.001"}.Picture(),
		"history-long": longHistory(10000).Picture(),
		"profile":      sampleProfile().Picture(),
		"shares":       sampleShares().Picture(),
		"counts":       sampleCounts().Picture(),
		"intervals":    sampleIntervals().Picture(),
	}
	for name, card := range sampleCards() {
		all["card-"+name] = card.Picture()
	}
	for _, n := range []int{250, 126, 10, 1, 0} {
		all[fmt.Sprintf("ring-%d", n)] = sampleRing(n).Picture()
	}
	for name, p := range all {
		p.ID = name
	}
	return all
}

func sampleHistory() History {
	h := History{
		Point: "1.2.073", Unit: "counts", AsOf: day("2026-09-01"), Bands: []Span{{Low: 20, High: 40}},
		Resets: []Happened{{day("2021-03-01"), Fitted, "fitted"}, {day("2024-05-10"), Cleaned, "cleaned"}},
		Events: []Happened{{At: day("2023-02-01"), Words: "alarm, unwanted"}, {At: day("2025-11-01"), Words: "fault"}},
	}
	for i := range 22 {
		spread := 0.8
		if i == 3 {
			spread = 3
		}
		h.Readings = append(h.Readings, Reading{day("2021-03-02").AddDate(0, 3*i, 0), 24 + 0.9*float64(i%13) + math.Sin(float64(i*7)), spread, false})
	}
	h.Readings[9].LeftOut, h.Readings[9].Value = true, 255
	h.Readings[17].LeftOut, h.Readings[17].Value = true, 22
	h.Forecast = &Forecast{Limit: 40, Earliest: day("2027-02-11"), Likely: day("2027-11-20"), Latest: day("2029-06-01")}
	for i := range 30 {
		middle, sd := 33+0.375*float64(i), 0.8+0.1*float64(i)
		h.Forecast.Fan = append(h.Forecast.Fan, FanAt{day("2026-06-01").AddDate(0, i, 0), middle, middle - 0.67*sd, middle + 0.67*sd, middle - 1.64*sd, middle + 1.64*sd})
	}
	return h
}

// longHistory has a reading an hour, and one peak.
func longHistory(n int) History {
	h := History{Point: "1.1.002", Bands: []Span{{Low: 20, High: 40}}}
	for i := range n {
		h.Readings = append(h.Readings, Reading{At: day("2025-01-01").Add(time.Duration(i) * time.Hour), Value: 30 + 5*math.Sin(float64(i)/500) + math.Sin(float64(i)*1.7)})
	}
	h.Readings[n/3].Value = 39
	return h
}

func sampleProfile() Profile {
	pr := Profile{Title: "volts along the loop, from OUT to IN", Metres: 430, Series: []ProfileRun{{Name: "healthy"}, {Name: "a break between OUT and 1.1.001"}}}
	for i, m := range []float64{20, 25, 55, 115, 125, 205, 325, 340} {
		name := fmt.Sprintf("1.1.%03d", i+1)
		pr.Series[0].At = append(pr.Series[0].At, ProfileAt{m, 23.95 - 0.3*math.Sin(m/430*math.Pi), name, false})
		pr.Series[1].At = append(pr.Series[1].At, ProfileAt{m, 21.45 + 2*(m/430), name, i == 4})
		pr.Least = append(pr.Least, ProfileAt{m, 17 + float64(i%2), name, false})
	}
	return pr
}

func sampleRing(n int) Ring {
	kinds := []Kind{Smoke, Smoke, Smoke, Heat, Smoke, Multi, Smoke, CallPoint, Sounder, Smoke, Module, Smoke, Beacon, Gas, Flame, Other}
	r := Ring{Title: fmt.Sprintf("Loop 1.2 as a ring, %d points", n)}
	for i := range n {
		p := RingPoint{
			Label: fmt.Sprintf("%03d", i+1), Title: fmt.Sprintf("1.2.%03d in the corridor: inside, 34.2 of 20 to 40", i+1),
			Href: fmt.Sprintf("/sites/mill/points/1.2.%03d", i+1), Kind: kinds[i*7%len(kinds)], Standing: StandsGood,
		}
		switch {
		case i%20 == 10:
			p.Kind = IsolatorKind
		case i%20 == 19:
			p.Isolator = true
		case i%31 == 5:
			p.Standing = StandsOut
		case i%17 == 3:
			p.Standing = StandsSoon
		case i%29 == 4:
			p.Standing = StandsUnknown
		}
		if i%40 > 33 && i%40 < 38 {
			p.Spur = "a"
		}
		r.Points = append(r.Points, p)
	}
	return r
}

func sampleShares() Shares {
	s := Shares{Title: "Points inside their band", Names: []string{"inside", "outside", "no band", "never read"}}
	for i := range 24 {
		s.At = append(s.At, SharesAt{day("2024-01-01").AddDate(0, i, 0), []int{60 + 2*i, 10 - i/4, 8, 60 - 2*i}})
	}
	return s
}

func sampleCounts() Counts {
	c := Counts{Title: "Alarms a month", Names: []string{"unwanted", "real"}}
	for i := range 26 {
		c.Months = append(c.Months, Month{day("2024-03-01").AddDate(0, i, 0), []int{(i * 7) % 5, (i % 11) / 10}})
	}
	return c
}

func sampleIntervals() Intervals {
	return Intervals{
		Title: "Unwanted alarms", Unit: "a year for 100 detectors", Limits: []RateLimit{{"look into it", 1}, {"act", 2.5}},
		Rows: []Interval{
			{"whole site", 0.6, 0.9, 1.4, "12 in 3.1 years", "/sites/mill"},
			{"Kitchen", 2.8, 4, 6.1, "8 in 3.1 years", ""},
			{"Hall", 0.1, 0.4, 0.8, "1 in 3.1 years", ""},
			{"Store", 0, 0, 3.2, "none in 1 year", ""},
		},
	}
}

// TestLook writes the pictures for people to look at, into the folder that
// SOOTLINE_LOOK names: how a picture looks no test can tell.
func TestLook(t *testing.T) {
	folder := os.Getenv("SOOTLINE_LOOK")
	if folder == "" {
		t.Skip("SOOTLINE_LOOK names no folder")
	}
	for name, p := range samples() {
		for form, q := range map[string]*Picture{"": p, "-phone": p.For(Phone())} {
			q.ID = name + form
			if err := os.WriteFile(filepath.Join(folder, name+form+".svg"), []byte(svgOf(t, q)), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.WriteFile(filepath.Join(folder, name+".txt"), []byte(p.Text(80)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
