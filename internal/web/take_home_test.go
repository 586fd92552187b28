package web

import (
	"encoding/csv"
	"net/url"
	"strings"
	"testing"
	"time"

	"sootline/internal/app"
)

// homeCSV takes a table home and reads it.
func homeCSV(t *testing.T, b *browser, address string) [][]string {
	t.Helper()
	res := b.do("GET", address, "", nil)
	body := read(t, res)
	if res.StatusCode != 200 || !strings.HasPrefix(res.Header.Get("Content-Type"), "text/csv") || !strings.HasPrefix(res.Header.Get("Content-Disposition"), "attachment") {
		t.Fatalf("%s answers %d, %v: %.200s", address, res.StatusCode, res.Header, body)
	}
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(body, "\ufeff"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// TestTablesGoHome takes tables home as they are narrowed and sorted, whole, whatever page of them is shown.
func TestTablesGoHome(t *testing.T) {
	s, site := withDemo(t, nil)
	b, survey := visit(t, s), surveyOf(t, s)
	all := homeCSV(t, b, site+"/points?as=csv&page=2")
	if len(all) != 1+len(survey.Register.Points()) {
		t.Errorf("%d rows of %d points", len(all)-1, len(survey.Register.Points()))
	}
	p := survey.Register.Points()[40]
	some := homeCSV(t, b, site+"/points?as=csv&sort=type&way=down&"+url.Values{"area": {p.Area}}.Encode())
	want := 0
	for _, one := range survey.Register.Points() {
		if one.Area == p.Area {
			want++
		}
	}
	if len(some) != 1+want || want == 0 || want == len(all)-1 {
		t.Errorf("%d rows of area %s, want %d", len(some)-1, p.Area, want)
	}
	for i, row := range some[1:] {
		if row[2] != p.Area {
			t.Errorf("row %d is of area %q", i, row[2])
		}
		if i > 0 && strings.ToLower(row[5]) > strings.ToLower(some[i][5]) {
			t.Errorf("row %d is not in the order of the page: %s after %s", i, row[5], some[i][5])
		}
	}
	for _, page := range []string{"/power?of=1.1&kind=short", "/defects?x=", "/log?kind=cleaned", "/due?x="} {
		if rows := homeCSV(t, b, site+page+"&as=csv"); len(rows) < 2 {
			t.Errorf("%s takes %d rows home", page, len(rows))
		}
		res := b.do("GET", site+page+"&as=xlsx", "", nil)
		if body := read(t, res); res.StatusCode != 200 || !strings.HasPrefix(body, "PK") {
			t.Errorf("%s as XLSX answers %d", page, res.StatusCode)
		}
		if res := b.do("GET", site+page+"&as=exe", "", nil); res.StatusCode != 422 {
			t.Errorf("%s as something else answers %d", page, res.StatusCode)
		}
	}
}

// TestPointsAreNarrowed narrows the table by area, type and kind beside loop and state.
func TestPointsAreNarrowed(t *testing.T) {
	s, site := withDemo(t, nil)
	b, survey := visit(t, s), surveyOf(t, s)
	p := survey.Register.Points()[40]
	kind := string(survey.Register.Sheet(p.Type).Kind)
	for _, narrowed := range []url.Values{{"area": {p.Area}}, {"type": {p.Type}}, {"kind": {kind}}, {"area": {p.Area}, "type": {p.Type}, "loop": {p.LoopID().String()}}} {
		page := b.get(site + "/points?" + narrowed.Encode())
		if !strings.Contains(page, " of 3") || !strings.Contains(page, ">"+p.Ref().String()+"<") && !strings.Contains(page, "page 1 of") {
			t.Errorf("%v does not narrow the table", narrowed)
		}
	}
	if page := b.get(site + "/points?area=Nowhere"); !strings.Contains(page, "No point is like that") {
		t.Error("an area that no point is in shows points")
	}
}

// TestPastVisitsAreListed lists the visits that were closed on the page of the visit.
func TestPastVisitsAreListed(t *testing.T) {
	at := today
	s, site := withDemo(t, func(c *Config) { // a clock that goes on: a visit ends after it began
		c.App.Now = func() time.Time { at = at.Add(time.Minute); return at }
	})
	b := visit(t, s)
	if page := b.get(site + "/visit"); strings.Contains(page, "Past visits") {
		t.Error("past visits are listed where there are none")
	}
	for turn := 1; turn <= 2; turn++ {
		if res := b.post(site+"/visit", url.Values{"minutes": {"60"}, "confirm": cautionKeys()}); res.StatusCode != 303 {
			t.Fatalf("opening answers %d: %.400s", res.StatusCode, read(t, res))
		}
		if res := b.post(site+"/visit/close", url.Values{"left": {"not normal"}}); res.StatusCode != 303 { // a point of the demo is still disabled
			t.Fatalf("closing answers %d: %.400s", res.StatusCode, read(t, res))
		}
		if page := b.get(site + "/visit"); strings.Count(page, `<th scope="row">2026-`) != turn {
			t.Errorf("after %d visits, %d are listed", turn, strings.Count(page, `<th scope="row">2026-`))
		}
	}
}

// cautionKeys are all that is confirmed before a visit is opened.
func cautionKeys() []string {
	var keys []string
	for _, c := range app.Cautions() {
		keys = append(keys, c.Key)
	}
	return keys
}
