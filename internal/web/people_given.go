package web

import (
	"net/http"
	"time"

	"sootline"
	"sootline/internal/app"
)

// invitedLine is somebody who is asked in, and has not come yet.
type invitedLine struct{ Name, Role, Sites, Until string }

// tokenLine is what lets a program in.
type tokenLine struct{ Name, Role, Sites, Maker, Until string }

// addGiven lists invitations and tokens.
func (s *Server) addGiven(r *http.Request, page *peoplePage) error {
	a := s.as(r)
	invited, err := a.Invited(r.Context())
	if err != nil {
		return err
	}
	for _, in := range invited {
		page.Invited = append(page.Invited, invitedLine{in.Name, string(in.Role), in.Sites, local(in.Until, s.Zone)})
	}
	tokens, err := a.Tokens(r.Context())
	if err != nil {
		return err
	}
	for _, t := range tokens {
		page.Tokens = append(page.Tokens, tokenLine{t.Name, string(t.Role), a.SayScope(r.Context(), t.Scope), t.Maker, local(t.Until, s.Zone)})
	}
	page.UntilDay = day(s.App.Now().AddDate(0, 3, 0), s.Zone)
	return nil
}

// invitePerson asks somebody in, and shows the address once; or takes it back.
func (s *Server) invitePerson(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	name, role := r.PostForm.Get("name"), sootline.Role(r.PostForm.Get("role"))
	if r.PostForm.Get("do") == "back" {
		return s.afterPeople(w, r, "", sootline.Technician, s.as(r).TakeBack(r.Context(), name))
	}
	err := s.mayAdd(r, role)
	var scope app.Scope
	if err == nil {
		scope, err = s.scopeIn(r)
	}
	var key string
	if err == nil {
		key, err = s.as(r).InvitePerson(r.Context(), name, role, scope)
	}
	if err != nil {
		return s.afterPeople(w, r, name, role, err)
	}
	return s.showGiven(w, r, func(page *peoplePage) { page.Welcome, page.WelcomeOf = s.origin(r)+welcomePath+key, name })
}

// changeTokens makes a token, and shows it once; or removes one.
func (s *Server) changeTokens(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	name := r.PostForm.Get("name")
	if r.PostForm.Get("do") == "remove" {
		return s.afterPeople(w, r, "", sootline.Technician, s.as(r).RemoveToken(r.Context(), name))
	}
	secret, err := s.makeToken(r, name)
	if err != nil {
		return s.afterPeople(w, r, "", sootline.Technician, err)
	}
	return s.showGiven(w, r, func(page *peoplePage) { page.Token, page.TokenOf = secret, name })
}

func (s *Server) makeToken(r *http.Request, name string) (string, error) {
	zone := s.Zone
	if zone == nil {
		zone = time.UTC
	}
	until, err := sootline.ParseDayEnds(r.PostForm.Get("until"), zone)
	if err != nil {
		return "", err
	}
	scope, err := s.scopeIn(r)
	if err != nil {
		return "", err
	}
	return s.as(r).AddToken(r.Context(), app.NewToken{Name: name, Role: sootline.Role(r.PostForm.Get("role")), Scope: scope, Until: until})
}

// showGiven shows the list with what is shown once.
func (s *Server) showGiven(w http.ResponseWriter, r *http.Request, once func(*peoplePage)) error {
	page, err := s.peoplePage(r, sootline.Technician)
	if err != nil {
		return err
	}
	once(page)
	w.Header().Set("Cache-Control", "no-store")
	return s.show(w, r, http.StatusOK, "people.html", page)
}
