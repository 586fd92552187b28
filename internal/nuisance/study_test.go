package nuisance

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/count"
)

// Alarms of one area within a day are one incident, counted from its first.
func TestIncidents(t *testing.T) {
	s := newSite(20) // points 1 to 10 in area 1, 11 to 20 in area 2
	at := s.on.AddDate(0, 0, -10)
	for _, hours := range []int{0, 5, 23, 24, 47} {
		s.add(at.Add(time.Duration(hours)*time.Hour), 1+hours%10, sootline.Alarm{})
	}
	s.add(at.Add(time.Hour), 11, sootline.Alarm{Cause: "steam"}) // another area
	s.add(at.Add(2*time.Hour), 0, sootline.Alarm{})              // no point
	s.add(at.Add(3*time.Hour), 0, sootline.Alarm{})              // no point: by itself
	s.add(at.Add(4*time.Hour), 2, sootline.Alarm{Cause: "fire"}) // no false alarm
	r := s.report(t, "")
	if r.Year.Alarms != 8 || r.Year.Incidents != 5 || r.Fires != 1 {
		t.Errorf("%d alarms, %d incidents, %d fires; want 8, 5, 1", r.Year.Alarms, r.Year.Incidents, r.Fires)
	}
}

// An alarm on the day of its point's test still counts, and the report says that it
// may have been a test.
func TestPerhapsATest(t *testing.T) {
	s := newSite(40)
	at := s.on.AddDate(0, 0, -30)
	s.add(at, 15, sootline.Alarm{})
	s.add(at.AddDate(0, 0, 5), 30, sootline.Tested{})
	s.add(at.AddDate(0, 0, 5).Add(time.Hour), 30, sootline.Alarm{})
	r := s.report(t, "")
	if r.Year.Alarms != 2 || !strings.Contains(strings.Join(r.Notes, "\n"), "1 alarm on a day on which the point was tested") {
		t.Errorf("%d alarms; %q", r.Year.Alarms, r.Notes)
	}
}

// TestWalkTestIsNoFalseAlarm: alarms that were tests are no incidents, and those of
// which nobody knows are counted as nothing, which the report says.
func TestWalkTestIsNoFalseAlarm(t *testing.T) {
	s := newSite(40)
	at := s.on.AddDate(0, 0, -30)
	s.add(at, 15, sootline.Alarm{Attended: true})
	visit := sootline.Visit{State: sootline.VisitOpened}
	for point := 1; point <= 6; point++ {
		visit.Round = append(visit.Round, id(point))
	}
	began := at.AddDate(0, 0, 5)
	s.add(began, 0, visit)
	for point := 1; point <= 10; point++ {
		s.add(began.Add(time.Duration(point)*25*time.Minute), point, sootline.Alarm{Attended: true})
	}
	s.add(began.Add(9*time.Hour), 0, sootline.Visit{State: sootline.VisitClosed})
	r := s.report(t, "")
	if r.Year.Alarms != 1 || r.Year.Incidents != 1 || r.Attended != 1 || r.Fires != 0 || len(r.Incidents) != 1 {
		t.Errorf("%d alarms, %d incidents, %d attended, %d fires", r.Year.Alarms, r.Year.Incidents, r.Attended, r.Fires)
	}
	if notes := strings.Join(r.Notes, "\n"); !strings.Contains(notes, "4 alarms during a visit, of which nobody said whether it was a test") {
		t.Errorf("%q", notes)
	}
}

// A window is twelve months on the site's clock, without the same day a year ago.
func TestWindow(t *testing.T) {
	s := newSite(100)
	night := s.on.AddDate(-1, 0, 0).Truncate(24*time.Hour).AddDate(0, 0, 1) // the end of the same day a year ago
	s.add(night, 1, sootline.Alarm{})
	s.add(night.Add(-time.Millisecond), 20, sootline.Alarm{})
	s.add(s.on, 40, sootline.Alarm{})
	if r := s.report(t, ""); r.Year.Alarms != 2 || r.YearBefore.Alarms != 1 {
		t.Errorf("%d and %d before, want 2 and 1", r.Year.Alarms, r.YearBefore.Alarms)
	}
}

// The months hold every incident of two years once, save those that the turn of
// a month cuts; the last rolling year is the year of the report.
func TestMonths(t *testing.T) {
	s := newSite(100)
	for i := range 20 {
		s.alarm(i*5+1, 15+30*i, "dust")
	}
	r := s.report(t, "")
	all := 0
	for _, m := range r.Months {
		for _, n := range m.By {
			all += n
		}
	}
	last := r.Months[len(r.Months)-1]
	if all != 20 || !last.Broken || last.Year.Incidents != r.Year.Incidents || len(r.Months) != 24 {
		t.Errorf("%d incidents in %d months, the last year %d of %d", all, len(r.Months), last.Year.Incidents, r.Year.Incidents)
	}
}

