package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline/internal/app"
	"sootline/internal/shape"
)

var allConfirmed = url.Values{"minutes": {"90"}, "confirm": {"responsible", "monitoring", "outputs", "disabled"}}

// openAt opens a visit by its form.
func openAt(t testing.TB, b *browser, site string, more url.Values) {
	t.Helper()
	form := url.Values{}
	for key, values := range allConfirmed {
		form[key] = values
	}
	for key, values := range more {
		form[key] = values
	}
	if res := b.post(site+"/visit", form); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("opening a visit gives %d:\n%s", res.StatusCode, read(t, res))
	}
}

func packOf(t testing.TB, b *browser, site string) shape.Pack {
	t.Helper()
	var pack shape.Pack
	if err := json.Unmarshal([]byte(b.get(site+"/visit/pack")), &pack); err != nil {
		t.Fatal(err)
	}
	return pack
}

func doneOf(t testing.TB, b *browser, site string) shape.VisitDone {
	t.Helper()
	var done struct {
		shape.VisitDone
		Done []struct {
			ID, Point, Kind, Station, By string
			Withdrawn                    bool
		} `json:"done"`
	}
	if err := json.Unmarshal([]byte(b.get(site+"/visit/done")), &done); err != nil {
		t.Fatal(err)
	}
	for _, d := range done.Done {
		done.VisitDone.Done = append(done.VisitDone.Done, shape.VisitEntry{ID: d.ID, Point: d.Point, Kind: d.Kind, Station: d.Station, By: d.By, Withdrawn: d.Withdrawn})
	}
	return done.VisitDone
}

