package web

import (
	"encoding/json"
	"html"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// What was measured of a loop is typed at the page of loop power, and page, API and paper hold it against the calculated in the
// same words; a reader finds no form.
func TestMeasuredAtEveryFace(t *testing.T) {
	s, site := withDemo(t, nil)
	survey := surveyOf(t, s)
	loop := survey.Register.Loops()[0].LoopID
	of := "?of=" + queryWord(loop.String())
	b := visit(t, s)
	page := b.get(site + "/power" + of)
	holds(t, page, `name="plus_ohms"`, `name="panel" value="`+loop.Panel+`"`, `name="loop" value="`+loop.Name+`"`)
	form := url.Values{"id": {s.newID()}, "kind": {"measured"}, "shown": {"measured"}, "panel": {loop.Panel}, "loop": {loop.Name}, "occasion": {"service"}, "plus_ohms": {"4,8"}, "rest_ma": {"12.5"}, "plus_earth_mohm": {"80"}}
	if res := b.post(site+"/log", form); res.StatusCode != http.StatusSeeOther {
		t.Fatal(res.StatusCode, read(t, res))
	}
	r := surveyOf(t, s).Register
	m, err := app.MeasuredOf(r, loop)
	if err != nil || m == nil || len(m.Last) != 2 {
		t.Fatal(m, err)
	}
	page = html.UnescapeString(b.get(site + "/power" + of))
	res := b.do(http.MethodGet, api.Root+"/sites/"+r.Site.ID.String()+"/loops/"+loop.String()+"/power", "", asJSON)
	var said shape.Loops
	if err := json.Unmarshal([]byte(read(t, res)), &said); err != nil || said.Loops[0].Measured == nil {
		t.Fatal(err, said)
	}
	paper := html.UnescapeString(b.get(site + "/paper/loop.html"))
	for i := range m.Last {
		text := m.Last[i].Sentence()
		if !strings.Contains(page, text) {
			t.Errorf("the page does not say %q", text)
		}
		if !strings.Contains(strings.ToLower(paper), strings.ToLower(text)) {
			t.Errorf("the paper does not say %q", text)
		}
		if got := said.Loops[0].Measured.Last[i].Sentence; got != text {
			t.Errorf("the API says %q, want %q", got, text)
		}
	}
	holds(t, b.get(site+"/paper/loop.csv"), "\nverdict,", "\nlimit,", "\nmay be off,")
	if said.Loops[0].Measured.Entries[0].Entry != r.Measured(loop)[0].Entry.String() {
		t.Error("the API names another entry")
	}
	if kind, _ := sootline.KindNamed(sootline.MeasuredKind); !kind.ByHand || kind.Role != sootline.Technician {
		t.Errorf("%+v", kind)
	}
}
