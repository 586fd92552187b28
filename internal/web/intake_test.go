package web

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
)

// form writes a form with files, as a browser does.
func filesForm(t testing.TB, id string, files ...string) (body, kind string) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	if err := w.WriteField("id", id); err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(files); i += 2 {
		part, err := w.CreateFormFile("file", files[i])
		if err == nil {
			_, err = part.Write([]byte(files[i+1]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String(), w.FormDataContentType()
}

// handIn hands files in and gives the address of their intake.
func (b *browser) handIn(site string, files ...string) string {
	b.t.Helper()
	body, kind := filesForm(b.t, b.s.newID(), files...)
	res := b.do(http.MethodPost, site+"/intake", body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
	if res.StatusCode != http.StatusSeeOther {
		b.t.Fatalf("handing in gives %d:\n%s", res.StatusCode, read(b.t, res))
	}
	return res.Header.Get("Location")
}

// settled waits until nothing is being done with an intake, and gives its page.
func (b *browser) settled(address string) string {
	b.t.Helper()
	for range 60 {
		if page := b.get(address); !strings.Contains(page, "data-follow") {
			return page
		}
	}
	b.t.Fatal("the work is never over")
	return ""
}

func (b *browser) tell(address string, pairs ...string) string {
	b.t.Helper()
	form := make([]string, 0, len(pairs)/2)
	for i := 0; i < len(pairs); i += 2 {
		form = append(form, pairs[i]+"="+queryWord(pairs[i+1]))
	}
	res := b.do(http.MethodPost, address, strings.Join(form, "&"), nil)
	if res.StatusCode != http.StatusSeeOther {
		b.t.Fatalf("%v gives %d:\n%s", pairs, res.StatusCode, read(b.t, res))
	}
	return b.settled(res.Header.Get("Location"))
}

// takeIn hands files in and takes them in.
func (b *browser) takeIn(site string, files ...string) {
	b.t.Helper()
	address := b.handIn(site, files...)
	b.settled(address)
	holds(b.t, b.tell(address, "do", "take"), "Taken in")
}

func holds(t testing.TB, page string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(page, text) {
			t.Errorf("the page does not say %q:\n%s", text, page)
		}
	}
}

// aSite gives a server with an empty site of one loop, and its address.
func aSite(t testing.TB, change func(*Config)) (*Server, string) {
	t.Helper()
	s := newServer(t, change)
	id, err := s.App.AddSite(context.Background(), app.NewSite{Name: "Works", Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126, Unset: 127}}})
	if err != nil {
		t.Fatal(err)
	}
	return s, "/site/" + id.String()
}

const (
	typesFile = "type;kind;low;high\nLarch;smoke;20;60\n"
	pointFile = "panel;loop;address;type;location\n1;1;1;Larch;Hall <b>\n1;1;2;Larch;Store\n1;;7;;\n"
	readsFile = "point;date;value\n1.1.001;2025-03-15;31\n1.1.002;2025-03-15;33\n1.1.009;2025-03-15;33\n1.1.001;2025-03-15;thirty\n1.1.001;2025-03-15;31\n"
)

// TestIntake takes three listings in, of which some rows cannot be used: what
// would become of each row is shown, the rest comes home as a file, and doing
// anything twice does it once.
func TestIntake(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	address := b.handIn(site, "types.csv", typesFile, "points.csv", pointFile, `C:\lists\reads.csv`, readsFile)
	page := b.settled(address)
	holds(t, page, "type sheets", "a schedule of points", "readings", "Take this in", "1 type sheet", "reads.csv")
	if strings.Contains(page, s.Uploads) {
		t.Error("the page tells where the server keeps files")
	}
	page = b.settled(address + "?table=2")
	holds(t, page, "there is no point 1.1.009 on the register", "cannot be used", "repeats another", "thirty", "5 rows, of which")
	holds(t, b.settled(address+"?table=2&rows=left"), "2 rows that cannot be used")
	holds(t, b.settled(address+"?table=1"), "Hall &lt;b&gt;")

	page = b.tell(address, "do", "take")
	holds(t, page, "Taken in", "reads.left.csv")
	entries := surveyOf(t, s).Register.Entries
	holds(t, b.tell(address, "do", "take"), "Taken in")
	if again := surveyOf(t, s).Register.Entries; again != entries {
		t.Errorf("taking in twice gives %d entries, want %d", again, entries)
	}
	left := b.get(address + "/left/reads.left.csv")
	holds(t, left, "1.1.009", "thirty", "there is no point")
	for _, other := range []string{"/left/reads.csv", "/left/..%2f..%2fbook.db", "/left/"} {
		if res := b.do(http.MethodGet, address+other, "", nil); res.StatusCode != http.StatusNotFound {
			t.Errorf("%s gives %d, want not found", other, res.StatusCode)
		}
	}
	if points := surveyOf(t, s).Register.Points(); len(points) != 2 || len(points[0].Readings) != 1 {
		t.Errorf("%d points, want 2, the first with one reading", len(points))
	}
	if res := b.post(address, map[string][]string{"do": {"drop"}}); res.StatusCode != http.StatusSeeOther {
		t.Error("dropping gives", res.StatusCode)
	}
	if lying, err := os.ReadDir(s.Uploads); err != nil || len(lying) != 0 {
		t.Errorf("after dropping there still lies %v, %v", lying, err)
	}
}

// What cannot be told is asked, and what was understood can be changed.
func TestIntakeAnswers(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	b.takeIn(site, "points.csv", pointFile)
	address := b.handIn(site, "reads.csv", "point;date;value\n1.1.001;03/04/2025;31\n1.1.002;05/04/2025;33\n")
	page := b.settled(address)
	holds(t, page, "question open", `name="question" value="date_order"`)
	if strings.Contains(page, "Take this in") {
		t.Error("an intake with an open question can be taken in")
	}
	if res := b.post(address, map[string][]string{"do": {"take"}}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Error("taking it in all the same gives", res.StatusCode)
	}
	holds(t, b.tell(address, "do", "answer", "table", "0", "question", "date_order", "answer", "nonsense"), `role="alert"`, "date_order")
	page = b.tell(address, "do", "answer", "table", "0", "question", "date_order", "answer", "dmy")
	holds(t, page, "Take this in", "2 readings")
	page = b.tell(address, "do", "columns", "table", "0", "kind", "readings", "column2", "unused")
	if strings.Contains(page, "2 readings") {
		t.Error("without a column of values there are still readings")
	}
	page = b.tell(address, "do", "columns", "table", "0", "kind", "readings", "column2", "value")
	holds(t, page, "2 readings")
	page = b.tell(address, "do", "columns", "table", "0", "kind", "cabbages")
	holds(t, page, `role="alert"`, "2 readings")
}

// A file that is no listing is told by its name, and can be left out.
func TestIntakeOfBrokenFiles(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	address := b.handIn(site, "manual.csv", "%PDF-1.7 and so on", "points.csv", pointFile)
	page := b.settled(address)
	holds(t, page, "manual.csv: this is a PDF, whose text has places on paper and no cells", "Leave out manual.csv")
	page = b.tell(address, "do", "without", "name", "manual.csv")
	holds(t, page, "Take this in", "a schedule of points")

	body, kind := filesForm(t, s.newID())
	res := b.do(http.MethodPost, site+"/intake", body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
	if res.StatusCode != http.StatusUnprocessableEntity {
		t.Error("no file gives", res.StatusCode)
	}
	holds(t, read(t, res), "No file was handed in")
	res = b.do(http.MethodPost, site+"/intake", "id=1", nil)
	if res.StatusCode != http.StatusUnprocessableEntity {
		t.Error("a form without files gives", res.StatusCode)
	}
}

// A slow upload may take longer than any other request.
func TestSlowUpload(t *testing.T) {
	s, site := aSite(t, nil)
	server := httptest.NewUnstartedServer(s)
	const hurry = 300 * time.Millisecond
	server.Config.ReadTimeout, server.Config.WriteTimeout = hurry, hurry
	server.Start()
	defer server.Close()
	body, kind := filesForm(t, s.newID(), "points.csv", pointFile)
	from, to := io.Pipe()
	go func() {
		io.WriteString(to, body[:200]) //nolint:errcheck // the answer tells
		time.Sleep(2 * hurry)
		io.WriteString(to, body[200:]) //nolint:errcheck // the answer tells
		to.Close()                     //nolint:errcheck // never fails
	}()
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	res, err := client.Post(server.URL+site+"/intake", kind, from)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusSeeOther {
		t.Errorf("a slow upload gives %d", res.StatusCode)
	}
}

// The same form handed in twice is one intake.
func TestUploadTwice(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	body, kind := filesForm(t, s.newID(), "points.csv", pointFile)
	for range 2 {
		res := b.do(http.MethodPost, site+"/intake", body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
		if res.StatusCode != http.StatusSeeOther {
			t.Fatal(res.StatusCode)
		}
		b.settled(res.Header.Get("Location"))
	}
	if lying, err := os.ReadDir(s.Uploads); err != nil || len(lying) != 1 {
		t.Errorf("there lies %v, %v, want one folder", lying, err)
	}
}

// Type sheets are for a manager, also by way of a listing.
func TestSheetsAreForManagers(t *testing.T) {
	s, site := aSite(t, abroad)
	tech, manager := signIn(t, s, "T. Tech"), signIn(t, s, "M. Manager")
	address := tech.handIn(site, "types.csv", typesFile)
	tech.settled(address)
	if res := tech.post(address, map[string][]string{"do": {"take"}}); res.StatusCode != http.StatusForbidden {
		t.Error("a technician who takes type sheets in gets", res.StatusCode)
	}
	holds(t, manager.tell(address, "do", "take"), "Taken in")
}

// A large intake tells how far it is, and stopping it takes nothing in and loses
// nothing.
func TestStopIntake(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	b.takeIn(site, "points.csv", pointFile)
	before := surveyOf(t, s).Register.Entries
	var rows strings.Builder
	rows.WriteString("point;date;value\n")
	at := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)
	const many = 120_000
	for i := range many {
		fmt.Fprintf(&rows, "1.1.%03d;%s;%d\n", 1+i%2, at.Add(time.Duration(i)*time.Hour).Format("2006-01-02 15:04"), 30+i%7)
	}
	address := b.handIn(site, "years.csv", rows.String())
	holds(t, b.settled(address), "120\u202f000 readings", "page 1 of 2400")
	lines, err := s.App.Sites(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	in := s.intakes.of(lines[0].ID.String(), filepath.Base(address))
	in.take(s.App)
	in.halt()
	in.wait(time.Minute)
	page := b.settled(address)
	holds(t, page, "Stopped; nothing was taken in", "Take this in")
	if after := surveyOf(t, s).Register.Entries; after != before {
		t.Errorf("stopping leaves %d entries, want %d", after, before)
	}
	holds(t, b.settled(address+"?page=2400"), "120001")
	b.tell(address, "do", "take")
	if after := surveyOf(t, s).Register.Entries; after != before+many+1 { // the entry that tells of the take
		t.Errorf("%d entries, want %d", after, before+many+1)
	}
}

// A name that a browser gives never becomes a path.
func TestPlainName(t *testing.T) {
	for given, want := range map[string]string{
		"reads.csv": "reads.csv", `C:\lists\reads.csv`: "reads.csv", "../../book.db": "book.db", "..": "listing", "": "listing",
		".hidden": "hidden", "a\x00b\n.csv": "a-b-.csv", "bad\xff.csv": "bad-.csv", strings.Repeat("é", 100) + ".csv": strings.Repeat("é", 40) + ".csv",
	} {
		if got := plainName(given); got != want {
			t.Errorf("plainName(%q) = %q, want %q", given, got, want)
		}
	}
}

// TestOpenWordsPutRowsAside: a question about the words of single rows leaves the others to be taken, and its answer
// changes what its rows become.
func TestOpenWordsPutRowsAside(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	b.takeIn(site, "points.csv", "panel,loop,address,type\n1,1,1,Larch\n1,1,2,Larch\n")
	const list = "point,date,event,result\n1.1.1,2025-03-01,tested,ok\n1.1.2,2025-03-01,tested,odd = or not\n"

	address := b.handIn(site, "tests.csv", list)
	page := b.settled(address)
	holds(t, page, "odd = or not", "question", "Take this in")
	page = b.tell(address, "do", "answer", "table", "0", "question", "outcome:tested | odd = or not", "answer", "failed")
	holds(t, page, "2 function tests", "Take this in")
	holds(t, b.tell(address, "do", "take"), "Taken in")
	failed := 0
	for _, p := range surveyOf(t, s).Register.Points() {
		for _, e := range p.Events {
			if e.Failed {
				failed++
			}
		}
	}
	if failed != 1 {
		t.Errorf("%d failed tests, want 1", failed)
	}
}

// What of a listing is hidden is told of on the page.
func TestIntakeTellsOfHidden(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	address := b.handIn(site, "points.html", `<table><tr><th>loop</th><th>address</th><th>type</th></tr><tr><td>1</td><td>1</td><td>Larch</td></tr><tr hidden><td>1</td><td>2</td><td>Larch</td></tr></table>`)
	holds(t, b.settled(address), "points.html: rows are hidden: left out", "hidden rows, first in row 3")
}
