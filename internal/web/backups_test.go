package web

import (
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline/internal/app"
	kept "sootline/internal/keep"
	"sootline/internal/pgtest"
)

// keeping has the server keep backups in a folder, without its schedule running.
func keeping(t *testing.T, s *Server, keys kept.Keys) (k *app.Keeping, folder string) {
	t.Helper()
	pgtest.FileOnly(t)
	folder = filepath.Join(t.TempDir(), "backups")
	place, err := kept.Open(folder, kept.Storage{})
	if err != nil {
		t.Fatal(err)
	}
	k = app.NewKeeping(s.App, []kept.Place{place}, keys, time.Hour, func(line string) { t.Log(line) })
	s.Keeping = k
	return k, folder
}

// TestBackupsPage goes from no backups to kept ones, then lets them fail and a drill
// find damage: managers are told, on the page and on Today, and programs by numbers.
func TestBackupsPage(t *testing.T) {
	clock := today
	s, site := withDemo(t, func(c *Config) {
		abroad(c)
		c.App.Now = func() time.Time { return clock }
	})
	manager, technician := signIn(t, s, "M. Manager"), signIn(t, s, "T. Tech")
	says := func(b *browser, address string, wants ...string) {
		t.Helper()
		text := b.get(address)
		for _, want := range wants {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %q", address, want)
			}
		}
	}
	quiet := func(b *browser, address, of string) {
		t.Helper()
		if strings.Contains(b.get(address), of) {
			t.Errorf("%s says %q", address, of)
		}
	}
	says(manager, "/backups", "No backups are kept", "sootline serve --backup")
	quiet(manager, "/", "Backups fail")
	quiet(manager, "/metrics", "sootline_backup_age_seconds")

	k, folder := keeping(t, s, kept.Keys{})
	says(manager, "/", "Backups fail or are late.") // none was ever kept
	k.Look(t.Context())
	name := kept.Copy{At: clock}.Name()
	says(manager, "/backups", "every hour", folder, name, "not encrypted", "Last drill that passed")
	quiet(manager, "/backups", `class="trouble"`)
	quiet(manager, "/", "Backups fail")
	clock = clock.Add(90 * time.Minute)
	says(manager, "/metrics", `sootline_backup_age_seconds{place="`+folder+`"} 5400`, `sootline_drill_age_seconds{place="`+folder+`"} 5400`)
	quiet(manager, "/", "Backups fail")
	clock = clock.Add(2 * time.Hour)
	says(manager, "/", "Backups fail or are late.")
	says(manager, "/backups", "A backup is overdue")
	quiet(technician, "/", "Backups fail")

	whole, err := os.Stat(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, name), make([]byte, whole.Size()), 0o600); err != nil {
		t.Fatal(err)
	}
	clock = clock.Add(6 * 24 * time.Hour)
	k.Look(t.Context())                                                       // nothing was written: the damaged one is still the newest
	manager, technician = signIn(t, s, "M. Manager"), signIn(t, s, "T. Tech") // the sessions are over
	says(manager, "/", "A backup could not be shown to work.")
	says(manager, "/backups", "failed:", "is not a book")

	if err := os.Rename(folder, folder+"-away"); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(folder, nil, 0o600); err != nil { // not a folder any more
		t.Fatal(err)
	}
	technician.post(site+"/log", url.Values{"id": {s.newID()}, "kind": {"note"}, "text": {"seen"}})
	clock = clock.Add(time.Hour)
	k.Look(t.Context())
	says(manager, "/", "Backups fail or are late, and one could not be shown to work.")
	says(manager, "/backups", "The last try failed on "+local(clock, s.Zone)+":", "Lies there now")
	says(technician, site, "Works") // everything else goes on
}

