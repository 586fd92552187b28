package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/app"
)

// Every setting is written once however often its form is handed in, is shown
// again as it was typed, and comes back with a sentence where it is wrong.
func TestSettings(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	settings := site + "/settings"
	for _, c := range []struct {
		what, show, post string
		form, wrong      url.Values
		says             string // of the wrong one
		shows            []string
	}{
		{
			"facts", settings, settings,
			url.Values{"name": {"Works"}, "zone": {"Europe/Paris"}, "remark": {"Key at <gate>"}, "months": {"4"}, "days": {"7"}, "spread": {"1.041"}, "loss-trip": {"0,5"}, "loss-clean": {"0.65"}},
			url.Values{"name": {"Works"}, "zone": {"Moon/Base"}, "months": {"4"}, "days": {"7"}, "spread": {"1.041"}},
			"ime zone &#34;Moon/Base&#34; is not known",
			[]string{`value="Europe/Paris"`, "Key at &lt;gate&gt;", `name="months" value="4"`, `name="loss-trip" value="0.5"`, `name="loss-missed" value="1"`},
		},
		{
			"loop", settings + "/loop?of=1.1", settings + "/loop",
			url.Values{"panel": {"1"}, "loop": {"1"}, "first": {"1"}, "last": {"99"}, "unset": {"0"}, "reserved": {"50, 51"}, "separate": {"1"}, "of": {"1.1"}},
			url.Values{"panel": {"1"}, "loop": {"1"}, "first": {"9"}, "last": {"3"}, "of": {"1.1"}},
			"umbers from 9 to 3 are not a span",
			[]string{`value="99"`, "50, 51", "checked"},
		},
		{
			"supply", settings + "/loop?of=1.1", settings + "/supply",
			url.Values{"panel": {"1"}, "loop": {"1"}, "volts": {"24,5"}, "source": {"0"}, "celsius": {"0"}, "alarms": {"0"}, "of": {"1.1"}},
			url.Values{"panel": {"1"}, "loop": {"1"}, "volts": {"strong"}, "of": {"1.1"}},
			"olts: &#34;strong&#34; is not a number",
			[]string{`value="24.5"`, `name="celsius" value="0"`, `name="alarms" value="0"`, `name="source" value="0"`},
		},
		{
			"load list", settings + "/loads?of=1", settings + "/loads",
			url.Values{"panel": {"1"}, "of": {"1"}, "ownrest": {"120"}, "ownalarm": {"250,5"}, "sounders": {"bells = 2 x 0 / 350"}, "largest": {"17"}, "rule": {app.StandbyRules()[2].Name}},
			url.Values{"panel": {"1"}, "of": {"1"}, "ownrest": {"120"}, "sounders": {"bells = 2 x 0 / 350"}},
			"panel&#39;s own draw is half known",
			[]string{`value="250.5"`, "bells = 2 x 0 / 350", `name="largest" value="17"`},
		},
		{
			"area", settings + "/area?of=Hall", settings + "/area",
			url.Values{"area": {"Hall"}, "floor": {"G"}, "m2": {"640"}},
			url.Values{"area": {"Hall"}, "m2": {"-3"}},
			"square metres of an area are a number from 0",
			[]string{`value="640"`, `value="G"`},
		},
		{
			"type", settings + "/type?of=Larch", settings + "/type",
			url.Values{"name": {"Larch"}, "kind": {"smoke"}, "width": {"2"}, "unit": {"%/m"}, "rest": {"25"}, "settings": {"address=switches 7\nblink=on/off"}, "band0low": {"20"}, "band0high": {"60,5"}, "band1low": {"30"}, "band1high": {"70"}, "band1setting": {"blink=on"}},
			url.Values{"name": {"Larch"}, "band0low": {"60"}, "band0high": {"20"}},
			"low limit 60 is not below the high limit 20",
			[]string{`value="60.5"`, "blink=on/off", `value="%/m"`, "Band 2", "from now on"},
		},
	} {
		shown := b.get(c.show)
		c.wrong.Set("id", s.newID())
		res := b.post(c.post, c.wrong)
		page := read(t, res)
		if res.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: a wrong form gives %d", c.what, res.StatusCode)
		}
		holds(t, page, c.says, `role="alert"`)
		before := surveyOf(t, s).Register.Entries
		c.form.Set("id", field(t, shown, "id"))
		for range 2 {
			if res := b.post(c.post, c.form); res.StatusCode != http.StatusSeeOther {
				t.Fatalf("%s gives %d:\n%s", c.what, res.StatusCode, read(t, res))
			}
		}
		if got := surveyOf(t, s).Register.Entries - before; got != 1 {
			t.Errorf("%s: %d entries, want one", c.what, got)
		}
		holds(t, b.get(c.show), c.shows...)
	}
	reg := surveyOf(t, s).Register
	if want := (sootline.Losses{Missed: 1, Look: 1, Clean: 0.65, Trip: 0.5, Replace: 3}); reg.Site.Rules.Losses != want {
		t.Errorf("the losses are %+v", reg.Site.Rules.Losses)
	}
	if sheet := reg.Sheet("Larch"); sheet == nil || sheet.Numbers() != 2 || len(sheet.Bands) != 2 || *sheet.Bands[0].High != 60.5 || sheet.Settings["blink"] != "on/off" {
		t.Errorf("the sheet is %+v", sheet)
	}
	if loop := reg.Loop(sootline.LoopID{Panel: "1", Name: "1"}); loop.Last != 99 || len(loop.Reserved) != 2 || !loop.Separate {
		t.Errorf("the loop is %+v", loop)
	}
	holds(t, b.get(settings), "Hall", "640", "Larch", "1 to 99")
}

// A technician sees what is set, and cannot change it.
func TestSettingsAreForManagers(t *testing.T) {
	s, site := aSite(t, abroad)
	tech := signIn(t, s, "T. Tech")
	page := tech.get(site + "/settings")
	holds(t, page, "A manager can change this", "<fieldset disabled>")
}

// People are added by a manager; one of them stays manager, and no password is
// ever shown.
func TestPeople(t *testing.T) {
	s := newServer(t, nil)
	b := visit(t, s)
	form := url.Values{"name": {"T. Tech <b>"}, "role": {"technician"}, "password": {password}, "again": {password}}
	res := b.post("/people", form)
	if res.StatusCode != http.StatusConflict {
		t.Error("the first person as technician gives", res.StatusCode)
	}
	page := read(t, res)
	holds(t, page, "omebody has to be manager", "T. Tech &lt;b&gt;")
	form.Set("role", "manager")
	form.Set("again", "something else entirely")
	res = b.post("/people", form)
	page = read(t, res)
	if res.StatusCode != http.StatusUnprocessableEntity {
		t.Error("two passwords give", res.StatusCode)
	}
	if holds(t, page, "two passwords are not the same"); strings.Contains(page, password) || strings.Contains(page, "something else entirely") {
		t.Error("the page shows a password")
	}
	form.Set("again", password)
	if res := b.post("/people", form); res.StatusCode != http.StatusSeeOther {
		t.Fatal(res.StatusCode, read(t, res))
	}
	people, err := s.App.People(t.Context())
	if err != nil || len(people) != 1 || people[0].Role != sootline.Manager {
		t.Errorf("%v, %v", people, err)
	}
	b.get("/people") // whoever added themselves stays
	if res := visit(t, s).do(http.MethodGet, "/people", "", nil); res.StatusCode != http.StatusSeeOther {
		t.Error("from now on everybody signs in, but the page gives", res.StatusCode)
	}
}