// Two of four incidents at one of 240 devices: the chance is C(4,2)/240^2 and
// smaller terms, 240 times looked at, about 0.025; one alone is nothing.
func TestRepeats(t *testing.T) {
	s := newSite(240)
	for i, point := range []int{5, 5, 60, 120} {
		s.alarm(point, 30+60*i, "")
	}
	r := s.report(t, "")
	top := r.Points[0]
	p := 1 / 240.0
	want := 240 * (6*p*p*(1-p)*(1-p) + 4*p*p*p*(1-p) + p*p*p*p)
	if top.Name != "1.1.005" || top.Incidents != 2 || !top.More() {
		t.Errorf("first: %+v", top)
	}
	near(t, "chance", top.P, want, 1e-9)
	if r.Points[1].More() {
		t.Errorf("one alarm repeats: %+v", r.Points[1])
	}
	if len(r.Areas) != 3 || r.Areas[0].Incidents != 2 {
		t.Errorf("areas: %+v", r.Areas)
	}
}

// Looked at by chance alone, about one site in twenty at most may be told of a
// device that "repeats": incidents at random, 300 sites (a seed drawn by rapid
// would make the count another each time; the formula is what is tested).
func TestRepeatsByChance(t *testing.T) {
	state := uint64(20260120)
	draw := func(n int) int { // a multiplicative generator (Knuth's MMIX constants)
		state = state*6364136223846793005 + 1442695040888963407
		return int(state >> 33 % uint64(n))
	}
	wrong := 0
	for range 300 {
		s := newSite(60)
		for i := range 12 {
			s.alarm(draw(60)+1, 5+29*i, "")
		}
		for _, p := range s.report(t, "").Points {
			if p.More() {
				wrong++
				break
			}
		}
	}
	// 300 x 0.05 = 15 expected at most; 27 is beyond 3 standard deviations.
	if wrong > 27 {
		t.Errorf("%d of 300 sites without any are told of a device that repeats", wrong)
	}
	t.Logf("%d of 300", wrong)
}

func TestHours(t *testing.T) {
	s := newSite(100)
	for i := range 6 {
		s.add(time.Date(2025, time.Month(2+i), 3, 7, 30, 0, 0, time.UTC), i*10+1, sootline.Alarm{})
	}
	s.add(time.Date(2025, 9, 3, 12, 0, 0, 0, time.UTC), 90, sootline.Alarm{}) // a day without an hour
	r := s.report(t, "")
	if len(r.Hours) != 1 || r.Hours[0].Name != "06:00 to 09:00" || !r.Hours[0].More() {
		t.Errorf("%+v", r.Hours)
	}
	near(t, "chance", r.Hours[0].P, 8*math.Pow(1.0/8, 6), 1e-9)
}

// Before against after: 6 in the year before a cleaning and none in the year
// after is p = 2 x (1/2)^6 = 0.031; 5 and none is 0.0625, too few.
func TestDidItHelp(t *testing.T) {
	for before, want := range map[int]Help{6: Fewer, 5: TooFew, 1: TooFew} {
		s := newSite(50)
		s.add(s.on.AddDate(-1, 0, 0), 1, sootline.Cleaned{})
		for i := range before {
			s.alarm(1, 380+50*i, "dust")
		}
		r := s.report(t, "")
		if len(r.Effects) != 1 || r.Effects[0].State != want {
			t.Errorf("%d before: %+v, want %s", before, r.Effects, want)
		}
	}
}

// Several actions looked at share the error rate.
func TestManyActions(t *testing.T) {
	s := newSite(50)
	for point := 1; point <= 21; point += 20 {
		s.add(s.on.AddDate(-1, 0, 0), point, sootline.Cleaned{})
		for i := range 6 {
			s.alarm(point, 380+50*i, "dust")
		}
	}
	r := s.report(t, "")
	if len(r.Effects) != 2 || r.Effects[0].State != TooFew || r.Effects[1].State != TooFew {
		t.Errorf("%+v", r.Effects)
	}
	e := r.Since("new extractor", "", s.on.AddDate(-1, 0, 0))
	if e.State != Fewer || e.Before.Incidents != 12 || e.After.Incidents != 0 {
		t.Errorf("the site since: %+v", e)
	}
	if e := r.Since("new extractor", "area 3", s.on.AddDate(-1, 0, 0)); e.Before.Incidents != 6 {
		t.Errorf("area 3 since: %+v", e)
	}
}

// The tie to drift counts what the standings say, and leaves call points out.
func TestDrift(t *testing.T) {
	s := newSite(20)
	s.fit(200, "Press", "Hall", sootline.LongAgo)
	s.alarm(1, 10, "")
	s.alarm(12, 20, "")
	s.alarm(200, 30, "malicious")
	reg := sootline.Fold(s.entries, s.on)
	rec := Read(reg, s.on, time.UTC, count.SignalsOf(reg, time.UTC, nil))
	standings := map[sootline.ID]Standing{}
	for _, a := range rec.Alarming() {
		standings[a.Entry.ID] = Standing{Verdict: "inside"}
		if a.Point.Ref().Number == 1 {
			standings[a.Entry.ID] = Standing{Verdict: "above", Words: "45 in 18..36"}
		}
	}
	r := Study(rec, Options{Code: Codes()[0], Standings: standings})
	if d := r.Drift; d.Alarms != 2 || d.Judged != 2 || d.Outside != 1 || d.Above != 1 || d.List[0].Words != "45 in 18..36" {
		t.Errorf("%+v", d)
	}
	if len(r.Advice) == 0 || !strings.Contains(r.Advice[0].Text, "1.1.001") {
		t.Errorf("advice does not begin with the dirty detector: %+v", r.Advice)
	}
}

