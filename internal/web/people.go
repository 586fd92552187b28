package web

import (
	"net/http"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// peoplePage lists who may sign in, and lets a manager add, change and remove them.
type peoplePage struct {
	Frame
	People  []personLine
	Roles   []choiceLine
	Name    string
	Trouble string
	WayOut  []wayLine
	Scope   scopeForm

	Invited            []invitedLine
	Welcome, WelcomeOf string // the address that was just made, and whose
	Tokens             []tokenLine
	Token, TokenOf     string // the one that was just made, and its name
	UntilDay           string // the day that is proposed

	Open  bool // nobody needs to sign in
	Least int
}

type personLine struct {
	Name, Role, Since string
	Roles             []choiceLine
	Factor            bool   // or passkeys
	Sites             string // in words
	Scope             scopeForm
	Me                bool // whoever looks: their own way in is on their account
}

func (s *Server) showPeople(w http.ResponseWriter, r *http.Request) error {
	page, err := s.peoplePage(r, sootline.Technician)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "people.html", page)
}

func (s *Server) peoplePage(r *http.Request, role sootline.Role) (*peoplePage, error) {
	a := s.as(r)
	people, err := a.People(r.Context())
	if err != nil {
		return nil, err
	}
	page := &peoplePage{Frame: Frame{Title: "People"}, Open: len(people) == 0, Least: app.LeastPassword}
	for _, p := range people {
		factor, err := a.HasFactor(r.Context(), p.Name)
		if err == nil && !factor {
			factor, err = a.HasPasskeys(r.Context(), p.Name)
		}
		if err != nil {
			return nil, err
		}
		scope, err := s.scopeFormOf(r, p.Scope)
		if err != nil {
			return nil, err
		}
		page.People = append(page.People, personLine{p.Name, string(p.Role), day(p.Added, s.Zone), roleChoices(p.Role), factor, a.SayScope(r.Context(), p.Scope), scope, store.SameName(p.Name, a.Who.Name)})
	}
	if page.Open {
		role = sootline.Manager
	}
	page.Roles = roleChoices(role)
	return page, s.addGiven(r, page)
}

func roleChoices(chosen sootline.Role) []choiceLine {
	var lines []choiceLine
	for _, one := range sootline.Roles() {
		lines = append(lines, choiceLine{string(one), string(one), one == chosen})
	}
	return lines
}

// addPerson lets somebody sign in. A form with a mistake comes back without the
// password.
func (s *Server) addPerson(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	name, role := r.PostForm.Get("name"), sootline.Role(r.PostForm.Get("role"))
	known, err := s.as(r).People(r.Context())
	if err != nil {
		return err
	}
	err = s.mayAdd(r, role)
	if err == nil {
		err = withPassword(r, func(password string) error {
			scope, err := s.scopeIn(r)
			if err != nil {
				return err
			}
			return s.as(r).AddPersonFor(r.Context(), name, role, scope, password)
		})
	}
	if err == nil && len(known) == 0 {
		err = s.stayIn(r, name)
	}
	return s.afterPeople(w, r, name, role, err)
}

// stayIn signs in who was just added as the first: from then on everybody signs in, and
// they have typed their password a moment ago.
func (s *Server) stayIn(r *http.Request, name string) error {
	a := s.as(r)
	people, err := a.People(r.Context())
	if err != nil {
		return err
	}
	for _, p := range people {
		if store.SameName(p.Name, name) {
			who := *a
			who.Who.Name = p.Name
			return s.beginSession(r, &who, p)
		}
	}
	return nil
}

// withPassword hands on a password that was typed twice alike.
func withPassword(r *http.Request, do func(password string) error) error {
	password := r.PostForm.Get("password")
	if password != r.PostForm.Get("again") {
		return sootline.Errorf(sootline.Invalid, "type it twice alike", "the two passwords are not the same")
	}
	return do(password)
}

// changePerson gives somebody another role, other sites or another password, signs them
// out, or removes them.
func (s *Server) changePerson(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	name, a, ctx := r.PostForm.Get("name"), s.as(r), r.Context()
	var err error
	switch do := r.PostForm.Get("do"); do {
	case "role":
		err = a.ChangeRole(ctx, name, sootline.Role(r.PostForm.Get("role")))
	case "sites":
		var scope app.Scope
		if scope, err = s.scopeIn(r); err == nil {
			err = a.ChangeScope(ctx, name, scope)
		}
	case "password":
		err = withPassword(r, func(password string) error { return a.ChangePassword(ctx, name, password) })
	case "sign-out":
		err = a.SignOutEverywhere(ctx, name)
	case "factor-off":
		err = a.DropFactor(ctx, name)
	case "remove":
		err = a.RemovePerson(ctx, name)
	default:
		err = sootline.Errorf(sootline.Invalid, "open the page again", "%q is nothing that is done with a person", do)
	}
	return s.afterPeople(w, r, "", sootline.Technician, err)
}

// afterPeople leads back to the list, or shows it with what was wrong.
func (s *Server) afterPeople(w http.ResponseWriter, r *http.Request, name string, role sootline.Role, err error) error {
	if err == nil {
		http.Redirect(w, r, "/people", http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page, wrong := s.peoplePage(r, role)
	if wrong != nil {
		return wrong
	}
	if name != "" {
		page.Scope = typedScope(r)
	}
	page.Name, page.Trouble, page.WayOut = name, sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "people.html", page)
}

// mayAdd refuses a first person who is no manager: whoever works at the machine would
// lock themselves out of the pages.
func (s *Server) mayAdd(r *http.Request, role sootline.Role) error {
	people, err := s.as(r).People(r.Context())
	if err != nil || len(people) > 0 || role == sootline.Manager {
		return err
	}
	return sootline.Errorf(sootline.Conflict, "choose manager", "somebody has to be manager, or nobody could add people any more")
}
