package web

import (
	"net/http"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// peoplePage lists who may sign in, and lets a manager add somebody.
type peoplePage struct {
	Frame
	People  []personLine
	Roles   []choiceLine
	Name    string
	Trouble string
	WayOut  []wayLine
	Open    bool // nobody needs to sign in
	Least   int
}

type personLine struct{ Name, Role, Since string }

func (s *Server) showPeople(w http.ResponseWriter, r *http.Request) error {
	page, err := s.peoplePage(r, sootline.Technician)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "people.html", page)
}

func (s *Server) peoplePage(r *http.Request, role sootline.Role) (*peoplePage, error) {
	people, err := s.App.People(r.Context())
	if err != nil {
		return nil, err
	}
	page := &peoplePage{Frame: Frame{Title: "People"}, Open: len(people) == 0, Least: app.LeastPassword}
	for _, p := range people {
		page.People = append(page.People, personLine{p.Name, string(p.Role), day(p.Added, s.Zone)})
	}
	if page.Open {
		role = sootline.Manager
	}
	for _, one := range []sootline.Role{sootline.Technician, sootline.Manager} {
		page.Roles = append(page.Roles, choiceLine{string(one), string(one), one == role})
	}
	return page, nil
}

// addPerson lets somebody sign in, or gives somebody another role and password. A
// form with a mistake comes back without the password.
func (s *Server) addPerson(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	name, role := strings.Join(strings.Fields(r.PostForm.Get("name")), " "), sootline.Role(r.PostForm.Get("role"))
	err := s.mayAdd(r, name, role)
	if err == nil {
		s.tries.slot <- struct{}{} // a password costs memory to keep, as it does to try
		err = s.as(r).AddPerson(r.Context(), name, role, r.PostForm.Get("password"))
		<-s.tries.slot
	}
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
	page.Name, page.Trouble, page.WayOut = name, sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "people.html", page)
}

// mayAdd refuses a form whose passwords differ, and one after which no manager
// would be left: nobody could add one any more.
func (s *Server) mayAdd(r *http.Request, name string, role sootline.Role) error {
	if r.PostForm.Get("password") != r.PostForm.Get("again") {
		return sootline.Errorf(sootline.Invalid, "type it twice alike", "the two passwords are not the same")
	}
	people, err := s.App.People(r.Context())
	if err != nil || role == sootline.Manager {
		return err
	}
	other := func(p app.Person) bool { return p.Role == sootline.Manager && !strings.EqualFold(p.Name, name) }
	if !slices.ContainsFunc(people, other) {
		return sootline.Errorf(sootline.Conflict, "choose manager", "somebody has to be manager, or nobody could add people any more")
	}
	return nil
}
