package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
)

// holds reports whether the log has the entry that was asked for.
func (w *rightsWorld) holds(x try) bool {
	w.t.Helper()
	held, err := w.s.App.Book.Has(w.t.Context(), x.site.id, x.id)
	if err != nil {
		w.t.Fatal(err)
	}
	return held[x.id]
}

// doorSaid is what a door answered: whether it says yes, no because of who asks,
// or something else; and its words.
type doorSaid struct {
	yes, forbidden bool
	words          string
}

func (w *rightsWorld) said(res *http.Response) doorSaid {
	w.t.Helper()
	text := read(w.t, res)
	if res.StatusCode != http.StatusOK && res.StatusCode != http.StatusSeeOther && !strings.HasPrefix(text, "{") {
		text = sentenceIn(text)
	}
	return doorSaid{
		res.StatusCode == http.StatusOK || res.StatusCode == http.StatusSeeOther, res.StatusCode == http.StatusForbidden,
		fmt.Sprintf("%d %.200s", res.StatusCode, text),
	}
}

// atPage asks by the forms of the pages. None: the pages have no form for it.
func (w *rightsWorld) atPage(b *browser, x try) (a doorSaid, none bool) {
	site := "/site/" + x.site.id.String()
	form, err := sootline.FormOf(x.body)
	if err != nil {
		w.t.Fatal(err)
	}
	sent := url.Values{"id": {x.id.String()}, "sure": {"1"}}
	switch x.Act {
	case "withdraw":
		sent.Set("do", "withdraw")
		return w.said(b.post(site+"/log/"+x.target.ID.String(), sent)), false
	case "correct":
		for key, text := range form {
			sent.Set(key, text)
		}
		sent.Set("at", "2026-01-18 08:15")
		if !x.point.Zero() {
			sent.Set("point", x.point.String())
		}
		return w.said(b.post(site+"/log/"+x.target.ID.String(), sent)), false
	}
	if facts, _ := sootline.KindNamed(sootline.Kind(x.Kind)); facts.ByHand || facts.ByProgram {
		for key, text := range form {
			sent.Set(key, text)
		}
		sent.Set("kind", x.Kind)
		if !x.point.Zero() {
			sent.Set("point", x.point.String())
		}
		return w.said(b.post(site+"/log", sent)), false
	}
	if x.Kind == "fitted" {
		for key, text := range map[string]string{"loop": "1.1", "number": fmt.Sprint(1 + w.n%126), "type": "Larch", "location": "Hall " + fmt.Sprint(w.n)} {
			sent.Set(key, text)
		}
		return w.said(b.post(site+"/points/add", sent)), false
	}
	return w.bySettings(b, x, site, sent)
}

// bySettings asks by the forms of the settings.
func (w *rightsWorld) bySettings(b *browser, x try, site string, sent url.Values) (a doorSaid, none bool) {
	n, sets := fmt.Sprint(w.n%100), app.RuleSets()
	of := map[string]url.Values{
		"":        {"remark": {"remark " + n}},
		"/loop":   {"panel": {"1"}, "loop": {"1"}, "of": {"1.1"}, "first": {"1"}, "last": {"1" + n}},
		"/supply": {"panel": {"1"}, "loop": {"1"}, "of": {"1.1"}, "volts": {"2" + n}},
		"/loads":  {"panel": {"1"}, "of": {"1"}, "charger": {"2" + n}},
		"/area":   {"area": {"Hall"}, "m2": {"1" + n}},
		"/rules":  {"rules": {sets[w.n%2].Name}},
		"/type":   {"name": {"Larch"}, "kind": {"smoke"}, "rest": {n}},
	}
	address, there := map[string]string{"opened": "", "loop": "/loop", "supply": "/supply", "loads": "/loads", "area": "/area", "sheet": "/type", "service": "/rules"}[x.Kind]
	if !there {
		return a, true
	}
	for key, values := range of[address] {
		sent[key] = values
	}
	return w.said(b.post(site+"/settings"+address, sent)), false
}

