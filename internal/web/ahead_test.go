package web

import (
	"strings"
	"testing"
	"time"

	"sootline"
)

// No page prints the day of leaving finer than it is known: neither list nor point, nor the picture with its table.
func TestDaysAheadAreSaidNoFinerThanKnown(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	survey := surveyOf(t, s)
	checked := 0
	for _, p := range survey.Register.Points() {
		j := survey.Judgement(p)
		if j == nil || j.LeavesEarliest == nil || j.LeavesLikely == nil || j.LeavesLikely.Before(survey.On.AddDate(1, 0, 0)) || checked == 5 {
			continue
		}
		checked++
		if got, want := rowOf(survey, p).Leaves, sootline.DayAhead(*j.LeavesEarliest, survey.On, survey.Zone); got != want {
			t.Errorf("the list says %q, want %q", got, want)
		}
		page := b.get(pointAddress(survey, p))
		holds(t, page, "likely "+sootline.DayAhead(*j.LeavesLikely, survey.On, survey.Zone))
		if day := j.LeavesLikely.In(survey.Zone).Format(time.DateOnly); strings.Contains(page, day) {
			t.Errorf("%s%s says %s", site, p.Ref(), day)
		}
	}
	if checked == 0 {
		t.Fatal("no point that leaves")
	}
}
