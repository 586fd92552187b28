package web

import (
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
)

// anEntry gives the address of an entry of one of the kinds.
func anEntry(t *testing.T, s *Server, site string, kinds ...sootline.Kind) string {
	t.Helper()
	_, lines, err := s.App.ReadLog(t.Context(), surveyOf(t, s).Register.Site.ID, app.LogFilter{Kinds: kinds})
	if err != nil || len(lines) == 0 {
		t.Fatal(len(lines), err)
	}
	return site + "/log/" + lines[len(lines)-1].Entry.ID.String()
}

// written counts the entries of the book's only site.
func written(t *testing.T, s *Server) int {
	t.Helper()
	lines, err := s.App.Sites(t.Context())
	if err != nil || len(lines) != 1 {
		t.Fatal(lines, err)
	}
	return lines[0].Entries
}

// An entry is added, corrected and taken back; each twice, and each is there once,
// beside what it amends.
func TestLogBook(t *testing.T) {
	now := today
	s, site := withDemo(t, func(c *Config) { c.App.Now = func() time.Time { return now } })
	b := visit(t, s)
	p := aSmokePoint(t, surveyOf(t, s))
	before := written(t, s)
	twice := func(address string, form url.Values) {
		t.Helper()
		now = now.Add(time.Minute) // of two amendments the later one holds
		form.Set("id", s.newID())
		for range 2 {
			if res := b.post(address, form); res.StatusCode != http.StatusSeeOther {
				t.Fatalf("POST %s gives %d: %s", address, res.StatusCode, read(t, res))
			}
		}
	}
	reading := url.Values{"kind": {"read"}, "point": {p.ID.String()}, "at": {"2026-01-19 09:00"}, "samples": {"250"}}
	twice(site+"/log", reading)
	entry := site + "/log/" + reading.Get("id")
	if page := b.get(entry); !strings.Contains(page, `value="250"`) || !strings.Contains(page, "2026-01-19 09:00") {
		t.Error("the form that corrects does not hold what was written")
	}
	twice(entry, url.Values{"do": {"correct"}, "point": {p.ID.String()}, "at": {"2026-01-19 09:00"}, "samples": {"25"}, "why": {"typed 250"}})
	again := surveyOf(t, s).Register.Point(p.ID)
	if last := again.Readings[len(again.Readings)-1]; !slices.Equal(last.Samples, []float64{25}) {
		t.Errorf("the reading that holds is %v, want 25", last.Samples)
	}
	page := b.get(site + "/log?kind=read&from=2026-01-19&to=2026-01-19")
	if !strings.Contains(page, "<s>read 250</s>") || !strings.Contains(page, "typed 250") || !strings.Contains(page, "1 entry found") {
		t.Error("the correction is not beside what it corrects")
	}
	twice(entry, url.Values{"do": {"withdraw"}, "why": {"another point"}})
	if n := len(surveyOf(t, s).Register.Point(p.ID).Readings); n != len(p.Readings) {
		t.Errorf("%d readings hold, want the %d from before", n, len(p.Readings))
	}
	if n := written(t, s); n != before+3 {
		t.Errorf("%d entries more, want 3", n-before)
	}
	if page := b.get(site + "/log/verify"); !strings.Contains(page, "The log is whole") {
		t.Error("a log just written is not whole")
	}
}

// What is exported is what the book holds, a line an entry, and the heads.
func TestExportLog(t *testing.T) {
	s, site := withDemo(t, nil)
	res := visit(t, s).do(http.MethodGet, site+"/log/export", "", nil)
	text := read(t, res)
	n := 0
	for line := range strings.Lines(text) {
		if sootline.IsHeadLine([]byte(line)) {
			continue
		}
		n++
		if _, err := sootline.ParseLine([]byte(strings.TrimSuffix(line, "\n"))); err != nil {
			t.Fatal(err)
		}
	}
	if n != written(t, s) || strings.Count(text, "\n") == n {
		t.Errorf("%d entries, want %d, and a head after them", n, written(t, s))
	}
}