// TestVisitByForms plans, opens, looks at and closes a visit without any script.
func TestVisitByForms(t *testing.T) {
	now := today
	s, site := withDemo(t, func(c *Config) {
		c.App.Now = func() time.Time { now = now.Add(time.Second); return now }
	})
	b := visit(t, s)
	page := b.get(site + "/visit?minutes=90&order=")
	for _, want := range []string{"in 90 minutes", "What did not fit", "monitoring centre, where there is one, is told"} {
		if !strings.Contains(page, want) {
			t.Errorf("planning does not say %q", want)
		}
	}
	res := b.post(site+"/visit", url.Values{"minutes": {"90"}, "confirm": {"responsible"}, "disabled": {"sounders, by A. Tech"}})
	if page := read(t, res); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(page, "Not confirmed yet: monitoring, outputs, disabled") || !strings.Contains(page, "sounders, by A. Tech</textarea>") {
		t.Errorf("opening without all cautions gives %d, or loses what was typed", res.StatusCode)
	}
	openAt(t, b, site, url.Values{"disabled": {"sounders, by A. Tech\n\n"}})
	for _, address := range []string{site, site + "/points", site + "/visit", site + "/due"} {
		if page := b.get(address); !strings.Contains(page, "Still disabled") || !strings.Contains(page, "sounders, by A. Tech") {
			t.Errorf("%s does not say on top that the sounders are off", address)
		}
	}
	if res := b.post(site+"/visit", allConfirmed); res.StatusCode != http.StatusConflict {
		t.Errorf("opening a second visit gives %d", res.StatusCode)
	}
	if res := b.post(site+"/visit/close", url.Values{"left": {"normal"}}); res.StatusCode != http.StatusConflict {
		t.Errorf("closing as normal with the sounders off gives %d", res.StatusCode)
	}
	if res := b.post(site+"/visit/close", url.Values{}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("closing without saying how the site is left gives %d", res.StatusCode)
	}
	if res := b.post(site+"/visit/close", url.Values{"left": {"not normal"}, "restored": {"sounders, by A. Tech"}, "text": {"back soon"}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("closing gives %d:\n%s", res.StatusCode, read(t, res))
	}
	if page := b.get(site + "/visit"); !strings.Contains(page, "The last visit") || !strings.Contains(page, "back soon") || !strings.Contains(page, "next due") {
		t.Error("the last visit is not told")
	}
}

// TestHandInTwice hands in from two phones what each captured, twice: once each in
// the log, each by its own station, and where they differ it is told.
func TestHandInTwice(t *testing.T) {
	s, site := withDemo(t, abroad)
	var phones [2]*browser
	for i, who := range []string{"T. Tech", "M. Manager"} {
		phones[i] = pairPhone(t, s, signIn(t, s, who), who+"’s phone")
	}
	openAt(t, phones[0], site, nil)
	pack := packOf(t, phones[0], site)
	if len(pack.Round) == 0 || len(pack.Points) != len(surveyOf(t, s).Register.Points()) || pack.Station == "laptop" || pack.By != "T. Tech" {
		t.Fatalf("the pack holds %d of the round, %d points, station %s, by %s", len(pack.Round), len(pack.Points), pack.Station, pack.By)
	}
	i := slices.IndexFunc(pack.Points, func(p shape.PackPoint) bool { return p.High != nil && p.Value != nil })
	point := pack.Points[i]
	for n, samples := range []string{"[20.5]", "[99]"} {
		body := `{"entries":[{"id":"` + s.newID() + `","at":1768903200000,"point":"` + point.ID + `","kind":"read","body":{"samples":` + samples + `}},
			{"id":"` + s.newID() + `","at":1768903200000,"kind":"opened","body":{"name":"mine now"}},
			{"id":"` + s.newID() + `","at":1768903200000,"point":"` + point.ID + `","kind":"read","body":{"sample":1}}]}`
		for range 2 {
			var handed shape.HandedIn
			if err := json.Unmarshal([]byte(read(t, phones[n].do("POST", site+"/visit/entries", body, asJSON))), &handed); err != nil {
				t.Fatal(err)
			}
			if len(handed.Kept) != 1 || len(handed.Refused) != 2 {
				t.Errorf("kept %v, refused %v", handed.Kept, handed.Refused)
			}
		}
	}
	done := doneOf(t, phones[1], site)
	if len(done.Done) != 2 || done.Done[0].Station == done.Done[1].Station || len(done.Differences) != 1 {
		t.Errorf("done %v, differences %v", done.Done, done.Differences)
	}
	if page := phones[0].get(site + "/visit"); !strings.Contains(page, "Two say different things") {
		t.Error("the visit's page does not tell the difference")
	}
}

// TestHandInAroundABadOne: what cannot be read is refused alone, by its place where it
// has no id, and the others are in the log.
func TestHandInAroundABadOne(t *testing.T) {
	s, site := withDemo(t, nil)
	point, phone := surveyOf(t, s).Register.Points()[0].ID.String(), visit(t, s)
	good := func(id string) string {
		return `{"id":"` + id + `","at":1768903200000,"point":"` + point + `","kind":"note","body":{"text":"looked at"}}`
	}
	first, timeless, last := s.newID(), s.newID(), s.newID()
	body := `{"entries":[` + good(first) + `,` + good("nonsense") + `,` + strings.Replace(good(timeless), "1768903200000", `"noon"`, 1) + `,` + good(last) + `]}`
	res := phone.do("POST", site+"/visit/entries", body, asJSON)
	var handed shape.HandedIn
	if err := json.Unmarshal([]byte(read(t, res)), &handed); err != nil || res.StatusCode != http.StatusOK {
		t.Fatalf("%d, %v", res.StatusCode, err)
	}
	if !slices.Equal(handed.Kept, []string{first, last}) || len(handed.Refused) != 2 || handed.Refused[0].Place != 2 || handed.Refused[1].ID != timeless {
		t.Errorf("kept %v, refused %+v", handed.Kept, handed.Refused)
	}
}

// TestPhoneReadsJSON: whatever goes wrong, the page of the phone is answered in JSON, with a sentence.
func TestPhoneReadsJSON(t *testing.T) {
	s, site := withDemo(t, abroad)
	phone := pairPhone(t, s, signIn(t, s, "T. Tech"), "a phone")
	nowhere := "/site/" + s.newID()
	for name, ask := range map[string]struct {
		who           *browser
		address, body string
		code          int
	}{
		"no JSON":         {phone, site + "/visit/entries", "hello", http.StatusUnprocessableEntity},
		"cut off":         {phone, site + "/visit/entries", `{"entries":[`, http.StatusUnprocessableEntity},
		"no list":         {phone, site + "/visit/entries", `{"entries":{}}`, http.StatusUnprocessableEntity},
		"too large":       {phone, site + "/visit/entries", `{"entries":["` + strings.Repeat("x", mostCaptures) + `"]}`, http.StatusRequestEntityTooLarge},
		"no such site":    {phone, nowhere + "/visit/entries", `{"entries":[]}`, http.StatusNotFound},
		"nobody":          {visit(t, s), site + "/visit/entries", `{"entries":[]}`, http.StatusUnauthorized},
		"no phone":        {signIn(t, s, "T. Tech"), site + "/visit/entries", `{"entries":[]}`, http.StatusForbidden},
		"no picture":      {phone, "/photo", "hello", http.StatusUnprocessableEntity},
		"no site to pack": {phone, nowhere + "/visit/pack", "", http.StatusNotFound},
	} {
		method := http.MethodPost
		if ask.body == "" {
			method = http.MethodGet
		}
		res := ask.who.do(method, ask.address, ask.body, asJSON)
		var told refusal
		err := json.Unmarshal([]byte(read(t, res)), &told)
		if res.StatusCode != ask.code || err != nil || told.Why == "" || !strings.HasPrefix(res.Header.Get("Content-Type"), "application/json") {
			t.Errorf("%s: %d %s, %q, %v", name, res.StatusCode, res.Header.Get("Content-Type"), told.Why, err)
		}
	}
}

func asJSON(r *http.Request) { r.Header.Set("Content-Type", "application/json") }

// pairPhone makes a phone a station, as its owner does.
func pairPhone(t testing.TB, s *Server, owner *browser, name string) *browser {
	t.Helper()
	code := regexp.MustCompile(`/pair\?code=([A-Z2-7]+)`).FindStringSubmatch(read(t, owner.post("/phones", nil)))
	if code == nil {
		t.Fatal("no code is shown")
	}
	phone := visit(t, s)
	form := url.Values{"code": {code[1]}, "name": {name}}
	if res := phone.post("/pair", form); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("pairing gives %d", res.StatusCode)
	}
	if res := visit(t, s).post("/pair", form); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a code that was used gives %d", res.StatusCode)
	}
	return phone
}

