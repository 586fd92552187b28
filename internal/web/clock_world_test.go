package web

import (
	"fmt"
	"net/http"
	"testing"
	"time"

	"sootline"
)

// TestClockSetBack: what was shown while the clock was wrong is not shown any more when it is right again, although
// nothing was written in between. The last of five points came while the clock says that it is still to come.
func TestClockSetBack(t *testing.T) {
	for _, wrong := range []time.Duration{0, -time.Second, -time.Hour, -24 * time.Hour, -3 * 365 * 24 * time.Hour} {
		t.Run(fmt.Sprint(wrong), func(t *testing.T) {
			inMemory(t)
			w := newRightsWorld(t)
			site, now := w.site("note"), today
			w.s.App.Now = func() time.Time { return now }
			fitted := w.past(site, anotherManager, "laptop", sootline.NewID(now, w.s.App.Random()), w.body("fitted", `{"panel":"1","loop":"1","order":9,"type":"Larch"}`))
			fitted.At = today.Add(wrong / 2)
			w.put(site, fitted)
			look := func() int {
				return found(read(t, w.people["manager"].do(http.MethodGet, "/site/"+site.id.String(), "", nil)), `class="facts">(\d+) points?`, -1)
			}
			now = today.Add(wrong)
			look()
			for _, after := range []time.Duration{time.Millisecond, time.Hour} {
				now = today.Add(after)
				if got := look(); got != 5 {
					t.Errorf("the clock is right again since %v, and the page counts %d points of 5", after, got)
				}
			}
		})
	}
}