// atAPI asks by the operations of the API.
func (w *rightsWorld) atAPI(b *browser, x try) doorSaid { return w.asProgram(b, x, asJSON) }

// asProgram asks by the operations of the API, by requests that are made ready.
func (w *rightsWorld) asProgram(b *browser, x try, ready func(*http.Request)) doorSaid {
	address := api.Root + "/sites/" + x.site.id.String() + "/log"
	body := map[string]any{"id": x.id.String()}
	switch x.Act {
	case "withdraw":
		address += "/entries/" + x.target.ID.String() + "/withdrawal"
	case "correct":
		address += "/entries/" + x.target.ID.String() + "/correction"
		body["at"], body["sure"] = today.Add(-48*time.Hour), true
	default:
		body["kind"], body["body"], body["sure"] = x.Kind, x.body, true
		if !x.point.Zero() {
			body["point"] = x.point.String()
		}
	}
	return w.said(b.do(http.MethodPost, address, w.text(body), ready))
}

func (w *rightsWorld) text(value any) string {
	w.t.Helper()
	raw, err := json.Marshal(value)
	if err != nil {
		w.t.Fatal(err)
	}
	return string(raw)
}

// atPhone hands in what the phone captured.
func (w *rightsWorld) atPhone(b *browser, x try) doorSaid {
	body, point := x.body, x.point
	switch x.Act {
	case "correct":
		body, point = w.amends("corrected", x.target), sootline.ID{}
	case "withdraw":
		body, point = w.amends("withdrawn", x.target), sootline.ID{}
	}
	capture := map[string]any{"id": x.id.String(), "at": today.UnixMilli(), "kind": body.Kind(), "body": body}
	if !point.Zero() {
		capture["point"] = point.String()
	}
	res := b.do(http.MethodPost, "/site/"+x.site.id.String()+"/visit/entries", w.text(map[string]any{"entries": []any{capture}}), asJSON)
	if res.StatusCode != http.StatusOK {
		return w.said(res)
	}
	var handed struct {
		Kept    []string
		Refused []struct{ Why string }
	}
	if err := json.Unmarshal([]byte(read(w.t, res)), &handed); err != nil {
		w.t.Fatal(err)
	}
	if len(handed.Refused) == 0 {
		return doorSaid{yes: true}
	}
	why := handed.Refused[0].Why
	words := []string{"is for the role of", "is not captured on a phone", "a phone amends only", "only a manager may change that", "of a phone opens", "by its key", "is not amended", "is not corrected", "by the program alone"}
	return doorSaid{forbidden: slices.ContainsFunc(words, func(text string) bool { return strings.Contains(why, text) }), words: why}
}

// atCommand asks as the command line does: through app, as an actor of the role.
func (w *rightsWorld) atCommand(x try) doorSaid {
	a := *w.s.App
	a.Who.Name, a.Who.Role, a.Who.Scope = x.by.name, sootline.Role(x.Role), x.by.scope
	var err error
	amendment := app.Amendment{ID: x.id, Entry: x.target.ID, Sure: true}
	switch x.Act {
	case "withdraw":
		_, err = a.Withdraw(w.t.Context(), x.site.id, amendment)
	case "correct":
		_, err = a.Correct(w.t.Context(), x.site.id, amendment, func(holds sootline.Entry) (sootline.Corrected, error) {
			c := app.AsItHolds(holds)
			c.At = c.At.Add(-time.Hour)
			return c, nil
		})
	default:
		note := app.Note{ID: x.id, Body: x.body, Sure: true}
		if !x.point.Zero() {
			note.Point = x.point.String()
		}
		_, err = a.AddEntry(w.t.Context(), x.site.id, note)
	}
	if err != nil {
		return doorSaid{forbidden: sootline.ErrorCode(err) == sootline.Forbidden, words: err.Error()}
	}
	return doorSaid{yes: true}
}
