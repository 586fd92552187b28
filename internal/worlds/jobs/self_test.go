package jobs_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"sootline/internal/worlds/jobs"
)

func TestShellWords(t *testing.T) {
	for text, want := range map[string]int{
		"Sootline never writes to a panel.":      0,
		"sootline take types.csv":                1,
		"start it with --lan, or with --backup3": 2,
		"$ ls":                                   1,
		"On the command line":                    1,
		"it costs 5 $ -- or more":                0,
		"The centre commands nothing":            1, // a word that a page of this trade can do without
	} {
		if got := jobs.ShellWords(text); len(got) != want {
			t.Errorf("%q: %q, not %d", text, got, want)
		}
	}
}

// good is a page that keeps all that is measured; each of the bad ones breaks one thing of it.
const good = `<!doctype html><html lang="en"><head><title>Points of Quartz Hall</title>
	<meta name="viewport" content="width=device-width"></head><body>
	<header><nav aria-label="site"><a href="/" style="display:inline-block;padding:8px">Today</a></nav><p>Quartz Hall</p></header>
	<main><h1>Points</h1><p>All is well.</p><form><button style="padding:8px">Search</button></form>%s</main></body></html>`

func TestMeasuresSeeWhatIsWrong(t *testing.T) {
	needBrowser(t)
	bad := map[string]struct{ find, put, want string }{
		"good":   {},
		"wide":   {"%s", `<div style="width:1500px">wide</div>`, "past the side at 320 wide"},
		"small":  {"%s", `<button style="font-size:6px;padding:0">x</button><button style="font-size:6px;padding:0">y</button>`, "targets below 24 px"},
		"word":   {"All is well.", "It is as it was typed.", "a builder's word: It is as it was typed"},
		"leak":   {"All is well.", "Write a number. [{a number}]", "a builder's word: [{"},
		"shell":  {"All is well.", "Run sootline take.", "a word of a shell: sootline take"},
		"name":   {"<p>Quartz Hall</p>", "", "the site's name is not in sight at 360 by 740"},
		"low":    {"<p>All", `<div style="height:800px"></div><p>All`, "its conclusion is not inside the first screen at 360 by 740"},
		"action": {"<form>", `<div style="height:950px"></div><form>`, "its main action is not inside the first screen at 1440 by 900"},
		"silent": {"<p>All is well.</p>", "", "no conclusion: no paragraph or status after its title at 360 by 740"},
		"heavy":  {"%s", strings.Repeat("<!-- -->", 7000), "more than 50 kB of HTML"},
	}
	ctx := browser(t)
	for name, one := range bad {
		html := good
		if one.find != "" {
			html = strings.Replace(html, one.find, one.put, 1)
		}
		html = strings.Replace(html, "%s", "", 1)
		server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			_, _ = fmt.Fprint(w, html)
		}))
		t.Cleanup(server.Close)
		tab, closing, err := jobs.OpenTab(ctx, server.URL, jobs.Ways[0])
		if err != nil {
			t.Fatal(err)
		}
		defer closing()
		wrong, err := tab.Measure(server.URL, jobs.SiteName, len(html), "")
		if err != nil {
			t.Fatal(err)
		}
		var found []string
		for _, w := range wrong {
			found = append(found, w.What)
		}
		if one.want == "" && len(found) > 0 || one.want != "" && !slices.Contains(found, one.want) {
			t.Errorf("%s: %q, not %q", name, found, one.want)
		}
	}
}