// Advice follows from the record: each cause has its own.
func TestAdvice(t *testing.T) {
	s := newSite(50)
	s.alarm(1, 10, "cooking")
	s.alarm(2, 40, "cooking")
	s.alarm(12, 60, "prank")
	s.alarm(21, 80, "")
	var all []string
	for _, a := range s.report(t, "").Advice {
		all = append(all, a.Because+" -> "+a.Text)
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{"cooking: 2 incidents in Area 1 -> keep the door shut", "malicious: 1 incident", "of 1 alarm nobody wrote down the cause"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// The published national figures through the counting rules, in thousands:
// England, year to March 2024: 254,000 false fire alarms, 182,000 of them due to
// apparatus, that is 71.7 % (press on Home Office data). England 2021/22, calls
// by automatic systems: 97.5 % false, 2.1 % fires, 90 % of the false ones due to
// apparatus (press on a Home Office table).
func TestNationalFigures(t *testing.T) {
	for _, c := range []struct {
		name                        string
		fires, apparatus, others    int
		shareApparatus, shareFalse  float64
		toleranceApp, toleranceFlse float64
	}{
		{"to March 2024", 139, 182, 72, 71.7, 100 * 254 / 393.0, 0.05, 0.01},
		{"2021/22", 21, 878, 97, 90, 97.5, 0.1, 0.5}, // 4 of 1000 are neither
	} {
		s := newSite(100)
		for category, n := range map[sootline.AlarmCategory]int{sootline.RealFire: c.fires, sootline.Equipment: c.apparatus, sootline.GoodIntent: c.others} {
			for i := range n {
				s.add(s.on.Add(-time.Duration(i)*time.Hour), i%100+1, sootline.Alarm{Category: category})
			}
		}
		r := s.report(t, "")
		var apparatus Sorted
		for _, sorted := range r.ByCategory {
			if sorted.Category == sootline.Equipment {
				apparatus = sorted
			}
		}
		near(t, c.name+": apparatus", 100*float64(apparatus.Alarms)/float64(r.Year.Alarms), c.shareApparatus, c.toleranceApp/c.shareApparatus)
		near(t, c.name+": false", 100*float64(r.Year.Alarms)/float64(r.Year.Alarms+r.Fires), c.shareFalse, c.toleranceFlse/c.shareFalse)
	}
	// "1 per 100 a year" of 5000 detectors is about one a week (the article series, part 204).
	s := newSite(5000)
	for i := range 52 {
		s.alarm(i*90+1, 2+7*i, "")
	}
	near(t, "per 100", s.report(t, "").Year.Per100, 1, 0.05)
}

// Whatever the log, the figures hold together.
func TestHoldsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := newSite(rapid.IntRange(0, 60).Draw(t, "detectors"))
		words := rapid.SampledFrom([]string{"", "dust", "fire", "test", "prank", "water", "good intent", "?"})
		for range rapid.IntRange(0, 40).Draw(t, "alarms") {
			s.alarm(rapid.IntRange(0, 70).Draw(t, "point"), rapid.IntRange(0, 900).Draw(t, "ago"), words.Draw(t, "cause"))
		}
		code := rapid.SampledFrom(Codes()).Draw(t, "code")
		reg := sootline.Fold(s.entries, s.on)
		r := Study(Read(reg, s.on, time.UTC, count.SignalsOf(reg, time.UTC, nil)), Options{Code: code})
		alarms, incidents := 0, 0
		for _, c := range r.ByCategory {
			alarms, incidents = alarms+c.Alarms, incidents+c.Incidents
		}
		if alarms != r.Year.Alarms || incidents != r.Year.Incidents || incidents != len(r.Incidents) || incidents > alarms {
			t.Fatalf("%d alarms and %d incidents by category, %d and %d in the year", alarms, incidents, r.Year.Alarms, r.Year.Incidents)
		}
		if r.Year.Known() && !(r.Year.Low <= r.Year.Low90 && r.Year.Low90 <= r.Year.Per100 && r.Year.Per100 <= r.Year.High90 && r.Year.High90 <= r.Year.High) {
			t.Fatalf("rate %+v", r.Year)
		}
		for _, p := range r.Points {
			if p.P < 0 || p.P > 1 || math.IsNaN(p.P) || p.Incidents > p.Alarms {
				t.Fatalf("%+v", p)
			}
		}
	})
}
