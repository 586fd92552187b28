package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"sootline"
)

// goValue finds what a template shows where it is given a list or a struct to print.
var goValue = regexp.MustCompile(`\[\{|&lt;nil&gt;|map\[|\}\]|</strong> \[\]`)

// A form with a mistake comes back with a sentence and its way out, not with values of
// the program.
func TestRefusalsAreSentences(t *testing.T) {
	s, site := withDemo(t, nil)
	survey := surveyOf(t, s)
	point := pointAddress(survey, survey.Register.Points()[0])
	for _, c := range []struct {
		address string
		form    url.Values
	}{
		{point, url.Values{"kind": {"addressed"}, "set": {"x"}}},
		{point, url.Values{"kind": {"moved"}, "zone": {"3"}}},
		{point, url.Values{"kind": {"moved"}, "panel": {"1"}, "loop": {"1"}}},
		{site + "/log", url.Values{"kind": {"read"}, "samples": {"x"}, "point": {"1.1.001"}}},
		{site + "/log", url.Values{"kind": {"note"}, "text": {"x"}, "point": {"9.9.999"}}},
		{point + "/device", url.Values{"act": {"set"}, "number": {"x"}}},
		{site + "/settings", url.Values{"zone": {"Nowhere/None"}}},
		{site + "/alarms", url.Values{"category": {"unwanted"}, "at": {"x"}}},
		{site + "/defects", url.Values{"point": {"9.9.999"}, "text": {"x"}}},
	} {
		c.form.Set("id", s.newID())
		res := visit(t, s).post(c.address, c.form)
		text := read(t, res)
		if res.StatusCode < http.StatusBadRequest || res.StatusCode >= http.StatusInternalServerError {
			t.Errorf("%s %v: %d", c.address, c.form, res.StatusCode)
		}
		_, main, _ := strings.Cut(text, "<main")
		if found := goValue.FindString(main); found != "" || !strings.Contains(main, `role="alert"`) {
			t.Errorf("%s %v shows %q", c.address, c.form, found)
		}
	}
}

// Whoever changes a place begins with what is known of it, also where the fields are
// shown after another kind was chosen.
func TestPlaceFormBeginsWithWhatIsKnown(t *testing.T) {
	s, _ := withDemo(t, nil)
	survey := surveyOf(t, s)
	var p *sootline.Point
	for _, one := range survey.Register.Points() {
		if one.Area != "" && one.Location != "" {
			p = one
		}
	}
	address := pointAddress(survey, p)
	shown := visit(t, s).get(address + "?new=moved")
	again := read(t, visit(t, s).post(address, url.Values{"id": {s.newID()}, "kind": {"moved"}, "shown": {"wish"}, "area": {""}, "zone": {""}}))
	for where, page := range map[string]string{"asked for": shown, "chosen without script": again} {
		_, form, _ := strings.Cut(page, `id="entry-said"`)
		if !strings.Contains(form, `name="area" value="`+p.Area+`"`) || !strings.Contains(form, `name="location" value="`+p.Location+`"`) {
			t.Errorf("%s: the form does not hold area %q and location %q", where, p.Area, p.Location)
		}
	}
}
