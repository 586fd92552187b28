package levels_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

var now = time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC)

func day(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 9, 0, 0, 0, time.UTC)
}

// planted is a site of six points with the band 10 to 50, and answers whose score is computed by hand below.
//
//	point  level     truth                  readings  verdict  chance  dates            action
//	0      60        outside                2         outside  0.95    -                leave
//	1      52        outside                1         inside   0.25    -                clean
//	2      30, 40    leaves 2026-03-01      2         outside  0.75    February..April  clean
//	3      30        never leaves, healthy  2         outside  0.55    2027..2030       clean now
//	4      30        never leaves, healthy  0         inside   none    2029.., no end   leave
//	5      30        never leaves, healthy  2         no answer
func planted(t *testing.T) (levels.Site, []levels.Answer) {
	t.Helper()
	low, high := 10.0, 50.0
	book := levels.NewBook(7, day(2020, 1, 1), sootline.Opened{Name: "Planted"})
	book.Write(levels.Line{At: day(2020, 1, 1), Body: sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "P1", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: &low, High: &high}},
	}}})
	site := levels.Site{Scenario: "planted", Now: now, NextVisit: day(2026, 7, 1)}
	rows := []struct {
		level    float64
		readings int
	}{{60, 2}, {52, 1}, {30, 2}, {30, 2}, {30, 0}, {30, 2}}
	for _, row := range rows {
		id := book.Point(day(2020, 1, 2))
		book.Write(levels.Line{At: day(2020, 1, 2), Point: id, Body: sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}, Type: "P1"}})
		for k := range row.readings {
			book.Write(levels.Line{At: day(2024+k, 6, 1), Point: id, Body: sootline.Read{Samples: []float64{row.level}}})
		}
		site.Points = append(site.Points, levels.Truth{Point: id, Level: func(time.Time) float64 { return row.level }, Wants: levels.Leave})
	}
	entries, err := book.Entries()
	if err != nil {
		t.Fatal(err)
	}
	site.Entries = entries
	return tell(site)
}

func tell(site levels.Site) (levels.Site, []levels.Answer) {
	p := site.Points
	p[0].Outside, p[0].OutsideByNext, p[0].Leaves, p[0].Wants = true, true, now, levels.CleanNow
	p[1].Outside, p[1].OutsideByNext, p[1].Leaves, p[1].Wants = true, true, now, levels.CleanNow
	p[2].OutsideByNext, p[2].Leaves, p[2].Wants = true, day(2026, 3, 1), levels.Clean
	for i := 3; i < 6; i++ {
		p[i].Healthy = true
	}
	p[0].Events = []levels.Happened{{Kind: levels.HalfCleaned, Day: day(2024, 7, 1)}, {Kind: levels.Swapped, Day: day(2024, 8, 1), Noted: true}}
	p[2].Events = []levels.Happened{{Kind: levels.Stuck, Day: day(2024, 1, 1)}, {Kind: levels.Slip, Day: day(2024, 6, 1)}}
	return site, []levels.Answer{
		{Point: p[0].Point, Outside: true, Chance: 0.95, Action: levels.Leave, Questions: []levels.Question{
			{Kind: levels.Cleaned, Day: day(2025, 6, 1)}, // right: between the same two readings
			{Kind: levels.Swapped, Day: day(2024, 8, 1)}, // wrong: the log tells of it
			{Kind: levels.Cleaned, Day: day(2024, 7, 1)}, // wrong: that cleaning was asked about already
		}},
		{Point: p[1].Point, Chance: 0.25, Action: levels.Clean},
		{
			Point: p[2].Point, Outside: true, Chance: 0.75, Earliest: day(2026, 2, 1), Latest: day(2026, 4, 1), Action: levels.Clean,
			Questions: []levels.Question{
				{Kind: levels.Stuck, Day: day(2025, 12, 1)},    // right: it lasts
				{Kind: levels.Neighbour, Day: day(2023, 1, 1)}, // right: no reading lies between
			},
		},
		{Point: p[3].Point, Outside: true, Chance: 0.55, Earliest: day(2027, 1, 1), Latest: day(2030, 1, 1), Action: levels.CleanNow},
		{Point: p[4].Point, Chance: levels.Unstated(), Earliest: day(2029, 1, 1), Action: levels.Leave},
		{Point: p[4].Point, Chance: 1, Outside: true},
		{Point: sootline.ID{1}},
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9 && !(math.IsNaN(got) && math.IsNaN(want)) {
		t.Errorf("%s is %v, by hand %v", what, got, want)
	}
}

func equal[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s is %v, by hand %v", what, got, want)
	}
}

