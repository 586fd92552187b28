package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
)

func aSmokePoint(t *testing.T, survey *app.Survey) *sootline.Point {
	t.Helper()
	for _, p := range survey.Register.Points() {
		if j := survey.Judgement(p); j != nil && j.Band.Complete() && len(p.Readings) > 3 && p.Disabled == nil {
			return p
		}
	}
	t.Fatal("the demo has no point with readings and a band")
	return nil
}

// A reading is added, judged at once, and handing it in twice adds it once.
func TestAddReading(t *testing.T) {
	s, _ := withDemo(t, nil)
	p := aSmokePoint(t, surveyOf(t, s))
	address := pointAddress(surveyOf(t, s), p)
	b := visit(t, s)
	form := url.Values{"id": {field(t, b.get(address), "id")}, "kind": {"read"}, "samples": {"91 92 93"}}
	for range 2 {
		if res := b.post(address, form); res.StatusCode != http.StatusSeeOther || !strings.HasPrefix(res.Header.Get("Location"), address) {
			t.Fatalf("adding a reading gives %d, to %q", res.StatusCode, res.Header.Get("Location"))
		}
	}
	survey := surveyOf(t, s)
	again := survey.Register.Point(p.ID)
	if n := len(again.Readings); n != len(p.Readings)+1 {
		t.Errorf("%d readings, want one more than %d", n, len(p.Readings))
	}
	if j := survey.Judgement(again); j.Value != 92 || j.Verdict != "above" {
		t.Errorf("judged %v at %v, want above at 92, the median", j.Verdict, j.Value)
	}
	page := b.get(address + "?added=read")
	if !strings.Contains(page, "Written down: a reading") || !strings.Contains(page, "read 91 · 92 · 93") || !strings.Contains(page, "L. Local") {
		t.Error("the story does not tell of the reading and who took it")
	}
	form.Set("samples", "20")
	if res := b.post(address, form); res.StatusCode != http.StatusConflict {
		t.Errorf("the same form with another value gives %d, want a conflict", res.StatusCode)
	}
}

// A form with a mistake comes back with what was typed and one sentence, and
// nothing is written.
func TestMistakenForm(t *testing.T) {
	s, _ := withDemo(t, nil)
	before := surveyOf(t, s)
	p := aSmokePoint(t, before)
	b := visit(t, s)
	for _, c := range []struct{ kind, values, at, want string }{
		{"read", "", "", "needs: samples"},
		{"read", "twenty", "", "is not a number"},
		{"read", "25", "yesterday", "is not a date"},
		{"read", "25", "2031-01-01", "is in the future"},
		{"read", "NaN", "", "a number"},
		{"opened", "", "", "is not a kind of entry that is added here"},
	} {
		form := url.Values{"id": {s.newID()}, "kind": {c.kind}, "samples": {c.values}, "at": {c.at}, "remark": {"kept as typed"}}
		res := b.post(pointAddress(before, p), form)
		page := read(t, res)
		if res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(page, c.want) || !strings.Contains(page, "kept as typed") {
			t.Errorf("%+v gives %d, without its sentence or what was typed", c, res.StatusCode)
		}
	}
	if after := surveyOf(t, s); after.Register.Entries != before.Register.Entries {
		t.Error("a mistaken form wrote something")
	}
}

func TestAnswer(t *testing.T) {
	s, site := withDemo(t, nil)
	survey := surveyOf(t, s)
	for _, answer := range []string{"yes", "no"} {
		open := surveyOf(t, s).Asked()
		var q app.Asked
		for _, q = range open {
			if len(q.Say) > 0 {
				break
			}
		}
		id := s.newID()
		form := url.Values{"id": {id}, "answer": {answer}, "why": {"a window stood open"}, "back": {site + "/questions"}}
		for range 2 {
			if res := visit(t, s).post(site+"/questions/"+q.Key, form); res.StatusCode != http.StatusSeeOther {
				t.Fatalf("%s to %s gives %d:\n%s", answer, q.Kind, res.StatusCode, read(t, res))
			}
		}
		after := surveyOf(t, s)
		for _, other := range after.Asked() {
			if other.Key == q.Key {
				t.Errorf("question %s was answered with %s and is still asked", q.Key, answer)
			}
		}
	}
	if after := surveyOf(t, s); after.Register.Site.ID != survey.Register.Site.ID {
		t.Error("another site")
	}
}

// What another process writes to the book is seen at the next look.
func TestEntryOfAnotherProcess(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	b.get(site)
	other := *s.App
	other.Who.Station = "tablet"
	p := surveyOf(t, s).Register.Points()[0]
	_, err := other.AddEntry(context.Background(), surveyOf(t, s).Register.Site.ID, app.Note{Point: p.ID.String(), Body: sootline.Note{Text: "written elsewhere"}})
	if err != nil {
		t.Fatal(err)
	}
	if page := b.get(pointAddress(surveyOf(t, s), p)); !strings.Contains(page, "written elsewhere") {
		t.Error("the page does not tell of it")
	}
}

func TestTypedTime(t *testing.T) {
	paris, err := time.LoadLocation("Europe/Paris")
	if err != nil {
		t.Fatal(err)
	}
	got, err := typedMoment("2026-01-15 09:30", paris)
	if want := time.Date(2026, 1, 15, 8, 30, 0, 0, time.UTC); err != nil || !got.At.Equal(want) {
		t.Errorf("half past nine in Paris in winter is %v, %v; want %v", got, err, want)
	}
}

// The page of a point holds its setting card, which internal/chart draws and others
// read.
func TestCard(t *testing.T) {
	s, _ := withDemo(t, nil)
	survey := surveyOf(t, s)
	found := survey.Register.Named(sootline.Ref{Panel: "1", Loop: "2", Number: 73}, today)
	if len(found) != 1 {
		t.Fatalf("%d points carry 1.2.073", len(found))
	}
	if page := visit(t, s).get(pointAddress(survey, found[0])); !strings.Contains(page, `class="card-number"`) || !strings.Contains(page, ">073</text>") || !strings.Contains(page, "coded part in the base") {
		t.Error("the page does not show the card")
	}
}
