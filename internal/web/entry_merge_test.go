package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"reflect"
	"testing"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
)

// TestMergedCorrections takes each key of each kind away through the API and gives it
// back: what a correction leaves out stays as it holds.
func TestMergedCorrections(t *testing.T) {
	now := today
	s, _ := withDemo(t, func(c *Config) { c.App.Now = func() time.Time { return now } })
	survey := surveyOf(t, s)
	p := aSmokePoint(t, survey)
	b := visit(t, s)
	site := survey.Register.Site.ID
	for kind, body := range bodiesOf(t, p.ID, sootline.NewID(today, [10]byte{1})) {
		facts, _ := sootline.KindNamed(kind)
		if facts.ByUse != "" {
			continue // it is added by its use cases alone
		}
		point := p.ID.String()
		if facts.OfSite || kind == sootline.WishKind { // a wish with all its keys names no point
			point = ""
		}
		e, err := s.App.AddEntry(t.Context(), site, app.Note{Body: body, Sure: true, Point: point})
		if err != nil {
			t.Fatal(kind, err)
		}
		var keys map[string]json.RawMessage
		if err := json.Unmarshal([]byte(saysIn(t, body)), &keys); err != nil {
			t.Fatal(err)
		}
		tried := 0
		for key, value := range keys {
			lay := func(value string) (int, string) {
				now = now.Add(time.Minute)
				res := b.do(http.MethodPost, api.Root+"/sites/"+site.String()+"/log/entries/"+e.ID.String()+"/correction",
					fmt.Sprintf(`{"id":%q,"sure":true,"body":{%q:%s}}`, s.newID(), key, value), asJSON)
				var said struct {
					Body struct{ Body json.RawMessage }
				}
				if text := read(t, res); res.StatusCode == http.StatusOK {
					if err := json.Unmarshal([]byte(text), &said); err != nil {
						t.Fatal(err)
					}
				}
				return res.StatusCode, string(said.Body.Body)
			}
			code, said := lay("null")
			if code != http.StatusOK {
				continue // the kind cannot do without it
			}
			tried++
			less := map[string]json.RawMessage{}
			for other, value := range keys {
				if other != key {
					less[other] = value
				}
			}
			if !sameJSON(t, said, less, key) {
				t.Errorf("%s without %s became %s", kind, key, said)
			}
			if code, said := lay(string(value)); code != http.StatusOK || !sameJSON(t, said, keys, "") {
				t.Errorf("%s with %s again gives %d and says %s", kind, key, code, said)
			}
		}
		if tried == 0 && len(keys) > 1 && kind != sootline.AliasKind { // an alias says nothing without any of its three
			t.Errorf("no key of %s could be taken away", kind)
		}
	}
}

// sameJSON reports whether an object has these keys and values; one key may be there
// with an empty value.
func sameJSON(t *testing.T, text string, want map[string]json.RawMessage, empty string) bool {
	t.Helper()
	var got, wanted map[string]any
	raw, err := json.Marshal(want)
	if err := errors.Join(err, json.Unmarshal([]byte(text), &got), json.Unmarshal(raw, &wanted)); err != nil {
		t.Fatal(err)
	}
	if value := got[empty]; value == "" || value == nil || value == 0.0 || value == false {
		delete(got, empty)
	}
	return reflect.DeepEqual(got, wanted)
}
