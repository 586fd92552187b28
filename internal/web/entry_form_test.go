package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/store"
)

// saidOf is the JSON of bodies, one or more of each kind that people write, with
// every key and with what a form could lose: ends of lines, spaces, signs of HTML.
func saidOf(point, defect string) map[string]string {
	const photo = "0af90af90af90af90af90af90af90af90af90af90af90af90af90af90af90af9"
	place := `"panel":"1","loop":"1","order":7,"metres":12.5,"spur":3,"zone":"4","area":"Hall","location":"over the door","floor":"1","x":1.5,"y":2.5`
	return map[string]string{
		"read":      `{"samples":[25,26.5,-1],"quantity":"share","remark":"two\nlines, <b> \"x\" & ä"}`,
		"cleaned":   `{"text":"\nbegins with an empty line\n  indented"}`,
		"replaced":  `{"type":"Larch","serial":" A=1 ","batch":"7","made":"2024-11","text":"x"}`,
		"tested":    `{"failed":true,"text":"no lamp","certain":true}`,
		"unreached": `{"text":"locked"}`,
		"rebased":   `{"text":"by panel"}`,
		"defect":    `{"nature":"damage","grade":"serious","text":"cracked","needs":"a base","photo":"` + photo + `","place":"stairs"}`,
		"fault":     `{"cause":"line","text":"open"}`,
		"followed":  `{"defect":"` + defect + `","told":"B. Boss","agreed":"soon","needs":"a base","by_day":"2026-02-01","grade":"minor","text":"x","photo":"` + photo + `"}`,
		"mended":    `{"defect":"` + defect + `","text":"base changed","photo":"` + photo + `"}`,
		"retested":  `{"defect":"` + defect + `","failed":true,"text":"x","photo":"` + photo + `","certain":true}`,
		"disabled":  `{"cause":"works","text":"dust"}`,
		"restored":  `{"text":"clean again"}`,
		"alarm":     `{"category":"good intent","cause":"steam","text":"x\ny","attended":true}`,
		"note":      `{"text":"","answers":"key","photo":"` + photo + `"}`,
		"addressed": `{"wanted":7,"listed":6,"found":8,"set":8,"how":"panel","text":"odd"}`,
		"wanted":    `{"type":"Larch","zone":"4","area":"Hall","settings":{"blink":"off","tone":""},"reason":"guests, \"sleeping\""}`,
		"set":       `{"wanted":{"blink":"off","sense":"high, low"},"found":{"blink":"on"}}`,
		"changed":   `{"text":"new zone","points":["` + point + `"]}`,
		"fitted":    `{` + place + `,"type":"Larch","serial":"7","batch":"b","made":"2020"}`,
		"moved":     `{` + place + `}`,
		"removed":   `{"text":"wall gone"}`,
		"visit":     `{"state":"opened","text":"x","confirmed":["a","b"],"disabled":["zone 1"],"minutes":60,"round":["` + point + `"],"work":[["test"]],"left":"normal","standing":["y"],"untested":["` + point + `"],"asked":2,"next":"2026-02-01"}`,
		"bench":     `{"state":"opened","run":"` + defect + `","name":"hall","text":"x","first":"device","points":["` + point + `"],"box":[{"serial":" S=1 ","batch":"b","made":"2026","type":"Larch"}],"panel":"1","loop":"1","from":5}`,
		"benched":   `{"run":"` + defect + `","outcome":"done","serial":" S=1 ","batch":"b","made":"2026","type":"Larch","reason":"as <seen>","with":["` + defect + `"]}`,
		"opened":    `{"name":"Mill","zone":"UTC","remark":"r","rules":{"visit_months":3}}`,
		"service":   `{"rules":[{"name":"r","form":"zone","known":"own"}],"minutes":{"test":3},"areas":[{"area":"Hall","setup":5}],"order":["Hall"]}`,
		"alias":     `{"of":"type","said":"LARCH 2","means":"Larch"}`,
		"loop":      `{"panel":"1","loop":"1","first":1,"last":126,"unset":126,"reserved":[5],"separate":true}`,
		"area":      `{"area":"Hall","floor":"1","m2":120.5}`,
		"supply":    `{"panel":"1","loop":"1","volts":28.5,"mm2":1.5,"celsius":-5}`,
		"loads":     `{"panel":"1","own_rest_ma":120,"own_alarm_ma":250.5,"loads":[{"part":"sounders","name":"bells","count":2,"alarm_ma":350}],"rule":"x","standby_hours":30,"alarm_hours":0.5,"margin":1.25,"coldest":-5,"design":1.1,"ageing":1.25,"charger_ma":500,"accepts":0.8,"largest_ah":17}`,
		"measured":  `{"panel":"1","loop":"1","occasion":"service","plus_ohms":4.8,"minus_ohms":4.7,"plus_earth_mohm":80,"minus_earth_mohm":75,"test_volts":500,"out_volts":24.1,"far_volts":23.9,"rest_ma":12.5,"celsius":20,"meter_percent":1,"meter_digit":0.1,"text":"x"}`,
		"radial":    `{"panel":"1","circuit":"B1","serves":"sounders","volts":24,"low_volts":20,"high_volts":28,"rest_volts":12,"source_ohms":0.5,"limit_ma":500,"end_ohms":4700,"end_percent":5,"band_low_ma":2,"band_high_ma":20,"mm2":1.5,"celsius":20,"least_volts":16,"devices":[{"name":"bell 1","metres":40,"rest_ma":0,"alarm_ma":25}]}`,
		"sheet":     `{"name":"Larch","device":"smoke","unit":"x","bands":[{"low":20,"high":60}],"settings":{"blink":"on/off"}}`,
	}
}