func TestPlantedAnswersScoreAsByHand(t *testing.T) {
	site, answers := planted(t)
	r := levels.Score(&site, answers)
	equal(t, "points", r.Points, 6)
	equal(t, "missing", r.Missing, 1)
	equal(t, "strange", r.Strange, 2)
	near(t, "recall", r.All.Recall(), 2.0/3)       // 0 and 2 of 0, 1, 2
	near(t, "precision", r.All.Precision(), 2.0/3) // of 0, 2, 3
	near(t, "Brier", r.All.Brier(), (0.05*0.05+0.75*0.75+0.25*0.25+0.55*0.55+0.25+0.25)/6)
	equal(t, "unstated", r.All.Unstated, 2)
	equal(t, "dated", r.All.Dated, 3) // 2, 3, 4
	equal(t, "undated", r.All.Undated, 1)
	near(t, "coverage", r.All.Coverage(), 2.0/3) // 3 was said to leave by 2030
	equal(t, "too early", r.All.TooEarly, 1)
	near(t, "width", r.All.Width(), 1096/365.25) // of 59 days, 1096, and to the horizon
	near(t, "recall, one reading", r.ByReadings[1].Recall(), 0)
	near(t, "recall, two readings", r.ByReadings[2].Recall(), 1)
	equal(t, "points never read", r.ByReadings[0].Points, 1)
	equal(t, "chances of 0.9 and more", r.Calibration[9], levels.Bin{Points: 1, Happened: 1, Stated: 0.95})
	equal(t, "chances of 0.5", r.Calibration[5], levels.Bin{Points: 1, Happened: 0, Stated: 0.55})
	equal(t, "cleaned", *r.Questions[levels.Cleaned], levels.Asked{Asked: 2, Right: 1})
	equal(t, "half-cleaned", *r.Questions[levels.HalfCleaned], levels.Asked{Unwritten: 1, Found: 1})
	equal(t, "swapped", *r.Questions[levels.Swapped], levels.Asked{Asked: 1})
	equal(t, "stuck", *r.Questions[levels.Stuck], levels.Asked{Asked: 1, Right: 1, Unwritten: 1, Found: 1})
	equal(t, "slip", *r.Questions[levels.Slip], levels.Asked{Unwritten: 1, Found: 1})
	equal(t, "healthy", r.Healthy, 3)
	equal(t, "healthy, clean now", r.HealthyActions[levels.CleanNow], 1)
	equal(t, "clearly outside", r.ClearlyOutside, 1) // 52 is not: a tenth of the band is 4
	equal(t, "of these left", r.ClearlyLeft, 1)
	equal(t, "clean now wanted, leave given", r.Actions[levels.Advice{Wants: levels.CleanNow, Given: levels.Leave}], 1)
}

// Leaving before the earliest day, and the day on which a bound falls.
func TestDates(t *testing.T) {
	site, answers := planted(t)
	answers[2].Earliest = day(2026, 3, 2)
	equal(t, "too late", levels.Score(&site, answers).All.TooLate, 1)
	answers[2].Earliest, answers[2].Latest = day(2026, 3, 1).Add(8*time.Hour), day(2026, 3, 1).Add(9*time.Hour)
	equal(t, "covered on its day", levels.Score(&site, answers).All.TooLate, 0)
	answers[3].Latest = day(2040, 1, 1)
	equal(t, "covered past the horizon", levels.Score(&site, answers).All.Coverage(), 1)
}

