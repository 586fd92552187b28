package attack

import (
	"bytes"
	"encoding/json"
	"mime/multipart"
	"os"
	"strings"
	"testing"
	"time"
)

// house is a server with everybody in it, and entries to attack.
type house struct {
	*server
	site   string
	who    map[string]*caller
	opened string // the entry that opened the site
	loop   string
	sheet  string
	theirs string // a note of another technician
	fixed  string // a note of T, and the manager's correction of it
	amends string
}

func newHouse(t *testing.T) *house {
	s, site := staffed(t)
	s.person("T2", "technician", otherWord)
	h := &house{server: s, site: site, who: map[string]*caller{"stranger": s.stranger()}}
	h.who["manager"] = s.signIn("M", managerWord)
	h.who["technician"] = s.signIn("T", technicianWord)
	h.who["phone"] = h.who["technician"].phone("pocket")
	h.opened, h.loop, h.sheet = h.first("opened"), h.first("loop"), h.first("sheet")
	h.theirs, _ = s.signIn("T2", otherWord).add(site, "note", "", map[string]any{"text": "theirs"})
	h.fixed, _ = h.who["technician"].add(site, "note", "", map[string]any{"text": "typed wrong"})
	h.amends = uuid7(time.Now())
	h.who["manager"].json("POST", "/api/v1/sites/"+site+"/log/entries/"+h.fixed+"/correction",
		map[string]any{"id": h.amends, "body": map[string]any{"text": "put right"}})
	return h
}

func (h *house) first(kind string) string {
	all := h.who["manager"].log(h.site, "kind="+kind)
	if len(all) == 0 {
		h.t.Fatal("no ", kind)
	}
	return all[len(all)-1].ID
}

// takingBack are the doors at which an entry can be taken back; each says whether it was let happen.
var takingBack = map[string]func(h *house, c *caller, entry string) bool{
	"API withdrawal": func(h *house, c *caller, entry string) bool {
		return c.json("POST", "/api/v1/sites/"+h.site+"/log/entries/"+entry+"/withdrawal", map[string]string{"id": uuid7(time.Now()), "why": "attack"}).ok()
	},
	"API entry": func(h *house, c *caller, entry string) bool {
		_, a := c.add(h.site, "withdrawn", "", map[string]any{"entry": entry, "why": "attack"})
		return a.ok()
	},
	"page": func(h *house, c *caller, entry string) bool {
		a := c.form("/site/"+h.site+"/log/"+entry, "id", uuid7(time.Now()), "do", "withdraw", "seen", "", "why", "attack")
		return a.status == 303 && a.in()
	},
	"hand-in": func(h *house, c *caller, entry string) bool {
		got, _ := c.handIn(h.site, handed{uuid7(time.Now()), time.Now().UnixMilli(), "", "withdrawn", map[string]any{"entry": entry, "why": "attack"}})
		return len(got.Kept) > 0
	},
}

// targets are the entries that somebody of a role has no business with.
func (h *house) targets(who string) map[string]string {
	if who == "manager" {
		return map[string]string{"the site's opening": h.opened}
	}
	out := map[string]string{"the site's opening": h.opened, "a loop": h.loop, "a type sheet": h.sheet, "a manager's correction": h.amends}
	if who != "technician" { // colleagues put each other right, on a page or through the API
		out["another's note"] = h.theirs
	}
	return out
}

// TestWithdrawals: nobody takes back what says what the site is, nor a technician or phone what is another's.
func TestWithdrawals(t *testing.T) {
	for _, who := range []string{"stranger", "technician", "phone", "manager"} {
		t.Run(who, func(t *testing.T) {
			h := newHouse(t)
			for what := range h.targets(who) {
				for door, try := range takingBack {
					if try(h, h.who[who], h.targets(who)[what]) {
						t.Errorf("%s takes back %s by %s", who, what, door)
						h.standing(t)
						h = newHouse(t)
					}
				}
			}
			h.standing(t)
		})
	}
}

