package web

import (
	"net"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"

	"sootline"
	"sootline/internal/store"
)

// sessionName is the key of the name in a session.
const sessionName = "name"

func newSessions(c Config) *scs.SessionManager {
	m := scs.New()
	m.Store = store.Sessions{Store: c.App.Book, Now: c.App.Now}
	m.HashTokenInStore = true
	m.Lifetime = 7 * 24 * time.Hour
	m.Cookie.Name = "session"
	if c.TLS {
		m.Cookie.Name = "__Host-session"
	}
	m.Cookie.Secure = c.TLS
	m.Cookie.HttpOnly = true
	m.Cookie.SameSite = http.SameSiteLaxMode
	return m
}

// signInPage asks for name and password.
type signInPage struct {
	Frame
	Name, Next, Trouble string
}

func (s *Server) showSignIn(w http.ResponseWriter, r *http.Request) error {
	page := &signInPage{Frame: Frame{Title: "Sign in"}, Next: localPath(r.URL.Query().Get("next"))}
	return s.show(w, r, http.StatusOK, "signin.html", page)
}

func (s *Server) signIn(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	page := &signInPage{Frame: Frame{Title: "Sign in"}, Name: r.PostForm.Get("name"), Next: localPath(r.PostForm.Get("next"))}
	address, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		address = r.RemoteAddr
	}
	if !s.tries.allow(address, time.Now()) { // real time: the limit is on machines, not on the log book
		return s.refuse(w, r, page, sootline.Errorf(tooMany, "", "too many tries; wait a minute"))
	}
	s.tries.slot <- struct{}{}
	p, err := s.App.SignIn(r.Context(), page.Name, r.PostForm.Get("password"))
	<-s.tries.slot
	if err != nil {
		return s.refuse(w, r, page, err)
	}
	if err := s.sessions.RenewToken(r.Context()); err != nil {
		return err
	}
	s.sessions.Put(r.Context(), sessionName, p.Name)
	http.Redirect(w, r, page.Next, http.StatusSeeOther)
	return nil
}

// refuse shows the form again, with what was typed except the password.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, page *signInPage, err error) error {
	if code := status(err); code >= http.StatusInternalServerError {
		return err
	}
	page.Trouble = sentence(err)
	return s.show(w, r, status(err), "signin.html", page)
}

func (s *Server) signOut(w http.ResponseWriter, r *http.Request) error {
	if err := s.sessions.Destroy(r.Context()); err != nil {
		return err
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}