// Nobody can date what happened closer than from one visit to the next: one reading between is close enough,
// two are not.
func TestQuestionsNeedTheirDayAbout(t *testing.T) {
	site, answers := planted(t)
	site.Points[0].Events = []levels.Happened{{Kind: levels.Swapped, Day: day(2024, 8, 1)}} // read on 1 June of 2024 and 2025
	for asked, right := range map[time.Time]int{day(2026, 1, 1): 1, day(2024, 1, 1): 1, day(2024, 9, 15): 1} {
		answers[0].Questions = []levels.Question{{Kind: levels.Swapped, Day: asked}}
		equal(t, asked.String(), levels.Score(&site, answers).Questions[levels.Swapped].Right, right)
	}
	site.Points[0].Events[0].Day = day(2024, 5, 1)
	answers[0].Questions = []levels.Question{{Kind: levels.Swapped, Day: day(2025, 9, 1)}}
	equal(t, "two readings off", levels.Score(&site, answers).Questions[levels.Swapped].Right, 0)
}

// What befell many points is one event: asked about once it is right, and found.
func TestSharedEventsAreAskedAboutOnce(t *testing.T) {
	site, answers := planted(t)
	for i := range 4 {
		site.Points[i].Events = []levels.Happened{{Kind: levels.Rescaled, Day: day(2024, 9, 1)}}
		answers[i].Questions = []levels.Question{{Kind: levels.Rescaled, Day: day(2024, 9, 1).AddDate(0, 0, i)}}
	}
	equal(t, "rescaled", *levels.Score(&site, answers).Questions[levels.Rescaled], levels.Asked{Asked: 4, Right: 1, Unwritten: 1, Found: 1})
}

// Two that changed places are asked about once, and found at both; naming more points than something happened at
// does not make a question right.
func TestQuestionsAboutSeveralPoints(t *testing.T) {
	site, answers := planted(t)
	for i := range 2 {
		site.Points[i].Events = []levels.Happened{{Kind: levels.Swapped, Day: day(2024, 9, 1)}}
		answers[i].Questions = nil
	}
	ask := func(with ...int) levels.Asked {
		q := levels.Question{Kind: levels.Swapped, Day: day(2024, 9, 1)}
		for _, i := range with {
			q.With = append(q.With, site.Points[i].Point)
		}
		answers[0].Questions = []levels.Question{q}
		return *levels.Score(&site, answers).Questions[levels.Swapped]
	}
	equal(t, "asked about one", ask(), levels.Asked{Asked: 1, Right: 1, Unwritten: 2, Found: 1})
	equal(t, "asked about both", ask(1), levels.Asked{Asked: 1, Right: 1, Unwritten: 2, Found: 2})
	equal(t, "asked about one of them and three others", ask(2, 3, 4), levels.Asked{Asked: 1, Right: 0, Unwritten: 2, Found: 1})
}

// Two sites added count as both.
func TestAddAndReport(t *testing.T) {
	site, answers := planted(t)
	one := levels.Score(&site, answers)
	scored := []levels.Scored{{Scenario: "planted", Result: one}, {Scenario: "again", Result: levels.Score(&site, answers)}}
	all := levels.Total(scored)
	equal(t, "points", all.Points, 12)
	near(t, "Brier", all.All.Brier(), one.All.Brier())
	equal(t, "questions", all.Questions[levels.Cleaned].Asked, 4)
	asked, right := all.AskedRight()
	equal(t, "asked", asked, 10)
	equal(t, "right", right, 6)
	var text strings.Builder
	if err := levels.Report(&text, "planted", scored); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"2 sites, 12 points, 2 without an answer, 4 strange", "0.667", "0.9 to 1.0", "clean now", "20 and more", "half-cleaned"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the report lacks %q:\n%s", want, text.String())
		}
	}
}
