package web

import (
	"net/http"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
)

// withNumbers gives a site whose loop has a wide device, two that share a number,
// and one that nobody has set.
func withNumbers(t testing.TB) (*Server, string, *browser) {
	t.Helper()
	var seconds atomic.Int64 // of two entries about one point, the later one counts
	s, site := aSite(t, func(c *Config) {
		c.App.Now = func() time.Time { return today.Add(time.Duration(seconds.Add(1)) * time.Second) }
	})
	b := visit(t, s)
	b.takeIn(site, "types.csv", "name,kind,numbers,low,high,settings\nLarch,optical smoke,1,20,40,address=switches 7\nFenn,output module,4,,,\n",
		"points.csv", "loop,address,type,location\n1,5,Larch,A <i>\n1,5,Larch,B\n1,127,Larch,C\n1,58,Fenn,D\n1,100,Larch,E\n")
	return s, site, b
}

// The grid tells how every number stands, in words and by a shape.
func TestNumbersGrid(t *testing.T) {
	_, site, b := withNumbers(t)
	page := b.get(site + "/numbers?loop=1.1")
	holds(t, page, "120 free", "5 taken", "1 clashing", "58–59", "60–61", "1 device is still at the unset number",
		"is taken by 2 devices", "A &lt;i&gt;", `colspan="2"`)
	if cells := strings.Count(page, `<span class="n">`); cells != 126-2 {
		t.Errorf("%d cells, want one for each of 126 numbers, of which two pairs stand together", cells)
	}
	if res := b.do(http.MethodGet, site+"/numbers?loop=9", "", nil); res.StatusCode != http.StatusNotFound {
		t.Error("a loop that there is not gives", res.StatusCode)
	}
}

// A plan is shown beside today's numbers, accepted once however often it is handed
// in, and not when something else was shown.
func TestAcceptPlan(t *testing.T) {
	s, site, b := withNumbers(t)
	page := b.get(site + "/numbers/plan?loop=1.1&by=area&spares=2")
	holds(t, page, "2 of 5 numbers would change", "Accept 2 numbers", "in blocks by area")
	form := url.Values{"loop": {"1.1"}, "by": {"area"}, "spares": {"2"}, "id": {field(t, page, "id")}, "shown": {"another"}}
	res := b.post(site+"/numbers/plan", form)
	if res.StatusCode != http.StatusConflict {
		t.Error("accepting what was not shown gives", res.StatusCode)
	}
	holds(t, read(t, res), "The loop has changed since")
	before := surveyOf(t, s).Register.Entries
	form.Set("shown", field(t, page, "shown"))
	for range 2 {
		if res := b.post(site+"/numbers/plan", form); res.StatusCode != http.StatusSeeOther {
			t.Fatal(res.StatusCode)
		}
	}
	if got := surveyOf(t, s).Register.Entries - before; got != 2 {
		t.Errorf("%d entries, want 2", got)
	}
	for query, says := range map[string]string{
		"spares=many": "&#34;many&#34; is not a whole number", "spares=125": "numbers", "by=colour": "cannot be planned by",
	} {
		res := b.do(http.MethodGet, site+"/numbers/plan?loop=1.1&"+query, "", nil)
		page := read(t, res)
		if res.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s gives %d", query, res.StatusCode)
		}
		holds(t, page, `role="alert"`, says)
	}
	holds(t, b.get(site+"/numbers/plan?loop=1.1&even=1"), "All stays as it is", "stays")
}

// What is ticked in the order of changes is written down as set, once.
func TestNoteOrder(t *testing.T) {
	s, site, b := withNumbers(t)
	survey := surveyOf(t, s)
	for reference, found := range map[string]int{"1.1.058": 70, "1.1.100": 101} {
		if _, err := s.App.AddEntry(t.Context(), survey.Register.Site.ID, app.Note{Point: reference, Body: sootline.Addressed{Found: found}}); err != nil {
			t.Fatal(err)
		}
	}
	plan := b.get(site + "/numbers/plan?loop=1.1")
	b.post(site+"/numbers/plan", url.Values{"loop": {"1.1"}, "id": {field(t, plan, "id")}, "shown": {field(t, plan, "shown")}})
	page := b.get(site + "/numbers/order?loop=1.1")
	holds(t, page, "No order has fewer", `name="done" value="0"`)
	form := url.Values{"loop": {"1.1"}, "id": {field(t, page, "id")}, "shown": {field(t, page, "shown")}}
	res := b.post(site+"/numbers/order", form)
	if res.StatusCode != http.StatusConflict {
		t.Error("nothing ticked gives", res.StatusCode)
	}
	form.Set("done", "0")
	for range 2 {
		if res := b.post(site+"/numbers/order", form); res.StatusCode != http.StatusSeeOther {
			t.Fatal(res.StatusCode, read(t, res))
		}
	}
	set := 0
	for _, p := range surveyOf(t, s).Register.Points() {
		if p.SetTo.Number != 0 && p.SetTo.Number == p.Wanted {
			set++
		}
	}
	if set != 1 {
		t.Errorf("%d devices were noted, want the one that was ticked", set)
	}
	form.Set("id", s.newID())
	if res := b.post(site+"/numbers/order", form); res.StatusCode != http.StatusConflict {
		t.Error("an order that has changed gives", res.StatusCode)
	}
	form.Set("done", "a step")
	if res := b.post(site+"/numbers/order", form); res.StatusCode != http.StatusUnprocessableEntity {
		t.Error("a step that is none gives", res.StatusCode)
	}
}