// TestBackupsSealed: where the key is elsewhere the page says how to drill there.
func TestBackupsSealed(t *testing.T) {
	s := newServer(t, nil)
	folder := t.TempDir()
	recipient, err := kept.MakeKey(filepath.Join(folder, "key.txt"))
	if err != nil {
		t.Fatal(err)
	}
	keys, err := kept.ReadKeys([]string{recipient}, "")
	if err != nil {
		t.Fatal(err)
	}
	k, _ := keeping(t, s, keys)
	k.Look(t.Context())
	b := visit(t, s)
	text := b.get("/backups")
	for _, want := range []string{", encrypted", "The key to these backups is not on this machine", "sootline book drill", "none yet"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(b.get("/"), "could not be shown") {
		t.Error("Today complains of a drill that cannot be made here")
	}
}

// TestBackupAfterVisit: a visit that is closed asks for a backup at once.
func TestBackupAfterVisit(t *testing.T) {
	clock := today
	s, site := withDemo(t, func(c *Config) { c.App.Now = func() time.Time { return clock } })
	k, folder := keeping(t, s, kept.Keys{})
	s.App.Closed = k.Soon
	count := func() int {
		k.Look(t.Context())
		files, _ := filepath.Glob(filepath.Join(folder, "book-*"))
		return len(files)
	}
	if n := count(); n != 1 {
		t.Fatalf("%d backups", n)
	}
	clock = clock.Add(time.Minute)
	b := visit(t, s)
	openAt(t, b, site, nil)
	if n := count(); n != 1 {
		t.Fatalf("%d backups after a visit was opened", n)
	}
	clock = clock.Add(time.Minute)
	if res := b.post(site+"/visit/close", url.Values{"left": {"not normal"}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("closing gives %d", res.StatusCode)
	}
	if n := count(); n != 2 {
		t.Errorf("%d backups after it was closed", n)
	}
}

// TestKeptAt: a phone is told when the newest backup began, in every answer.
func TestKeptAt(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	openAt(t, b, site, nil)
	answers := func(want string) {
		t.Helper()
		for _, address := range []string{"/visit/pack", "/visit/done"} {
			if text := b.get(site + address); !strings.Contains(text, `"kept_at":`+want+",") {
				t.Errorf("%s does not hold kept_at %s", address, want)
			}
		}
		res := b.do(http.MethodPost, site+"/visit/entries", `{"entries":[]}`, nil)
		if text, _ := io.ReadAll(res.Body); !strings.Contains(string(text), `"kept_at":`+want+",") {
			t.Errorf("handing in answers %s", text)
		}
	}
	answers("0")
	k, folder := keeping(t, s, kept.Keys{})
	k.Look(t.Context())
	answers("1768903200000") // today, 2026-01-20 10:00 UTC
	kept := filepath.Join(folder, "book-20260120T100000Z.db")
	if err := os.Rename(kept, kept+".away"); err != nil {
		t.Fatal(err)
	}
	answers("0") // it is not there
	if err := os.Rename(kept+".away", kept); err != nil {
		t.Fatal(err)
	}
	if began, err := s.App.BackedUp(s.Keeping); err != nil || !began.Equal(today) {
		t.Errorf("backed up at %s, %v", began, err)
	}
	s.App.Now = func() time.Time { return today.Add(-time.Minute) } // the clock was ahead when it was kept
	answers("0")
}

// TestBackupsGone: what was kept in a place and is not there is said on the page, on
// Today and in the numbers.
func TestBackupsGone(t *testing.T) {
	clock := today
	s := newServer(t, func(c *Config) { c.App.Now = func() time.Time { return clock } })
	k, folder := keeping(t, s, kept.Keys{})
	k.Look(t.Context())
	b := visit(t, s)
	gone := func(want bool) {
		t.Helper()
		for address, says := range map[string]string{
			"/": "is not there any more", "/backups": "What was kept here is gone:", "/metrics": `sootline_backup_gone{place="` + folder + `"} 1`,
		} {
			if got := strings.Contains(b.get(address), says); got != want {
				t.Errorf("%s says %q: %v", address, says, got)
			}
		}
	}
	gone(false)
	if err := os.RemoveAll(folder); err != nil {
		t.Fatal(err)
	}
	clock = clock.Add(time.Minute)
	k.Look(t.Context())
	gone(true)
	if _, err := os.Stat(folder); err == nil {
		t.Error("the folder was made anew")
	}
}

// TestBackupsElsewhere: of a place beside the schedule the page says what lies there now,
// and not who kept it; of one that is dated after now, that a clock was wrong.
func TestBackupsElsewhere(t *testing.T) {
	s := newServer(t, func(c *Config) { c.App.Now = func() time.Time { return today } })
	k, folder := keeping(t, s, kept.Keys{})
	k.Look(t.Context())
	s.Keeping = nil
	b := visit(t, s)
	says := func(want string) {
		t.Helper()
		text := b.get("/backups")
		for _, words := range []string{"This server does not keep backups here now.", want} {
			if !strings.Contains(text, words) {
				t.Errorf("the page does not say %q", words)
			}
		}
		if strings.Contains(text, "by hand.") {
			t.Error("the page says who kept what lies there")
		}
	}
	says("<dd>1 backup</dd>")
	ahead := kept.Copy{At: today.Add(time.Hour)}.Name()
	if err := os.Rename(filepath.Join(folder, kept.Copy{At: today}.Name()), filepath.Join(folder, ahead)); err != nil {
		t.Fatal(err)
	}
	says("A backup here is dated after now:</strong> <code>" + ahead)
	if err := os.Remove(filepath.Join(folder, ahead)); err != nil {
		t.Fatal(err)
	}
	says("<dd>no backup</dd>")
	if err := os.Remove(folder); err != nil {
		t.Fatal(err)
	}
	says("no backup: the place is not there")
}