// standing: the site has its name, its points and an export with something in it.
func (h *house) standing(t *testing.T) {
	t.Helper()
	m := h.who["manager"]
	if m.sites()["Mill"] != h.site {
		t.Error("the site has lost its name")
	}
	if a := m.get("/api/v1/sites/" + h.site + "/log/export"); !a.ok() || len(a.body) < 500 {
		t.Errorf("its export: %d, %d bytes", a.status, len(a.body))
	}
	if a := m.get("/api/v1/sites/" + h.site + "/points"); !strings.Contains(a.body, "1.1.003") {
		t.Errorf("its points: %v", a)
	}
}

// TestSiteFactsByOthers: what says what a site, a type or the service is, is the manager's at every door.
func TestSiteFactsByOthers(t *testing.T) {
	h := newHouse(t)
	bodies := map[string]string{
		"opened": `{"name":"Stolen"}`, "loop": `{"panel":"1","loop":"2","first":1,"last":99}`, "area": `{"area":"Attic","m2":100}`,
		"sheet":   `{"name":"Larch","device":"smoke","bands":[{"low":0,"high":4000}]}`,
		"service": `{"rules":[]}`, "supply": `{"panel":"1","loop":"1","volts":24}`, "pinned": `{"heads":[],"why":"attack"}`,
		"issued": `{"paper":"label","day":"2026-01-15","code":"AAAA"}`,
	}
	for who, c := range h.who {
		for kind, body := range bodies {
			if who == "manager" && kind != "pinned" && kind != "issued" {
				continue
			}
			if _, a := c.add(h.site, kind, "", json.RawMessage(body)); a.ok() {
				t.Errorf("%s writes %s through the API", who, kind)
			}
			got, _ := c.handIn(h.site, handed{uuid7(time.Now()), time.Now().UnixMilli(), "", kind, json.RawMessage(body)})
			if len(got.Kept) > 0 {
				t.Errorf("%s hands in %s", who, kind)
			}
		}
	}
	h.standing(t)
}

// upload is a multipart form with one file and fields.
func upload(field, name string, content []byte, fields ...string) (string, []byte) {
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for i := 0; i+1 < len(fields); i += 2 {
		w.WriteField(fields[i], fields[i+1])
	}
	f, _ := w.CreateFormFile(field, name)
	f.Write(content)
	w.Close()
	return w.FormDataContentType(), b.Bytes()
}

// TestSheetsTakenIn: type sheets are taken in by a manager, through the API too.
func TestSheetsTakenIn(t *testing.T) {
	h := newHouse(t)
	for _, who := range []string{"stranger", "technician", "phone"} {
		kind, body := upload("files", "types.csv", []byte("name,kind,low,high\nLarch,optical smoke,1,4000\n"))
		h.who[who].do("POST", "/api/v1/sites/"+h.site+"/intake", kind, body)
		if n := len(h.who["manager"].log(h.site, "kind=sheet")); n != 1 {
			t.Errorf("%s takes a type sheet in through the API: %d sheets", who, n)
			h = newHouse(t)
		}
	}
}

// TestHandInDoors: only a phone hands in, with times that can be.
func TestHandInDoors(t *testing.T) {
	h := newHouse(t)
	for _, who := range []string{"stranger", "technician", "manager"} {
		if got, _ := h.who[who].handIn(h.site, note("no phone")); len(got.Kept) > 0 {
			t.Errorf("%s hands in without a phone", who)
		}
	}
	phone := h.who["phone"]
	if got, a := phone.handIn(h.site, note("good")); len(got.Kept) != 1 {
		t.Errorf("a phone may not hand in: %v", a)
	}
	day := int64(86_400_000)
	for what, at := range map[string]int64{"0": 0, "the second day of 1970": day, "before 1970": -day, "1999": 10957 * day} {
		e := note("odd time")
		e.At = at
		if got, _ := phone.handIn(h.site, e); len(got.Kept) > 0 {
			t.Errorf("a phone hands in an entry of %s, and nobody asks", what)
		}
	}
	for _, at := range []int64{time.Now().AddDate(20, 0, 0).UnixMilli(), 1<<63 - 1} {
		ahead := note("ahead")
		ahead.At = at
		phone.handIn(h.site, ahead)
		for _, e := range phone.log(h.site, "text=ahead") {
			if e.At > time.Now().Add(time.Hour).UTC().Format(time.RFC3339) {
				t.Errorf("an entry of %s holds", e.At)
			}
		}
	}
}

