package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/shape"
)

// benchPack is a run as its page gets it.
func benchPack(t *testing.T, b *browser, at string) shape.Bench {
	t.Helper()
	var pack shape.Bench
	if err := json.Unmarshal([]byte(b.get(at+"/pack")), &pack); err != nil {
		t.Fatal(err)
	}
	return pack
}

// TestBenchOnTheDesk begins a run by the form and goes through it as the page does on a
// desk, where the server writes each device: refused, asked, done, taken back, skipped,
// rejected, ended; a reader sees the run and writes nothing.
func TestBenchOnTheDesk(t *testing.T) {
	s := newServer(t, realTime)
	site, _ := benchLoop(t, s, 3, nil)
	for name, role := range map[string]sootline.Role{"M. Manager": sootline.Manager, "T. Tech": sootline.Technician, "R. Reader": sootline.Reader} {
		if err := s.App.AddPerson(t.Context(), name, role, password); err != nil {
			t.Fatal(err)
		}
	}
	desk, reader := signIn(t, s, "T. Tech"), signIn(t, s, "R. Reader")
	res := postParts(desk, site+"/bench", map[string]string{"id": s.newID(), "with": "plan", "first": "place", "by": "number", "name": "shelf 2", "box": "B1,Larch\nB2,Larch\nB3,Larch\n"})
	at := res.Header.Get("Location")
	if res.StatusCode != http.StatusSeeOther || !strings.HasPrefix(at, site+"/bench/") {
		t.Fatalf("beginning gives %d, %s: %.500s", res.StatusCode, at, read(t, res))
	}
	pack := benchPack(t, desk, at)
	if pack.Phone || len(pack.Places) != 3 || len(pack.Box) != 3 || !strings.Contains(pack.Places[0].Card, "card-lever") {
		t.Fatalf("the desk is a phone: %v; %d places, %d devices", pack.Phone, len(pack.Places), len(pack.Box))
	}
	act := func(by *browser, want int, body string, more ...any) string {
		t.Helper()
		body = strings.Replace(fmt.Sprintf(body, more...), "{", `{"id":"`+s.newID()+`",`, 1)
		res := by.do(http.MethodPost, at, body, func(r *http.Request) { r.Header.Set("Content-Type", "application/json") })
		text := read(t, res)
		if res.StatusCode != want {
			t.Fatalf("%s gives %d, want %d: %.400s", body, res.StatusCode, want, text)
		}
		return text
	}
	first, second := pack.Places[0].ID, pack.Places[1].ID
	if text := act(desk, http.StatusConflict, `{"act":"done","point":"%s","serial":"B1","samples":[95]}`, first); !strings.Contains(text, "above the band") {
		t.Errorf("a value far off: %s", text)
	}
	act(desk, http.StatusOK, `{"act":"done","point":"%s","serial":"B1","read":1,"samples":[25,25.5],"modes":{"blink":"off"}}`, first)
	if text := act(desk, http.StatusConflict, `{"act":"done","point":"%s","serial":"B1","sure":true}`, second); !strings.Contains(text, "was set for 1.1.001 already") {
		t.Errorf("a serial twice: %s", text)
	}
	act(desk, http.StatusOK, `{"act":"skip","point":"%s","why":"no base"}`, second)
	act(desk, http.StatusUnprocessableEntity, `{"act":"reject","serial":"B3"}`)
	act(desk, http.StatusOK, `{"act":"reject","serial":"B3","why":"cracked"}`)
	act(desk, http.StatusOK, `{"act":"undo"}`)
	if text := act(desk, http.StatusConflict, `{"act":"end"}`); !strings.Contains(text, "left in this run: 2") && !strings.Contains(text, "Left in this run: 2") {
		t.Errorf("ended with places left: %s", text)
	}
	act(reader, http.StatusForbidden, `{"act":"skip"}`)
	act(desk, http.StatusUnprocessableEntity, `{"act":"dance"}`)
	pack = benchPack(t, reader, at+"")
	if pack.Progress.Done != 1 || pack.Progress.Skipped != 1 || pack.Progress.Rejected != 0 {
		t.Errorf("progress %+v", pack.Progress)
	}
	if p := surveyOf(t, s).Register.Points()[0]; p.Stands.Number != 1 || p.Unit.Serial != "B1" || p.Has["blink"] != "off" || len(p.Readings) != 1 {
		t.Errorf("the first place: %+v, %+v, %v", p.Stands, p.Unit, p.Has)
	}
	for _, paper := range []string{"labels.pdf", "bench.pdf", "bench.csv"} {
		run := at[strings.LastIndex(at, "/")+1:]
		if res := desk.do(http.MethodGet, site+"/paper/"+paper+"?run="+url.QueryEscape(run), "", nil); res.StatusCode != http.StatusOK {
			t.Errorf("%s of the run gives %d: %.300s", paper, res.StatusCode, read(t, res))
		}
	}
	act(desk, http.StatusOK, `{"act":"end","sure":true}`)
	if pack = benchPack(t, desk, at); pack.Closed == 0 || time.Since(time.UnixMilli(pack.Closed)) > time.Hour {
		t.Error("the run has not ended")
	}
	if page := desk.get(site + "/bench"); !strings.Contains(page, "shelf 2") || !strings.Contains(page, "ended ") {
		t.Error("the list of runs does not tell of its end")
	}
}

// TestReplaceOnThePointsPage puts another device at a point by its page: with the checks
// of the bench, asked where it may be a slip, and nothing typed is lost.
func TestReplaceOnThePointsPage(t *testing.T) {
	s := newServer(t, realTime)
	site, _ := benchLoop(t, s, 2, nil)
	b := visit(t, s)
	survey := surveyOf(t, s)
	at := site + "/point/" + survey.Register.Points()[0].ID.String()
	if page := b.get(at); !strings.Contains(page, "Another device here") || !strings.Contains(page, "from its box: switches 2, 3, 4, 5, 6, 7 off") {
		t.Fatal("the page does not say how another device is set")
	}
	form := url.Values{"id": {s.newID()}, "serial": {"N7"}, "read": {"2"}, "samples": {"27 27 28"}, "found": {"blink=off"}}
	res := b.post(at+"/replace", form)
	if text := read(t, res); res.StatusCode != http.StatusConflict || !strings.Contains(text, "It answers to 2, and 1 was to be set") || !strings.Contains(text, `value="N7"`) || !strings.Contains(text, `value="27 27 28"`) {
		t.Errorf("another number gives %d: %.300s", res.StatusCode, text)
	}
	form.Set("read", "1")
	if res = b.post(at+"/replace", form); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("replacing gives %d: %.600s", res.StatusCode, read(t, res))
	}
	if p := surveyOf(t, s).Register.Points()[0]; p.Unit.Serial != "N7" || p.Stands.Number != 1 || p.Has["blink"] != "off" || len(p.Readings) != 1 {
		t.Errorf("replaced: %+v, %+v, %v", p.Unit, p.Stands, p.Has)
	}
	form.Set("id", s.newID())
	if res = b.post(at+"/replace", form); res.StatusCode != http.StatusConflict {
		t.Errorf("the device that is there already gives %d", res.StatusCode)
	}
}
