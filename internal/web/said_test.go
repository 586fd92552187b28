package web

import (
	"net/url"
	"strings"
	"testing"
)

// What was done is said once, at the page it belongs to; an address, which anybody may make, says nothing was.
func TestAnAddressSaysNothingWasDone(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	for _, page := range []string{"/listening", "/numbers/plan", "/numbers/order", "/numbers/found", "/settings/wanted", "/settings", "/numbers"} {
		if text := b.get(site + page + "?noted=Forged+words&wrote=1&changed=1"); strings.Contains(text, "Forged words") || strings.Contains(text, "Nothing was written") {
			t.Errorf("%s says what its address says", page)
		}
	}
	kept := url.Values{"id": {s.newID()}, "name": {"Hall printer"}, "via": {"tcp"}, "address": {"127.0.0.1:9100"}}
	if res := b.post(site+"/listening", kept); res.Header.Get("Location") != site+"/listening" {
		t.Fatalf("%d, to %q: %s", res.StatusCode, res.Header.Get("Location"), read(t, res))
	}
	const said = "Hall printer is kept with the site"
	if strings.Contains(b.get(site+"/settings"), said) {
		t.Error("another page says it")
	}
	if !strings.Contains(b.get(site+"/listening"), said) || strings.Contains(b.get(site+"/listening"), said) {
		t.Error("it is not said once")
	}
}
