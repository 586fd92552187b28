package web

import "testing"

// The menu marks the page that is shown, and the one that it belongs to.
func TestMenuMarks(t *testing.T) {
	for _, c := range []struct{ address, pattern, want string }{
		{"/", "GET /{$}", "page"},
		{"/", "GET /due", ""},
		{"/site/{site}", "GET /site/{site}", "page"},
		{"/site/{site}", "GET /site/{site}/power", ""},
		{"/site/{site}/power", "GET /site/{site}/power/lead", "true"},
		{"/site/{site}/points", "GET /site/{site}/point/{point}", ""},
		{"/site/{site}/settings", "POST /site/{site}/settings/loads", "true"},
	} {
		if got := currency(c.address, c.pattern); got != c.want {
			t.Errorf("%s shown at %s is %q, want %q", c.address, c.pattern, got, c.want)
		}
	}
}
