package web

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// TestJournalOnPhone: what stands on a narrow screen, where the columns beside are not
// shown, says what was given.
func TestJournalOnPhone(t *testing.T) {
	s, _ := withDemo(t, abroad)
	b := signIn(t, s, "M. Manager")
	read(t, b.post("/people/invite", url.Values{"name": {"N. New"}, "role": {"reader"}, "which": {"some"}, "customer": {"Other"}}))
	less := regexp.MustCompile(`person invited<span class="why less">([^<]*)</span>`).FindStringSubmatch(b.get("/people/journal"))
	if less == nil || !strings.Contains(less[1], "N. New by M. Manager") || !strings.Contains(less[1], "as reader, all sites of Other, until ") {
		t.Errorf("it says %q", less)
	}
}