// bodiesOf decodes them, and misses no kind that people write.
func bodiesOf(t *testing.T, point, defect sootline.ID) map[sootline.Kind]sootline.Body {
	t.Helper()
	bodies := map[sootline.Kind]sootline.Body{}
	for kind, raw := range saidOf(point.String(), defect.String()) {
		body, err := sootline.DecodeBody(sootline.Kind(kind), []byte(raw))
		if err != nil {
			t.Fatal(kind, err)
		}
		form, err := sootline.FormOf(body)
		if err != nil {
			t.Fatal(err)
		}
		bodies[sootline.Kind(kind)] = body
		for _, field := range sootline.FieldsOf(sootline.Kind(kind)) {
			if form[field.Key] == "" && !strings.Contains("opened supply radial sheet note", kind) {
				t.Errorf("the %s here does not try its key %s", kind, field.Key)
			}
		}
	}
	for _, kind := range sootline.Kinds() {
		if !kind.ByProgram && len(sootline.FieldsOf(kind.Kind)) > 0 && bodies[kind.Kind] == nil {
			t.Errorf("kind %s is not tried", kind.Kind)
		}
	}
	return bodies
}

// sends gives what a browser sends of the form of an entry on a page.
func sends(t *testing.T, page string) url.Values {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && n.Data == "form" && attribute(n, "data-said") != "" {
			return fieldsIn(n)
		}
	}
	t.Fatal("the page has no form of an entry")
	return nil
}

func fieldsIn(form *html.Node) url.Values {
	sent := url.Values{}
	for n := range form.Descendants() {
		name := attribute(n, "name")
		switch {
		case n.Type != html.ElementNode || name == "":
		case n.Data == "input" && attribute(n, "type") == "checkbox":
			if has(n, "checked") {
				sent.Set(name, attribute(n, "value"))
			}
		case n.Data == "input":
			sent.Set(name, strings.NewReplacer("\r", "", "\n", "").Replace(attribute(n, "value"))) // as every browser does in a field of one line
		case n.Data == "textarea":
			sent.Set(name, strings.ReplaceAll(textIn(n), "\n", "\r\n"))
		case n.Data == "select":
			for option := range n.Descendants() {
				if option.Data == "option" && (has(option, "selected") || !sent.Has(name)) {
					sent.Set(name, attribute(option, "value"))
				}
			}
		}
	}
	return sent
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, key string) bool {
	for _, a := range n.Attr {
		if a.Key == key {
			return true
		}
	}
	return false
}

func textIn(n *html.Node) string {
	text := ""
	for c := range n.ChildNodes() {
		text += c.Data
	}
	return text
}

