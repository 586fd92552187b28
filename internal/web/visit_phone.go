package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"path"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// mostCaptures is room for what a phone hands in at a time.
const mostCaptures = 1 << 20

// givePack gives all that a phone needs for the open visit.
func (s *Server) givePack(w http.ResponseWriter, r *http.Request) error {
	line, err := s.line(r)
	if err != nil {
		return err
	}
	a := s.as(r)
	if err := a.MayCapture(r.Context()); err != nil {
		return err
	}
	pack, err := a.VisitPack(r.Context(), line)
	if err != nil {
		return err
	}
	given := shape.OfPack(&pack, s.App.Now(), s.App.Book.Station(a.Who.Station), a.Who.Name)
	given.Book = s.App.Book.Era()
	given.KeptAt = s.keptAt()
	return s.giveJSON(w, r, given)
}

// keptAt tells a phone what it need not remember any more: what was acknowledged
// before the newest backup began that lies in its place now. 0: no such backup is known.
func (s *Server) keptAt() int64 {
	began, err := s.App.BackedUp(s.Keeping)
	if err != nil || began.IsZero() {
		return 0 // the phone keeps all, which loses nothing
	}
	return began.UnixMilli()
}

// waitMost is how long a phone waits for what is new, and waitersMost how many may at a time: others are answered at once, and
// ask again after their quarter minute.
const (
	waitMost    = 12 * time.Second
	waitersMost = 64
)

// waited waits until there is something new behind the mark that a phone has, so that it shows within a second what others did
// or a panel said. Without a mark nothing is waited for.
func (s *Server) waited(r *http.Request, site sootline.ID) error {
	mark := r.URL.Query().Get("after")
	if mark == "" {
		return nil
	}
	if s.waiters.Add(1) > waitersMost {
		s.waiters.Add(-1)
		return nil
	}
	defer s.waiters.Add(-1)
	return s.as(r).WaitFor(r.Context(), site, mark, waitMost)
}

// giveDone gives what all stations did in the open visit.
func (s *Server) giveDone(w http.ResponseWriter, r *http.Request) error {
	line, err := s.line(r)
	if err != nil {
		return err
	}
	if err := s.waited(r, line.ID); err != nil {
		return err
	}
	mark, err := s.as(r).MarkOf(r.Context(), line.ID) // before the rest: what comes meanwhile is told next
	if err != nil {
		return err
	}
	done, err := s.as(r).VisitDone(r.Context(), line)
	if err != nil {
		return err
	}
	given := shape.OfDone(&done, s.App.Now())
	given.Mark = mark
	given.KeptAt = s.keptAt()
	given.Book = s.App.Book.Era()
	return s.giveJSON(w, r, given)
}

// takeCaptures takes what a phone hands in; twice is as good as once.
func (s *Server) takeCaptures(w http.ResponseWriter, r *http.Request) error {
	line, err := s.line(r)
	if err != nil {
		return err
	}
	read, refused, err := shape.ReadCaptures(r.Body)
	if err != nil {
		return unreadableCaptures(err)
	}
	handed, err := s.as(r).HandIn(r.Context(), line.ID, read)
	if err != nil {
		return err
	}
	answer := shape.OfHandedIn(handed, refused, s.App.Now())
	answer.KeptAt = s.keptAt()
	return s.giveJSON(w, r, answer)
}

// unreadableCaptures tells of what is no list of entries at all.
func unreadableCaptures(err error) error {
	if status(err) == http.StatusRequestEntityTooLarge || sootline.ErrorCode(err) != "" {
		return err
	}
	return sootline.Errorf(sootline.Invalid, "", "what was handed in is no list of entries; nothing was kept: %w", err)
}

// takePhoto keeps a picture, and answers with its hash; or says why not, for the
// phone that shows it.
func (s *Server) takePhoto(w http.ResponseWriter, r *http.Request) error {
	content, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	site, err := sootline.ParseID(r.URL.Query().Get("site"))
	if err != nil {
		site = sootline.ID{} // an older page
	}
	hash, err := s.as(r).KeepPhoto(r.Context(), site, content)
	if err != nil {
		return err
	}
	return s.giveJSON(w, r, map[string]string{"hash": hash})
}

