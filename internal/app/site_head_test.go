package app

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"sootline/internal/store"
)

// What needs somebody now is more at stake than what is due, and what is critical most.
func TestWhatIsAtStake(t *testing.T) {
	inOrder := []store.SiteCounts{
		{}, {Due: 3}, {Overdue: 1}, {CleanNow: 1}, {CleanNow: 1, Overdue: 2}, {Serious: 2}, {Critical: 1, Defects: 1},
	}
	var stakes []int
	for i := range inOrder {
		stake, needs := atStake(&inOrder[i])
		stakes = append(stakes, stake)
		if needs != (i > 1) {
			t.Errorf("%+v needs somebody: %v", inOrder[i], needs)
		}
	}
	if !slices.IsSorted(stakes) || stakes[0] != 0 || slices.Compact(stakes)[len(inOrder)-1] == 0 {
		t.Errorf("%v", stakes)
	}
}

// A calendar that leaves sites out says so in itself.
func TestCalendarSaysWhatIsLeftOut(t *testing.T) {
	l := newTwoServers(t, 3, 20)
	if err := l.work(t.Context()); err != nil {
		t.Fatal(err)
	}
	lines, err := l.apps[0].SiteHeads(t.Context(), store.HeadList{ByTurn: true, Most: 2})
	if err != nil || len(lines) != 2 {
		t.Fatal(lines, err)
	}
	for left, says := range map[int]bool{0: false, 1: true} {
		var feed bytes.Buffer
		if err := l.apps[0].SiteHeadsCalendar(t.Context(), &feed, lines, left); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(feed.String(), "SUMMARY:1 more sites: what is due is not known") != says || !strings.Contains(feed.String(), "BEGIN:VEVENT") {
			t.Errorf("%d left: %s", left, feed.String())
		}
	}
}
