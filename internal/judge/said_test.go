package judge_test

import (
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// said judges one history among ten steady detectors, and gives the reasons in one text.
func said(t *town, n int) (judge.Judgement, string) {
	got := t.judged(n)
	return got, strings.Join(got.Sentences(), "\n")
}

// Who reads and cleans on one day does not write in that order: what lies far below the visit before was read after it.
func TestCleanedOnTheDayItWasRead(t *testing.T) {
	town := newTown()
	town.neighbours(1, 10)
	id := town.history(21, "Hall", 25, 29, 33, 37, 40, 25)
	town.add(id, visit(5, 21).Add(time.Hour), sootline.Cleaned{})
	town.on = visit(6, 0)
	got, text := said(town, 21)
	if got.Verdict != judge.Inside || got.Value != 25 || strings.Contains(text, "nobody wrote down") {
		t.Errorf("%s, %s: %s", got.Verdict, got.Action, text)
	}
	if asked := judge.Unwritten(town.register()); len(asked) > 0 {
		t.Errorf("%+v", asked)
	}
}

// An old reading is said to be old also where it decides something else than to read; two looks of one day are one visit.
func TestOldReadingsAndVisitsOfOneDay(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2022-01-01"))
	b.visits(date("2024-09-01"), 26, 27, 29, 30, 32, 33, 34)
	b.read(date("2024-09-01").Add(time.Hour), 24)
	got := b.judge(t, date("2026-03-04"))
	text := strings.Join(got.Sentences(), "\n")
	if !strings.Contains(text, "longer ago than two visits") || !strings.Contains(text, ": 7 visits") {
		t.Errorf("%s: %s", got.Action, text)
	}
}

// Where its own visits show that it drifts, only how fast is said to come from others.
func TestItsOwnVisitsShowIt(t *testing.T) {
	town := newTown()
	for n := 1; n <= 20; n++ {
		town.halfYearly(n, flat(8, 22)...)
	}
	town.halfYearly(21, 20, 21, 22, 23, 23, 26, 29, 35)
	if got, text := said(town, 21); got.DriftReal != judge.Yes || got.Borrowed == nil || *got.Borrowed < 0.3 || !strings.Contains(text, "of what is known of how fast it drifts now comes from 20 others of its type; in its own area: ") {
		t.Errorf("%s, %v: %s", got.DriftReal, *got.Borrowed, text)
	}
}

// Of a compensation that is used up nobody says that the value begins to move only then.
func TestCompensationUsedUp(t *testing.T) {
	for used, want := range map[float64]string{90: "only begins to move when", 100: "it is used up"} {
		var b book
		sheet := threefold()
		sheet.Compensated = true
		b.sheet(sheet)
		b.fit(date("2022-01-01"))
		b.visits(date("2026-03-01"), 25)
		for i, x := range []float64{used - 30, used - 20, used - 10, used} {
			b.readOther("compensation used", date("2025-06-01").AddDate(0, 3*i, 0), x)
		}
		got := b.judge(t, date("2026-03-04"))
		text := strings.Join(got.Reasons, "\n")
		for i := range got.Others {
			text += strings.Join(got.Others[i].Reasons, "\n")
		}
		if !strings.Contains(text, want) || used == 100 && strings.Contains(text, "may stay flat until") {
			t.Errorf("%v: %s", used, text)
		}
	}
}

// One visit shows no drift: nobody says so as if it did.
func TestOneVisitShowsNoDrift(t *testing.T) {
	town := newTown()
	for n := 1; n <= 20; n++ {
		town.history(n, "Hall", 22, 23, 25, 26, 28, 29, 31, 32)
	}
	id := town.history(21, "Hall", 22, 23, 25, 26, 28, 29, 31, 23)
	town.add(id, visit(6, 21).AddDate(0, 1, 0), sootline.Cleaned{})
	if _, text := said(town, 21); !strings.Contains(text, "taken to go on as its type and it did before: it rises by") || !strings.Contains(text, "1 visit, which shows none") {
		t.Errorf("%s", text)
	}
}