// TestTimesThroughAPI: a day that has not come, and one of 1970, are asked about.
func TestTimesThroughAPI(t *testing.T) {
	h := newHouse(t)
	for _, at := range []string{"1970-01-02T00:00:00Z", "1969-12-31T00:00:00Z", "2099-01-01T00:00:00Z", "9999-12-31T23:59:59Z"} {
		a := h.who["technician"].json("POST", "/api/v1/sites/"+h.site+"/log",
			map[string]any{"id": uuid7(time.Now()), "kind": "note", "at": at, "body": map[string]any{"text": "odd"}})
		if a.ok() {
			t.Errorf("a technician writes an entry of %s, and nobody asks", at)
		}
	}
}

func (h *house) ownStation() string {
	name, err := os.ReadFile(h.path("data/sootline/station"))
	if err != nil {
		h.t.Skip("no station file")
	}
	return strings.TrimSpace(string(name))
}

func (h *house) importLog(who string, f *forged) answer {
	return h.who[who].do("POST", "/api/v1/log/import", "application/jsonl", []byte(f.out.String()))
}

// TestImportByOthers: an import is the manager's.
func TestImportByOthers(t *testing.T) {
	h := newHouse(t)
	for _, who := range []string{"stranger", "technician", "phone"} {
		if a := h.importLog(who, newSite("Smuggled", "UTC", "s-aaaaaaaaaa")); a.ok() {
			t.Errorf("%s imports a log", who)
		}
	}
}

// TestImportClaimsStation: no import brings lines under the name of the server's own station that it never wrote.
func TestImportClaimsStation(t *testing.T) {
	h := newHouse(t)
	f := newSite("Claimed", "UTC", h.ownStation())
	if a := h.importLog("manager", f); a.ok() {
		t.Error("an import claims the server's station for a new site")
		if _, b := h.who["technician"].add(f.site, "note", "", map[string]any{"text": "mine"}); !b.ok() {
			t.Errorf("and the server can no longer write there: %v", b)
		}
	}
	g := &forged{site: h.site, station: h.ownStation(), seq: 999}
	g.add("", "note", `{"text":"forged"}`)
	if a := h.importLog("manager", g); a.ok() {
		t.Error("an import adds lines of the server's station to a site")
	}
}

// TestImportUnderKnownID: what an import brings under an id that is there has to be the same entry.
func TestImportUnderKnownID(t *testing.T) {
	h := newHouse(t)
	f := &forged{site: h.site, station: "s-aaaaaaaaaa"}
	f.add(h.theirs, "note", `{"text":"something else"}`)
	if a := h.importLog("manager", f); a.ok() {
		t.Error("an import brings another entry under an id that exists")
	}
	log := h.who["manager"].get("/api/v1/sites/" + h.site + "/log").body
	if strings.Contains(log, "something else") || !strings.Contains(log, "theirs") {
		t.Error("the entry says something else now")
	}
}

// TestImportAmendsUnwritten: a withdrawal of what is not there yet does not lie in wait for it.
func TestImportAmendsUnwritten(t *testing.T) {
	h := newHouse(t)
	coming := uuid7(time.Now())
	f := &forged{site: h.site, station: "s-bbbbbbbbbb"}
	f.add("", "withdrawn", `{"entry":"`+coming+`","why":"in advance"}`)
	a := h.importLog("manager", f)
	if !a.ok() {
		return
	}
	h.who["technician"].json("POST", "/api/v1/sites/"+h.site+"/log", map[string]any{"id": coming, "kind": "note", "body": map[string]any{"text": "comes later"}})
	for _, e := range h.who["manager"].log(h.site, "text=comes") {
		if e.ID == coming && e.Amended == nil {
			return
		}
	}
	t.Error("an import brought a withdrawal of an entry that did not exist, and it took the entry back when it came")
}
