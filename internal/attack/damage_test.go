package attack

import (
	"bytes"
	"image"
	"image/jpeg"
	"os/exec"
	"strings"
	"testing"
)

// whole looks that Today, Due, the lists and the good site work, and that something names the bad one.
func (c *caller) whole(t *testing.T, good, bad string) {
	t.Helper()
	named := false
	for _, path := range []string{"/", "/due", "/phones", "/api/v1/sites", "/site/" + good, "/site/" + good + "/due", "/site/" + good + "/log", "/api/v1/sites/" + good + "/due", "/api/v1/sites/" + good + "/points", "/healthz"} {
		a := c.get(path)
		if !a.ok() {
			t.Errorf("%s: %v", strings.ReplaceAll(path, good, "GOOD"), a)
		}
		named = named || (path == "/" || path == "/due") && strings.Contains(a.body, bad)
	}
	if !named {
		t.Errorf("neither Today nor Due says that %s cannot be read", bad)
	}
	if _, a := c.add(good, "note", "", map[string]any{"text": "goes on"}); !a.ok() {
		t.Errorf("nothing can be written to the good site: %v", a)
	}
}

func TestUnknownZone(t *testing.T) {
	s, site := staffed(t)
	m := s.signIn("M", managerWord)
	f := newSite("Faraway", "Nowhere/Atlantis", "s-aaaaaaaaaa")
	a := m.do("POST", "/api/v1/log/import", "application/jsonl", []byte(f.out.String()))
	if !a.ok() {
		m.whole(t, site, "") // refused with the reason is as good
		return
	}
	m.whole(t, site, "Faraway")
	for _, path := range []string{"/site/" + f.site, "/site/" + f.site + "/log", "/site/" + f.site + "/settings"} {
		if b := m.get(path); b.status >= 500 || b.status == 0 || !b.ok() && !strings.Contains(b.body, "zone") {
			t.Errorf("%s of the site itself does not say why: %v", path[len("/site/")+36:], b)
		}
	}
}

// sql changes the book's file behind the program's back; nobody may have it open.
func (b *box) sql(statement string) {
	b.t.Helper()
	if _, err := exec.LookPath("sqlite3"); err != nil {
		b.t.Skip("no sqlite3 here to damage the book with")
	}
	if out, err := exec.Command("sqlite3", b.book, statement).CombinedOutput(); err != nil {
		b.t.Skipf("the book's tables are not as this test knows them: %s", out)
	}
}

func TestUnreadablePage(t *testing.T) {
	b := newBox(t)
	b.mill()
	b.must("site", "add", "Quarry", "--loop", "1")
	s := b.serve()
	ids := s.stranger().sites()
	s.stop()
	b.sql(`UPDATE page SET lines = zeroblob(length(lines)) WHERE site = '` + ids["Quarry"] + `'`)
	s = b.serve()
	s.stranger().whole(t, ids["Mill"], "Quarry")
	if a := s.stranger().get("/site/" + ids["Quarry"]); a.status == 0 || !strings.Contains(a.body, "<h1>") {
		t.Errorf("the damaged site: %v", a)
	}
	if out, code := b.run("log", "--site", "Mill"); code != 0 {
		t.Errorf("the command line reads the good site no more: %s", out)
	}
	if out, code := b.run("site", "list"); code != 0 || !strings.Contains(out, "Mill") {
		t.Errorf("site list: exit %d, %s", code, out)
	}
}

func TestUnreadablePhoto(t *testing.T) {
	s, site := staffed(t)
	p := s.signIn("T", technicianWord).phone("pocket")
	var picture bytes.Buffer
	if err := jpeg.Encode(&picture, image.NewGray(image.Rect(0, 0, 64, 48)), nil); err != nil {
		t.Fatal(err)
	}
	a := p.do("POST", "/photo", "image/jpeg", picture.Bytes())
	if !a.ok() {
		t.Skipf("no way found to hand a photo in: %v", a)
	}
	s.stop()
	s.sql(`UPDATE photo SET content = x'00'`)
	again := s.box.serve()
	m := again.signIn("M", managerWord)
	for _, path := range []string{"/", "/due", "/site/" + site, "/site/" + site + "/log", "/site/" + site + "/defects"} {
		if a := m.get(path); !a.ok() {
			t.Errorf("%s: %v", path, a)
		}
	}
	again.stop()
	if out, code := s.run("book", "check"); code == 0 && !strings.Contains(out, "photo") {
		t.Errorf("book check says nothing of the photo: %s", out)
	}
	if out, code := s.run("book", "backup", s.path("kept.db")); code != 0 {
		t.Errorf("no backup is to be had: %s", out)
	}
}
