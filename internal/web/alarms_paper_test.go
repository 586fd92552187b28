package web

import (
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"sootline/internal/app"
)

// TestPaperOfTheAlarmsShown follows the page's links to its paper: they lead to one of the same day, and where
// the page shows another code than the site's, it says whose limits the paper has.
func TestPaperOfTheAlarmsShown(t *testing.T) {
	s, site := withDemo(t, nil)
	link := regexp.MustCompile(`href="(/site/[^"]*/paper/alarms\.html[^"]*)"`)
	others := 0
	for _, code := range app.AlarmCodes() {
		for _, on := range []string{"", "2025-06-30"} {
			page := visit(t, s).get(site + "/alarms?code=" + code.Key + "&on=" + on)
			found := link.FindStringSubmatch(page)
			if found == nil {
				t.Fatal("the page has no link to its paper")
			}
			address := html.UnescapeString(found[1])
			res := visit(t, s).do(http.MethodGet, address, "", nil)
			paper := read(t, res)
			if res.StatusCode != http.StatusOK || on != "" && !strings.HasSuffix(address, "?on="+on) || on == "" && strings.Contains(address, "?") {
				t.Errorf("%s gives %d", address, res.StatusCode)
			}
			if on != "" && !strings.Contains(paper, on) {
				t.Errorf("the paper of %s does not name that day", address)
			}
			named := code.Name + ", " + code.Edition
			same := strings.Contains(html.UnescapeString(paper), "Against the limits of "+named)
			if same == strings.Contains(page, "The paper holds them against the site's own code") {
				t.Errorf("limits of %s: the paper has them %v, and the page says the same of it", named, same)
			}
			if !same {
				others++
			}
		}
	}
	if others == 0 {
		t.Error("no code but the site's was shown")
	}
	if page := visit(t, s).do(http.MethodGet, site+"/alarms?on=someday", "", nil); strings.Contains(read(t, page), "paper/alarms.pdf?") {
		t.Error("a day that is none goes on to the paper")
	}
}
