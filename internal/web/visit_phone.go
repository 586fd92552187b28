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
	pack, err := s.as(r).VisitPack(r.Context(), line)
	if err != nil {
		return err
	}
	a := s.as(r)
	given := shape.OfPack(&pack, s.App.Now(), s.App.Book.Station(a.Who.Station), a.Who.Name)
	given.Book = s.App.Book.Era()
	return s.giveJSON(w, r, given)
}

// giveDone gives what all stations did in the open visit.
func (s *Server) giveDone(w http.ResponseWriter, r *http.Request) error {
	line, err := s.line(r)
	if err != nil {
		return err
	}
	done, err := s.as(r).VisitDone(r.Context(), line)
	if err != nil {
		return err
	}
	given := shape.OfDone(&done, s.App.Now())
	given.Book = s.App.Book.Era()
	return s.giveJSON(w, r, given)
}

// takeCaptures takes what a phone hands in; twice is as good as once.
func (s *Server) takeCaptures(w http.ResponseWriter, r *http.Request) error {
	line, err := s.line(r)
	if err != nil {
		return err
	}
	var captures shape.Captures
	if err := json.NewDecoder(r.Body).Decode(&captures); err != nil {
		return unreadable(err)
	}
	read, refused := captures.Read()
	handed, err := s.as(r).HandIn(r.Context(), line.ID, read)
	if err != nil {
		return err
	}
	return s.giveJSON(w, r, shape.OfHandedIn(handed, refused, s.App.Now()))
}

// takePhoto keeps a picture, and answers with its hash.
func (s *Server) takePhoto(w http.ResponseWriter, r *http.Request) error {
	content, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	hash, err := s.as(r).KeepPhoto(r.Context(), content)
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
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
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
		fmt.Fprintf(s.Log, "%s went away: %v\n", quoted(r.URL.Path), err) //nolint:errcheck // as every line of the log
	}
	return nil
}

// showCapture gives the page of the phone. It holds no data, so that a phone may
// keep it and show it without network.
func (s *Server) showCapture(w http.ResponseWriter, _ *http.Request) error {
	var page bytes.Buffer
	if err := s.pages["visit_capture.html"].ExecuteTemplate(&page, "visit_capture.html", nil); err != nil {
		return err
	}
	// This page alone may use the camera and show a picture that is only here.
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
	files := []string{"capture.css", "capture.js", "icon.svg", "visit_scan_worker.js", "jsqr.js", "manifest.webmanifest"}
	shell := []string{"/capture"}
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

// captureVersion changes with the page itself.
func (s *Server) captureVersion() string {
	content, err := pageFiles.ReadFile(path.Join("page", "visit_capture.html"))
	if err != nil {
		return ""
	}
	return string(content)
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