// TestPhoneTakenOff: a phone may capture and no more, its owner cannot take off
// another's, and a phone that was taken off opens nothing.
func TestPhoneTakenOff(t *testing.T) {
	now := today
	s, site := withDemo(t, func(c *Config) { abroad(c); c.App.Now = func() time.Time { return now } })
	manager, tech := signIn(t, s, "M. Manager"), signIn(t, s, "T. Tech")
	phone := pairPhone(t, s, manager, "blue phone")
	if res := phone.do("POST", "/demo", "", nil); res.StatusCode != http.StatusForbidden {
		t.Errorf("a manager's phone makes a demo: %d", res.StatusCode)
	}
	if page := phone.get(site); !strings.Contains(page, "At work: M. Manager") {
		t.Error("the phone is not at work in its owner's name")
	}
	station := regexp.MustCompile(`name="station" value="(p-[0-9a-f]+)"`).FindStringSubmatch(manager.get("/phones"))
	if station == nil {
		t.Fatal("the phone is not listed")
	}
	off := url.Values{"station": {station[1]}}
	if res := tech.post("/phones/drop", off); res.StatusCode != http.StatusNotFound {
		t.Errorf("a technician takes off a manager's phone: %d", res.StatusCode)
	}
	if res := manager.post("/phones/drop", off); res.StatusCode != http.StatusSeeOther {
		t.Errorf("taking it off gives %d", res.StatusCode)
	}
	if res := phone.do("POST", site+"/visit/entries", `{"entries":[]}`, asJSON); res.StatusCode != http.StatusUnauthorized {
		t.Errorf("a phone that was taken off hands in: %d", res.StatusCode)
	}
	code := regexp.MustCompile(`/pair\?code=([A-Z2-7]+)`).FindStringSubmatch(read(t, manager.post("/phones", nil)))
	now = now.Add(pairingTime)
	if res := visit(t, s).post("/pair", url.Values{"code": {code[1]}, "name": {"late"}}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a code of ten minutes ago gives %d", res.StatusCode)
	}
}

