package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"sootline/internal/app"
)

// TestDesignPage: the page says what the use case says, lists what was assumed, draws the chart, holds another design beside
// it; its button writes the places once, however often it is pressed, and a reader has none.
func TestDesignPage(t *testing.T) {
	s := newServer(t, nil)
	site := bigSite(t, s, 12, 2)
	table := "area,floor,m2,Larch\nTest wing,0,90,4\nAttic,1,90,3\n"
	q := url.Values{"table": {table}, "chart": {"1"}, "beside": {"mm2=4"}, "spare": {"20"}}
	survey := surveyOf(t, s)
	brief, err := app.ReadDesignBrief(strings.NewReader(table), survey.Register)
	if err != nil {
		t.Fatal(err)
	}
	d, err := app.DesignLoops(survey.Register, brief, app.DesignChoice{Spare: 20, Slack: -1})
	if err != nil {
		t.Fatal(err)
	}
	b := visit(t, s)
	page := b.get(site + "/power/design?" + q.Encode())
	for _, want := range []string{d.Headline(), d.Loops[0].Power.Verdict(), d.Loops[0].Isolators.Reason, d.Assumed[0].What, "Side by side", app.CircuitCaution} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, fault := range htmlFaults(page) {
		t.Error(fault)
	}
	before := len(survey.Register.Points())
	q.Set("id", field(t, page, "id"))
	for range 2 {
		if res := b.post(site+"/power/design", q); res.StatusCode != http.StatusSeeOther {
			t.Fatal(res.StatusCode, read(t, res))
		}
	}
	if n := len(surveyOf(t, s).Register.Points()); n != before+7 {
		t.Errorf("%d points more, want 7", n-before)
	}
	for query, want := range map[string]string{
		"table=area%2Cm2%2CNoSuch%0AHall%2C9%2C1": "no type that has a sheet", "table=x": "no rows",
		"mm2=thin&" + aDesign: "is not a choice", "at=1&" + aDesign: "is not 3 figures", "mm2=0.8&table=" + url.QueryEscape(table): "resistance is known",
	} {
		if page := read(t, b.do(http.MethodGet, site+"/power/design?"+query, "", nil)); !strings.Contains(page, want) {
			t.Errorf("%s: the page lacks %q", query, want)
		}
	}
}