func (s *Server) givePhoto(w http.ResponseWriter, r *http.Request) error {
	hash := r.PathValue("hash")
	if !sootline.PhotoName(hash) {
		return sootline.Errorf(sootline.NotFound, "", "there is no such photo")
	}
	content, err := s.as(r).Photo(r.Context(), hash)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/jpeg")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(content))
	return nil
}

func (s *Server) giveJSON(w http.ResponseWriter, r *http.Request, answer any) error {
	text, err := json.Marshal(answer)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	_, err = w.Write(text)
	return s.wentAway(r, err)
}

// wentAway notes an answer that nobody waited for.
func (s *Server) wentAway(r *http.Request, err error) error {
	if err != nil {
		s.note(r, "went away: %v", err)
	}
	return nil
}

// showCapture gives the page of the phone. It holds no data, so that a phone may
// keep it and show it without network.
func (s *Server) showCapture(w http.ResponseWriter, _ *http.Request) error {
	return s.showKept(w, "visit_capture.html")
}

// showKept gives a page that a phone keeps.
func (s *Server) showKept(w http.ResponseWriter, name string) error {
	var page bytes.Buffer
	if err := s.pages[name].ExecuteTemplate(&page, name, nil); err != nil {
		return err
	}
	// These pages alone may use the camera and show a picture that is only here.
	h := w.Header()
	h.Set("Permissions-Policy", "camera=(self), microphone=(), geolocation=()")
	h.Set("Content-Security-Policy", strings.Replace(h.Get("Content-Security-Policy"), "img-src 'self'", "img-src 'self' blob:", 1))
	h.Set("Content-Type", "text/html; charset=utf-8")
	_, err := w.Write(page.Bytes())
	return err
}

// giveWorker gives the service worker, which begins with what it is to keep:
// another content of any file makes it another worker.
func (s *Server) giveWorker(w http.ResponseWriter, _ *http.Request) error {
	files := []string{"capture.css", "capture.js", "bench.css", "bench.js", "icon.svg", "visit_scan_worker.js", "jsqr.js", "manifest.webmanifest"}
	shell := []string{"/capture", "/bench"}
	var versions strings.Builder
	for _, name := range files {
		shell = append(shell, s.assetAddress(name))
		versions.WriteString(s.assets[name].version)
	}
	page := s.captureVersion()
	list, err := json.Marshal(shell)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	w.Header().Set("Cache-Control", "no-cache")
	_, err = fmt.Fprintf(w, "const VERSION = %q;\nconst SHELL = %s;\n%s", versionOf(versions.String()+page), list, s.assets["sw.js"].content)
	return err
}

// captureVersion changes with the pages themselves.
func (s *Server) captureVersion() string {
	var all strings.Builder
	for _, name := range []string{"visit_capture.html", "bench_run.html"} {
		content, err := pageFiles.ReadFile(path.Join("page", name))
		if err != nil {
			return ""
		}
		all.Write(content)
	}
	return all.String()
}

// phoneThatAsks tells which phone a request comes from; nil: none of ours.
func (s *Server) phoneThatAsks(r *http.Request) (*app.Phone, error) {
	c, err := r.Cookie(s.phoneCookie())
	if err != nil {
		return nil, nil
	}
	return s.App.PhoneOf(r.Context(), c.Value, app.ForPhone)
}

// technicianOf is the person of a phone: whatever its owner may, a phone that is
// left on a ladder may no more than capture.
func technicianOf(p *app.Person) visitor {
	if p == nil {
		return visitor{}
	}
	v := visitor{Person: *p, byKey: true, ownRole: p.Role}
	if v.Role == sootline.Manager {
		v.Role = sootline.Technician
	}
	return v
}