// saysIn gives what an entry says now, as JSON.
func saysIn(t *testing.T, body sootline.Body) string {
	t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// Every kind through the page's own form: what an entry says is the same after a
// correction of something else, key by key. The form of before dropped the
// category and attendance of an alarm, and the photo of a note.
func TestCorrectionsLoseNothing(t *testing.T) {
	now := today
	s, site := withDemo(t, func(c *Config) { c.App.Now = func() time.Time { return now } })
	survey := surveyOf(t, s)
	p := aSmokePoint(t, survey)
	b := visit(t, s)
	for kind, body := range bodiesOf(t, p.ID, sootline.NewID(now, [10]byte{1})) {
		facts, _ := sootline.KindNamed(kind)
		note := app.Note{Body: body, Sure: true, Point: p.ID.String()}
		if facts.OfSite || kind == sootline.WishKind { // a wish with all its keys names no point
			note.Point = ""
		}
		e, err := s.App.AddEntry(t.Context(), survey.Register.Site.ID, note)
		if facts.ByUse != "" {
			e, err = pastTheForms(t, s, survey.Register.Site.ID, body)
		}
		if err != nil {
			t.Fatal(kind, err)
		}
		now = now.Add(time.Minute)
		address := site + "/log/" + e.ID.String()
		form := sends(t, b.get(address))
		if res := b.post(address, form); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(read(t, res), "Nothing is changed") {
			t.Errorf("%s: a correction that changes nothing gives %d", kind, res.StatusCode)
		}
		form.Set("at", "2026-01-19 11:12")
		form.Set("sure", "1")
		if res := b.post(address, form); res.StatusCode != http.StatusSeeOther {
			t.Errorf("%s: the correction gives %d: %s", kind, res.StatusCode, sentenceIn(read(t, res)))
			continue
		}
		line, err := surveyOf(t, s).LogEntry(e.ID)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := saysIn(t, line.Holds().Body), saysIn(t, body); got != want {
			t.Errorf("%s\n became %s\n    from %s", kind, got, want)
		}
	}
}

// pastTheForms writes an entry as an older book may hold it.
func pastTheForms(t *testing.T, s *Server, site sootline.ID, body sootline.Body) (sootline.Entry, error) {
	now := s.App.Now()
	e := sootline.Entry{ID: sootline.NewID(now, s.App.Random()), Site: site, At: now, Noted: now, By: s.App.Who.Name, Station: s.App.Who.Station, Body: body}
	return e, s.App.Book.Write(t.Context(), func(tx *store.Tx) error {
		return tx.Append(site, e.Station, func(w *store.Writer) error { return w.Add(e) })
	})
}

func sentenceIn(page string) string {
	_, after, _ := strings.Cut(page, `role="alert"`)
	return after[:min(300, len(after))]
}

// Every kind that is offered, through the form that adds it and through the API.
func TestFormsAddEveryKind(t *testing.T) {
	s, site := withDemo(t, nil)
	survey := surveyOf(t, s)
	p := aSmokePoint(t, survey)
	b := visit(t, s)
	id := survey.Register.Site.ID
	for kind, body := range bodiesOf(t, p.ID, sootline.NewID(today, [10]byte{1})) {
		facts, _ := sootline.KindNamed(kind)
		point := p.ID.String()
		if facts.OfSite || kind == sootline.WishKind { // a wish with all its keys names no point
			point = ""
		}
		if facts.ByHand {
			form := sends(t, b.get(site+"/log?new="+string(kind)))
			typed, err := sootline.FormOf(body)
			if err != nil {
				t.Fatal(err)
			}
			for key, text := range typed {
				if !form.Has(key) && text != "yes" {
					t.Errorf("%s: the form has no field %s", kind, key)
				}
				form.Set(key, text)
			}
			form.Set("point", point)
			form.Set("sure", "1")
			res := b.post(site+"/log", form)
			if res.StatusCode != http.StatusSeeOther {
				t.Errorf("%s gives %d: %s", kind, res.StatusCode, sentenceIn(read(t, res)))
				continue
			}
			holdsBody(t, s, id, form.Get("id"), body)
		}
		entry := s.newID()
		raw := fmt.Sprintf(`{"id":%q,"kind":%q,"point":%q,"sure":true,"body":%s}`, entry, kind, point, saysIn(t, body))
		res := b.do(http.MethodPost, api.Root+"/sites/"+id.String()+"/log", raw, func(r *http.Request) { r.Header.Set("Content-Type", "application/json") })
		if facts.ByUse != "" {
			if res.StatusCode != http.StatusUnprocessableEntity {
				t.Errorf("%s, which %s alone writes, through the API gives %d", kind, facts.ByUse, res.StatusCode)
			}
			continue
		}
		if res.StatusCode != http.StatusOK {
			t.Errorf("%s through the API gives %d: %s", kind, res.StatusCode, read(t, res))
			continue
		}
		holdsBody(t, s, id, entry, body)
	}
}

func holdsBody(t *testing.T, s *Server, site sootline.ID, entry string, want sootline.Body) {
	t.Helper()
	id, err := sootline.ParseID(entry)
	if err != nil {
		t.Fatal(err)
	}
	e, err := s.App.Entry(t.Context(), site, id)
	if err != nil {
		t.Fatal(err)
	}
	if got := saysIn(t, e.Body); got != saysIn(t, want) {
		t.Errorf("%s became %s", saysIn(t, want), got)
	}
}

// No key of any kind has the name of one of the form's own fields.
func TestOwnNames(t *testing.T) {
	for _, kind := range sootline.Kinds() {
		if kind.ByProgram {
			continue // nobody writes it in a form
		}
		for _, field := range sootline.FieldsOf(kind.Kind) {
			for _, own := range ownNames {
				if field.Key == own {
					t.Errorf("kind %s has a key %s, and so has the form", kind.Kind, own)
				}
			}
		}
	}
}

// A correction that somebody else overtook is refused, and what holds is shown.
func TestOvertakenCorrection(t *testing.T) {
	now := today
	s, site := withDemo(t, func(c *Config) { c.App.Now = func() time.Time { return now } })
	b := visit(t, s)
	address := anEntry(t, s, site, sootline.ReadKind)
	mine, theirs := sends(t, b.get(address)), sends(t, b.get(address))
	theirs.Set("samples", "31")
	now = now.Add(time.Minute)
	if res := b.post(address, theirs); res.StatusCode != http.StatusSeeOther {
		t.Fatal(res.StatusCode)
	}
	mine.Set("samples", "32")
	res := b.post(address, mine)
	page := read(t, res)
	if res.StatusCode != http.StatusConflict || !strings.Contains(page, "amended this entry meanwhile") || sends(t, page).Get("samples") != "31" {
		t.Errorf("a correction that was overtaken gives %d, and the form shows %q", res.StatusCode, sends(t, page).Get("samples"))
	}
}

// An empty form of an alarm writes nothing, and neither does one whose fields were
// those of another kind: they are shown first. Nor does one that leaves open how a test went.
func TestEmptyForms(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	before := written(t, s)
	if res := b.post(site+"/alarms", sends(t, b.get(site+"/alarms"))); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(read(t, res), "says nothing") {
		t.Errorf("an empty alarm gives %d", res.StatusCode)
	}
	form := sends(t, b.get(site+"/log"))
	form.Set("kind", "alarm")
	page := read(t, b.post(site+"/log", form))
	if !sends(t, page).Has("category") {
		t.Error("the fields of the chosen kind are not shown")
	}
	form = sends(t, b.get(site+"/log"))
	form.Set("kind", "tested")
	form.Set("point", "1.1.002")
	form = sends(t, read(t, b.post(site+"/log", form)))
	if res := b.post(site+"/log", form); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(read(t, res), "how it went") {
		t.Errorf("a test of which nobody says how it went gives %d", res.StatusCode)
	}
	if after := written(t, s); after != before {
		t.Error("an empty form wrote something")
	}
}

// What may be a slip is asked, with a box to tick; ticked, it is written.
func TestDoubtedForm(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	survey := surveyOf(t, s)
	form := sends(t, b.get(site+"/log?new=addressed"))
	form.Set("point", aSmokePoint(t, survey).ID.String())
	form.Set("found", "500")
	res := b.post(site+"/log", form)
	page := read(t, res)
	if res.StatusCode != http.StatusConflict || !strings.Contains(page, "Number 500 found is not one of the numbers") || !strings.Contains(page, `name="sure"`) {
		t.Fatalf("number 500 gives %d", res.StatusCode)
	}
	again := sends(t, page)
	again.Set("sure", "1")
	if res := b.post(site+"/log", again); res.StatusCode != http.StatusSeeOther {
		t.Errorf("said to be certain, it gives %d", res.StatusCode)
	}
	body := fmt.Sprintf(`{"id":%q,"kind":"addressed","point":%q,"body":{"found":500}}`, s.newID(), form.Get("point"))
	res = b.do(http.MethodPost, api.Root+"/sites/"+survey.Register.Site.ID.String()+"/log", body, func(r *http.Request) { r.Header.Set("Content-Type", "application/json") })
	if text := read(t, res); res.StatusCode != http.StatusConflict || !bytes.Contains([]byte(text), []byte("urn:sootline:problem:doubtful")) {
		t.Errorf("through the API it gives %d: %s", res.StatusCode, text)
	}
}