// TestCalendarAddress: its key opens the feed and nothing else.
func TestCalendarAddress(t *testing.T) {
	s, site := withDemo(t, abroad)
	tech := signIn(t, s, "T. Tech")
	tech.post("/due/calendar", url.Values{"site": {strings.TrimPrefix(site, "/site/")}})
	key := regexp.MustCompile(`due\.ics\?key=([\w-]+)`).FindStringSubmatch(tech.get(site + "/due"))
	if key == nil {
		t.Fatal("no address is shown")
	}
	feed := visit(t, s).get(site + "/due.ics?key=" + key[1])
	if !strings.HasPrefix(feed, "BEGIN:VCALENDAR\r\n") || !strings.Contains(feed, "BEGIN:VEVENT") {
		t.Errorf("the feed begins %.40q", feed)
	}
	stranger := visit(t, s)
	stranger.cookies[s.phoneCookie()] = &http.Cookie{Name: s.phoneCookie(), Value: key[1]}
	if res := stranger.do("GET", site, "", nil); res.StatusCode != http.StatusSeeOther {
		t.Errorf("a calendar's key opens a page: %d", res.StatusCode)
	}
}

// smallPhoto begins as a picture of 8 by 8 does; jpegSum is its SHA-256, by coreutils' sha256sum.
const (
	smallPhoto = "\xff\xd8\xff\xc0\x00\x0b\x08\x00\x08\x00\x08\x01\x01\x11\x00\xff\xda\x00\x02 a small picture"
	jpegSum    = "9cf61d0c1d84dc3b1ef7b9909ea3527f05502097ccdef325966cc8f500027287"
)

// A photo is kept once under its hash, and only a JPEG.
func TestPhoto(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	for range 2 {
		if text := read(t, b.do("POST", "/photo", smallPhoto, nil)); text != `{"hash":"`+jpegSum+`"}` {
			t.Errorf("the photo is kept as %s", text)
		}
	}
	if got := b.get("/photo/" + jpegSum); got != smallPhoto {
		t.Errorf("the photo comes back as %q", got)
	}
	if res := b.do("POST", "/photo", strings.Repeat("\xff\xd8\xff", app.MostPhoto), nil); res.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("a photo of 3 MB gives %d", res.StatusCode)
	}
	if res := b.do("POST", "/photo", "\xff\xd8\xff\xe0 no picture", nil); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(read(t, res), `"why":`) {
		t.Errorf("what is no picture gives %d", res.StatusCode)
	}
	openAt(t, b, site, nil)
	point := packOf(t, b, site).Points[0].ID
	body := `{"entries":[{"id":"` + s.newID() + `","at":1768903200000,"point":"` + point + `","kind":"note","body":{"text":"","photo":"` + jpegSum + `"}}]}`
	if text := read(t, b.do("POST", site+"/visit/entries", body, asJSON)); !strings.Contains(text, `"refused":[]`) {
		t.Errorf("a note of a photo is answered %s", text)
	}
	if page := b.get(site + "/point/" + point); !strings.Contains(page, "/photo/"+jpegSum) {
		t.Error("the story of the point does not lead to the photo")
	}
}

// The page and its worker are the same for everybody, and hold no data.
func TestCaptureShell(t *testing.T) {
	s, _ := withDemo(t, abroad)
	stranger := visit(t, s)
	page := stranger.get("/capture")
	for _, fault := range htmlFaults(page) {
		t.Error(fault)
	}
	if page != signIn(t, s, "T. Tech").get("/capture") {
		t.Error("the page differs for who is signed in")
	}
	worker := stranger.get("/sw.js")
	shell := regexp.MustCompile(`const SHELL = (\[.*\]);`).FindStringSubmatch(worker)
	if shell == nil {
		t.Fatal("the worker does not begin with what it keeps")
	}
	var addresses []string
	if err := json.Unmarshal([]byte(shell[1]), &addresses); err != nil {
		t.Fatal(err)
	}
	for _, address := range addresses {
		if res := stranger.do("GET", address, "", nil); res.StatusCode != http.StatusOK {
			t.Errorf("the worker keeps %s, which gives %d", address, res.StatusCode)
		}
	}
	for _, named := range regexp.MustCompile(`(?:src|href|data-\w+)="(/static/[^"]+)"`).FindAllStringSubmatch(page, -1) {
		if !slices.Contains(addresses, named[1]) {
			t.Errorf("the page needs %s, which the worker does not keep", named[1])
		}
	}
}

// captureBody is a reading as a phone hands it in.
func captureBody(id, point string, at int64, samples string) string {
	return fmt.Sprintf(`{"entries":[{"id":%q,"at":%d,"point":%q,"kind":"read","body":{"samples":[%s]}}]}`, id, at, point, samples)
}
