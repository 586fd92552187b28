package web

import (
	"net/http"

	"sootline"
	"sootline/internal/app"
)

// welcomePath is where invitations are taken up, before their keys.
const welcomePath = "/welcome/"

// welcomePage lets somebody who is asked in choose a password.
type welcomePage struct {
	Frame
	app.Welcome
	Least   int
	Trouble string
	WayOut  []wayLine
}

func (s *Server) showWelcome(w http.ResponseWriter, r *http.Request) error {
	page, err := s.welcomePage(r)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "welcome.html", page)
}

func (s *Server) welcomePage(r *http.Request) (*welcomePage, error) {
	welcome, err := s.App.WelcomeOf(r.Context(), r.PathValue("key"))
	return &welcomePage{Frame: Frame{Title: "Welcome"}, Welcome: welcome, Least: app.LeastPassword}, err
}

// acceptInvitation lets in who was asked, by the password that they choose, and signs
// them in here.
func (s *Server) acceptInvitation(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	page, err := s.welcomePage(r)
	if err != nil {
		return err
	}
	who := *s.App
	who.Who = sootline.Actor{Name: page.Name, From: s.address(r)}
	var p app.Person
	err = withPassword(r, func(password string) error {
		p, err = who.Accept(r.Context(), r.PathValue("key"), password)
		return err
	})
	if err == nil {
		err = s.beginSession(r, &who, p)
	}
	switch {
	case err == nil:
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return nil
	case status(err) >= http.StatusInternalServerError:
		return err
	}
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "welcome.html", page)
}
