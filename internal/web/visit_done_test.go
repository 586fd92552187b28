package web

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestPageAndPhoneAgreeOnDone: while a visit is open the phone is told of the same
// visit, whatever order entries came in; the number of points done stands above as
// many points that say nothing is left; and reading a point whose test was planned
// leaves the test open.
func TestPageAndPhoneAgreeOnDone(t *testing.T) {
	now := today
	s, site := withDemo(t, func(c *Config) {
		c.App.Now = func() time.Time { now = now.Add(time.Second); return now }
	})
	b := visit(t, s)
	openAt(t, b, site, nil)
	pack := packOf(t, b, site)
	planned := map[string][]string{}
	for _, p := range pack.Points {
		planned[p.ID] = p.Work
	}
	done := 0
	for turn := len(pack.Round) - 1; turn >= 0; turn-- { // handed in from the last to the first
		id := pack.Round[turn]
		body := captureBody(s.newID(), id, pack.Opened+int64(turn+1)*1000, "25")
		if turn%2 == 0 {
			body = strings.Replace(strings.Replace(body, `"read"`, `"tested"`, 1), `"samples":[25]`, "", 1)
		}
		if res := read(t, b.do("POST", site+"/visit/entries", body, asJSON)); !strings.Contains(res, `"refused":[]`) {
			t.Fatal(res)
		}
		did := []string{"read", "tested"}[1-turn%2]
		all := true
		for _, work := range planned[id] {
			does := false
			for _, kind := range pack.Does[work] {
				does = does || string(kind) == did
			}
			all = all && does
		}
		if all {
			done++
		}
	}
	if told := doneOf(t, b, site); told.Visit != pack.Visit || len(told.Done) != len(pack.Round) {
		t.Errorf("the phone is told of visit %q, which is %q, and %d entries of %d", told.Visit, pack.Visit, len(told.Done), len(pack.Round))
	}
	page := b.get(site + "/visit")
	if want := fmt.Sprintf("%d of %d points done", done, len(pack.Round)); !strings.Contains(page, want) {
		t.Errorf("the page does not say %q", want)
	}
	if left := strings.Count(page, "not yet: "); left != len(pack.Round)-done || done == 0 || left == 0 {
		t.Errorf("%d points say that something is left, of %d with %d done", left, len(pack.Round), done)
	}
}
