package web

import (
	"encoding/json"
	"html"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// A radial circuit is stated at the form of the log by a manager, and page, API, paper and battery tell of it alike.
func TestRadialAtEveryFace(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	holds(t, b.get(site+"/power"), "None is written down", "new=radial")
	form := url.Values{
		"id": {s.newID()}, "kind": {"radial"}, "shown": {"radial"}, "panel": {"1"}, "circuit": {"BELLS"}, "serves": {"sounders"}, "volts": {"24"}, "mm2": {"1.5"},
		"end_ohms": {"4700"}, "band_low_ma": {"3"}, "band_high_ma": {"20"}, "devices": {`[{"name":"bell 1","metres":40,"rest_ma":0,"alarm_ma":25}]`},
	}
	if res := b.post(site+"/log", form); res.StatusCode != http.StatusSeeOther {
		t.Fatal(res.StatusCode, read(t, res))
	}
	r := surveyOf(t, s).Register
	power, err := app.RadialNamed(r, "1.BELLS")
	if err != nil || power == nil {
		t.Fatal(power, err)
	}
	verdict := power.Stands.Sentence()
	if !strings.HasPrefix(verdict, "not shown: the volts of the low battery") {
		t.Error(verdict)
	}
	if page := html.UnescapeString(b.get(site + "/power")); !strings.Contains(page, verdict) || !strings.Contains(page, power.Settles()) {
		t.Errorf("the page does not say %q", verdict)
	}
	if paper := html.UnescapeString(b.get(site + "/paper/loop.html")); !strings.Contains(strings.ToLower(paper), strings.ToLower(verdict)) {
		t.Errorf("the paper does not say %q", verdict)
	}
	holds(t, b.get(site+"/battery?panel=1"), "circuit 1.BELLS")
	for _, address := range []string{"/loops", "/loops/1.BELLS/power"} {
		var said shape.Loops
		res := b.do(http.MethodGet, api.Root+"/sites/"+r.Site.ID.String()+address, "", asJSON)
		if err := json.Unmarshal([]byte(read(t, res)), &said); err != nil || len(said.Radials) != 1 || said.Radials[0].Verdict != verdict {
			t.Error(address, err, said.Radials)
		}
	}
}