// A mistaken form of the log book comes back with what was typed and one sentence.
func TestMistakenLogForms(t *testing.T) {
	s, site := withDemo(t, nil)
	before := written(t, s)
	note := anEntry(t, s, site, sootline.ReadKind)
	sheet := anEntry(t, s, site, sootline.SheetKind)
	for _, c := range []struct {
		address string
		form    url.Values
		want    string
		code    int
	}{
		{site + "/log", url.Values{"kind": {"read"}, "samples": {"25"}, "remark": {"kept"}}, "needs its point", 422},
		{site + "/log", url.Values{"kind": {"cleaned"}, "point": {"9.9.999"}, "text": {"kept"}}, "There is no point 9.9.999", 404},
		{site + "/log", url.Values{"kind": {"opened"}, "point": {"kept"}}, "is not a kind of entry that is added here", 422},
		{site + "/log", url.Values{"kind": {"addressed"}, "point": {"1.1.001"}, "wanted": {"many"}, "text": {"kept"}}, "is not a whole number", 422},
		{site + "/log", url.Values{"kind": {"set"}, "point": {"1.1.001"}, "wanted": {"high kept"}}, "is not a setting", 422},
		{note, url.Values{"do": {"correct"}, "samples": {"twenty"}, "at": {"2026-01-02"}, "point": {"1.1.002"}, "why": {"kept"}}, "is not a number", 422},
		{sheet, url.Values{"do": {"correct"}, "at": {"2026-01-02"}, "name": {"X"}, "bands": {`[{"low": 1, "colour": 1}]`}, "why": {"kept"}}, "could not be read", 422},
		{site + "/log", url.Values{"kind": {"cleaned"}, "cause": {"flour"}, "point": {"1.1.001"}, "text": {"kept"}}, "does not say", 422},
		{site + "/log", url.Values{"kind": {"alarm"}, "at": {"2026-01-02"}, "point": {"kept"}}, "not", 422},
		{site + "/alarms", url.Values{"at": {"2026-01-02 kept"}}, "not", 422},
	} {
		c.form.Set("id", s.newID())
		res := visit(t, s).post(c.address, c.form)
		page := read(t, res)
		if res.StatusCode != c.code || !strings.Contains(page, c.want) || !strings.Contains(page, "kept") {
			t.Errorf("%v gives %d without its sentence or what was typed", c.form, res.StatusCode)
		}
	}
	for _, filter := range []string{"?from=yesterday", "?point=9.9.999", "?point=hall"} {
		if res := visit(t, s).do(http.MethodGet, site+"/log"+filter, "", nil); res.StatusCode != 422 && res.StatusCode != 404 || !strings.Contains(read(t, res), `role="alert"`) {
			t.Errorf("the filter %s is not told to be wrong", filter)
		}
	}
	if after := written(t, s); after != before {
		t.Error("a mistaken form wrote something")
	}
}

// What is refused before a file's first byte is told as on any page, and begins no file.
func TestRefusedFileBegins(t *testing.T) {
	s, site := withDemo(t, nil)
	w, r := httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, site+"/log/export", nil)
	refused := sootline.Errorf(sootline.Forbidden, "", "no")
	if err := s.handOut(w, r, "log", func(io.Writer) error { return refused }); !errors.Is(err, refused) || len(w.Header()) > 0 || w.Body.Len() > 0 {
		t.Errorf("%v, %v, %q", err, w.Header(), w.Body)
	}
}

// A phone reads the log as its page shows it, whole or what can be read of it.
func TestPhoneReadsTheLog(t *testing.T) {
	s, site := withDemo(t, abroad)
	phone := pairPhone(t, s, signIn(t, s, "T. Tech"), "blue phone")
	whole := read(t, phone.do(http.MethodGet, site+"/log/export", "", nil))
	if res := phone.do(http.MethodGet, site+"/log/readable", "", nil); res.StatusCode != http.StatusOK || read(t, res) != whole {
		t.Errorf("what can be read gives %d", res.StatusCode)
	}
}