func TestCards(t *testing.T) {
	_, site, b := withNumbers(t)
	holds(t, b.get(site+"/numbers/cards?loop=1.1"), "A &lt;i&gt;", "counts", "1.1.058", "takes 58 to 61")
}

// A type without words about how it is set is asked for on the page of cards; the
// form that it leads to is filled in, and then the cards show it.
func TestHowIsAsked(t *testing.T) {
	_, site, b := withNumbers(t)
	cards := site + "/numbers/cards?loop=1.1"
	holds(t, b.get(cards), "How a number is set on type Fenn is not written down", site+"/settings/how?of=Fenn")
	form := b.get(site + "/settings/how?of=Fenn")
	holds(t, form, "How a number is set on type Fenn", `<option value="dials 15"`)
	values := url.Values{"id": {field(t, form, "id")}, "of": {"Fenn"}, "name": {"Fenn"}, "how": {""}}
	if res := b.post(site+"/settings/how", values); res.StatusCode != http.StatusUnprocessableEntity {
		t.Error("no way chosen gives", res.StatusCode)
	}
	values.Set("how", "dials 15")
	if res := b.post(site+"/settings/how", values); res.StatusCode != http.StatusSeeOther {
		t.Fatal(res.StatusCode, read(t, res))
	}
	page := b.get(cards)
	if strings.Contains(page, "is not written down") || strings.Count(page, `class="card-dial"`) != 2 {
		t.Error("the cards do not show what was said")
	}
	holds(t, b.get(site+"/settings/how?of=Fenn"), `<option value="dials 15" selected`)
}

// A list of what answers, uploaded or typed, is explained, and noted when asked.
func TestFoundList(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	b.takeIn(site, "points.csv", "loop,address,type,location\n1,1,Larch,A\n1,2,Larch,B\n1,3,Larch,C\n")
	send := func(id string, pairs ...string) *http.Response {
		body, kind := filesForm(t, id, pairs...)
		return b.do(http.MethodPost, site+"/numbers/found", body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
	}
	res := send(s.newID(), "panel.csv", "address,type\n1,Larch\n2,Larch\n13,Larch\n")
	if res.StatusCode != http.StatusSeeOther {
		t.Fatal(res.StatusCode, read(t, res))
	}
	address := res.Header.Get("Location")
	page := b.get(address)
	holds(t, page, "From panel.csv: 3 answers", "differ from the register in 2 places", "To make sure", "13")
	list, _ := url.Parse(address)
	note := site + "/numbers/found/" + list.Query().Get("list")
	form := url.Values{"id": {field(t, page, "id")}, "loop": {"1.1"}}
	for range 2 {
		if res := b.post(note, form); res.StatusCode != http.StatusSeeOther {
			t.Fatal(res.StatusCode, read(t, res))
		}
	}
	for _, p := range surveyOf(t, s).Register.Points() {
		if p.Wanted == 3 && p.Found != 13 {
			t.Errorf("the device of number 3 was found at %d, want 13", p.Found)
		}
	}
	if res := send(s.newID()); res.StatusCode != http.StatusUnprocessableEntity {
		t.Error("no list gives", res.StatusCode)
	}
	res = send(s.newID(), "manual.pdf", "%PDF-1.7")
	if res = b.do(http.MethodGet, res.Header.Get("Location"), "", nil); res.StatusCode != http.StatusUnprocessableEntity {
		t.Error("a list that is none gives", res.StatusCode)
	}
	if page := read(t, res); strings.Contains(page, s.Uploads) || !strings.Contains(page, "this is a PDF") {
		t.Error("what is wrong with it is not told as it should be")
	}
	for _, list := range []string{"nonsense", "..%2f..%2fbook.db", sootline.NewID(today, [10]byte{}).String()} {
		if res := b.do(http.MethodGet, site+"/numbers/found?loop=1.1&list="+list, "", nil); res.StatusCode != http.StatusNotFound {
			t.Errorf("list %s gives %d", list, res.StatusCode)
		}
	}
}
