package web

import (
	"regexp"
	"strings"
	"testing"
)

// A ring of 126 points is one drawing under 60 kB, in which each point is a link
// with a name; it can be asked for larger, by an address.
func TestRing(t *testing.T) {
	s := newServer(t, nil)
	site := bigSite(t, s, 126, 2)
	page := visit(t, s).get(site + "/loop")
	drawn := regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1)
	if len(drawn) != 2 {
		t.Fatalf("%d drawings, want one for wide screens and one for narrow ones", len(drawn))
	}
	for _, svg := range drawn {
		if len(svg) >= 60_000 {
			t.Errorf("the ring is %d bytes long", len(svg))
		}
		if links, titles := strings.Count(svg, "<a "), strings.Count(svg, "<title"); links != 126 || titles < 126 {
			t.Errorf("%d links and %d titles for 126 points", links, titles)
		}
	}
	if !strings.Contains(page, `aria-current="true">Whole`) || strings.Contains(page, `class="wide zoom-`) {
		t.Error("the ring is not shown whole at first")
	}
	large := visit(t, s).get(site + "/loop?of=1.1&zoom=4")
	if !strings.Contains(large, `class="wide zoom-4" tabindex="0"`) || !strings.Contains(large, `aria-current="true">4 times`) {
		t.Error("the ring cannot be asked for larger")
	}
	for _, fault := range append(htmlFaults(page), htmlFaults(large)...) {
		t.Error(fault)
	}
	if hostile := visit(t, s).get(site + `/loop?zoom=%22%3E%3Cscript%3E`); strings.Contains(hostile, `"><script>`) {
		t.Error("the size is shown as it was typed")
	}
}
