package web

import (
	"bytes"
	"context"
	"database/sql"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

// spoil changes the file of a server's book behind its back.
func spoil(t *testing.T, s *Server, statement string, args ...any) {
	t.Helper()
	db, err := sql.Open("sqlite", s.App.Book.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	res, err := db.Exec(statement, args...)
	if err != nil {
		t.Fatal(err)
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		t.Fatalf("nothing is spoiled: %v", err)
	}
}

// withBadSite gives a server whose book has the demo, and a site named Quarry, which
// is spoiled before anybody looks at it.
func withBadSite(t *testing.T, change func(*Config), bad func(*Server, sootline.ID)) (s *Server, good, quarry string) {
	t.Helper()
	s, good = withDemo(t, change)
	id, err := s.App.AddSite(context.Background(), app.NewSite{Name: "Quarry"})
	if err != nil {
		t.Fatal(err)
	}
	bad(s, id)
	return s, good, "/site/" + id.String()
}

func unreadablePage(t *testing.T) func(*Server, sootline.ID) {
	return func(s *Server, id sootline.ID) {
		spoil(t, s, "UPDATE page SET lines = zeroblob(length(lines)) WHERE site = $1", id.String())
	}
}

func breaksDown(s *Server, id sootline.ID) {
	whole := s.surveys.make
	s.surveys.make = func(ctx context.Context, line store.SiteLine) (*app.Survey, error) {
		if line.ID == id {
			panic("a register that nobody foresaw")
		}
		return whole(ctx, line)
	}
}

// One site that cannot be read, or at which the program fails, stands on Today with the
// reason; the others are shown as they are without it.
func TestBadSiteOnToday(t *testing.T) {
	pgtest.FileOnly(t)
	for name, c := range map[string]struct {
		bad  func(*Server, sootline.ID)
		says string
	}{
		"unreadable page": {unreadablePage(t), "Site Quarry cannot be shown: book "},
		"bad row": {func(s *Server, id sootline.ID) {
			spoil(t, s, "UPDATE site SET folded = 'query' WHERE id = $1", id.String())
		}, "Site Quarry cannot be shown: book "},
		"panic": {breaksDown, "Site Quarry cannot be shown: the program fails at what its log holds, which nobody foresaw."},
	} {
		t.Run(name, func(t *testing.T) {
			var log bytes.Buffer
			s, good, quarry := withBadSite(t, func(c *Config) { c.Log = &log }, c.bad)
			b := visit(t, s)
			for range 2 { // looked at, and as it is kept
				if today := b.get("/"); !strings.Contains(today, c.says) || !strings.Contains(today, good+"/due") || !strings.Contains(today, "inside the band") {
					t.Errorf("Today: %s", today)
				}
			}
			if n := strings.Count(log.String(), "cannot be shown"); n != 1 {
				t.Errorf("the log tells of it %d times: %s", n, log.String())
			}
			if name == "panic" && !strings.Contains(log.String(), "trouble_test.go") {
				t.Errorf("the log does not say where: %s", log.String())
			}
			res := b.do(http.MethodGet, quarry, "", nil)
			if page := read(t, res); res.StatusCode != http.StatusInternalServerError || !strings.Contains(page, "<h1>"+c.says) || name != "bad row" && !strings.Contains(page, quarry+"/log/") {
				t.Errorf("its own page gives %d: %s", res.StatusCode, page)
			}
			if metrics := b.get("/metrics"); !strings.Contains(metrics, "sootline_sites_not_shown 1\n") {
				t.Error("the metrics do not count it")
			}
			if sites := b.get("/api/v1/sites"); !strings.Contains(sites, `"trouble":"Site Quarry cannot be shown`) || !strings.Contains(sites, `"trouble":null`) {
				t.Errorf("the API lists %s", sites)
			}
			for _, address := range []string{good, good + "/log", good + "/due", "/phones", "/api/v1/sites"} {
				b.get(address)
			}
		})
	}
}

// Due, its calendar and the API tell of a site that cannot be read, and of the others all.
func TestBadSiteOnDue(t *testing.T) {
	pgtest.FileOnly(t)
	alone, _ := withDemo(t, nil)
	events := strings.Count(visit(t, alone).get("/due.ics"), "BEGIN:VEVENT")
	s, good, quarry := withBadSite(t, nil, unreadablePage(t))
	b := visit(t, s)
	if due := b.get("/due"); !strings.Contains(due, "Site Quarry cannot be shown") || !strings.Contains(due, quarry+"/log/readable") || !strings.Contains(due, good+"/visit") {
		t.Errorf("Due: %s", due)
	}
	feed := strings.ReplaceAll(b.get("/due.ics"), "\r\n ", "")
	if n := strings.Count(feed, "BEGIN:VEVENT"); n != events+1 || !strings.Contains(feed, "SUMMARY:Quarry: what is due is not known\r\n") {
		t.Errorf("the calendar has %d events, without the site %d: %s", n, events, feed)
	}
	res := b.do(http.MethodGet, "/api/v1/sites/"+strings.TrimPrefix(quarry, "/site/")+"/due", "", nil)
	if text := read(t, res); res.StatusCode != http.StatusInternalServerError || !strings.Contains(text, "Site Quarry cannot be shown") || !strings.Contains(text, `"do":"export-readable"`) {
		t.Errorf("the API gives %d: %s", res.StatusCode, text)
	}
	if res := b.do(http.MethodGet, quarry+"/log/readable", "", nil); res.StatusCode != http.StatusOK {
		t.Errorf("what can be read: %d", res.StatusCode)
	}
}

// What breaks one page of a site says so of that page alone, and leads on.
func TestBrokenPageOfSite(t *testing.T) {
	s, good := withDemo(t, nil)
	s.Firm = nil
	b := visit(t, s)
	b.get(good)
	delete(s.pages, "battery.html") // as a template that fails
	res := b.do(http.MethodGet, good+"/battery", "", nil)
	if text := read(t, res); res.StatusCode != http.StatusInternalServerError || !strings.Contains(text, "This page of site ") || !strings.Contains(text, good+"/log") {
		t.Errorf("it gives %d: %s", res.StatusCode, text)
	}
}

// A picture that is not what was taken is told of where it would stand; the page stands.
func TestBadPhotoOnPage(t *testing.T) {
	s, good := withDemo(t, nil)
	photo := []byte(smallPhoto)
	hash, err := s.App.KeepPhoto(t.Context(), sootline.ID{}, photo)
	if err != nil {
		t.Fatal(err)
	}
	e, err := s.App.AddEntry(t.Context(), surveyOf(t, s).Register.Site.ID, app.Note{At: today.Add(-time.Hour), Body: sootline.Defect{Nature: "damage", Grade: "minor", Place: "the lobby", Text: "a lid hangs", Photo: hash}, Sure: true})
	if err != nil {
		t.Fatal(err)
	}
	b := visit(t, s)
	page := good + "/defect/" + e.ID.String()
	if text := b.get(page); !strings.Contains(text, `<img class="photo" src="/photo/`+hash) {
		t.Fatalf("no photo: %s", text)
	}
	spoil(t, s, "UPDATE photo SET content = x'00' WHERE hash = $1", hash)
	if text := b.get(page); strings.Contains(text, "<img") || !strings.Contains(text, "Photo "+hash+" cannot be read") {
		t.Errorf("the page says %s", text)
	}
	if res := b.do(http.MethodGet, "/photo/"+hash, "", nil); res.StatusCode != http.StatusInternalServerError {
		t.Errorf("it is given out with %d", res.StatusCode)
	}
	spoil(t, s, "DELETE FROM photo WHERE hash = $1", hash)
	if text := b.get(page); strings.Contains(text, "<img") || !strings.Contains(text, "The book does not hold this photo") {
		t.Errorf("the page says %s", text)
	}
}

// Health says in words what is amiss, with 503, and notes it.
func TestHealthTells(t *testing.T) {
	var log bytes.Buffer
	s := newServer(t, func(c *Config) { c.Log = &log })
	if text := visit(t, s).get("/healthz"); text != "ok\n" {
		t.Errorf("it says %q", text)
	}
	moved := newServer(t, func(c *Config) { c.Log = &log })
	if err := os.Rename(moved.App.Book.Path(), moved.App.Book.Path()+".old"); err != nil {
		t.Fatal(err)
	}
	res := visit(t, moved).do(http.MethodGet, "/healthz", "", nil)
	if text := read(t, res); res.StatusCode != http.StatusServiceUnavailable || !strings.Contains(text, "nothing was written") || !strings.HasSuffix(text, ".\n") {
		t.Errorf("it gives %d: %q", res.StatusCode, text)
	}
	if !strings.Contains(log.String(), "was moved") {
		t.Errorf("the log says %s", log.String())
	}
}

// TestFoldersAreForManagers: of a site that cannot be read, who is no manager is not told
// in which folder the book lies, at the machine's own address either.
func TestFoldersAreForManagers(t *testing.T) {
	for name, change := range map[string]func(*Config){
		"abroad": abroad,
		"at its own address": func(c *Config) {
			abroad(c)
			c.Loopback, c.TLS = true, false
		},
	} {
		t.Run(name, func(t *testing.T) {
			s, _, quarry := withBadSite(t, change, unreadablePage(t))
			folder := filepath.Dir(s.App.Book.Path())
			for who, told := range map[string]bool{"T. Tech": false, "M. Manager": true} {
				b := signIn(t, s, who)
				for _, address := range []string{"/", "/due", "/due.ics", "/api/v1/sites", "/defects", quarry, quarry + "/log", quarry + "/papers", quarry + "/log/verify", "/api/v1" + strings.Replace(quarry, "/site/", "/sites/", 1) + "/due"} {
					text := read(t, b.do(http.MethodGet, address, "", nil))
					if !told && strings.Contains(text, folder) {
						t.Errorf("%s tells %s of %s", address, who, folder)
					}
					if told && address == "/" && !strings.Contains(text, folder) {
						t.Errorf("%s does not tell %s where", address, who)
					}
				}
			}
		})
	}
}
