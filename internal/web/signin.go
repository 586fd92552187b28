package web

import (
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// sessionID is the key of what a session holds: the id by which the book knows
// who is signed in.
const sessionID = "id"

func newSessions(c Config) *scs.SessionManager {
	m := scs.New()
	m.Store = store.Sessions{Store: c.App.Book, Now: c.App.Now}
	m.HashTokenInStore = true
	m.Lifetime = app.LongestEnd // the book ends it earlier where it must
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
	Passkeys            bool // there are some at this address
}

func (s *Server) showSignIn(w http.ResponseWriter, r *http.Request) error {
	page := &signInPage{Frame: Frame{Title: "Sign in"}, Next: localPath(r.URL.Query().Get("next"))}
	_, err := app.AtPlace(s.origin(r))
	page.Passkeys = err == nil
	return s.show(w, r, http.StatusOK, "signin.html", page)
}

func (s *Server) signIn(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	page := &signInPage{Frame: Frame{Title: "Sign in"}, Name: r.PostForm.Get("name"), Next: localPath(r.PostForm.Get("next"))}
	if err := s.trySignIn(r, page.Name, r.PostForm.Get("password"), r.PostForm.Get("code")); err != nil {
		return s.refuse(w, r, page, err)
	}
	http.Redirect(w, r, page.Next, http.StatusSeeOther)
	return nil
}

// trySignIn signs somebody in, unless they tried too often.
func (s *Server) trySignIn(r *http.Request, name, password, code string) error {
	who := *s.App
	who.Who = sootline.Actor{From: s.address(r)}
	right, err := s.tries.begin(s.address(r), name, time.Now()) // real time: the limit is on machines, not on the log book
	if err != nil {
		return err
	}
	p, err := who.SignIn(r.Context(), name, password)
	if err == nil {
		p, err = who.ShowCode(r.Context(), p, code)
	}
	if err != nil {
		return err
	}
	right()
	return s.beginSession(r, &who, p)
}

// beginSession makes the session of this browser that of somebody.
func (s *Server) beginSession(r *http.Request, who *app.App, p app.Person) error {
	id, err := who.BeginSession(r.Context(), p, r.UserAgent())
	if err != nil {
		return err
	}
	if err := s.sessions.RenewToken(r.Context()); err != nil {
		return err
	}
	s.sessions.Put(r.Context(), sessionID, id)
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
	if v := visitorOf(r); v.signedIn {
		if err := s.as(r).EndSession(r.Context(), v.session); err != nil {
			return err
		}
	}
	if err := s.sessions.Destroy(r.Context()); err != nil {
		return err
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}
