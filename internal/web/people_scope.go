package web

import (
	"net/http"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// scopeForm is the part of a form that says which sites somebody sees.
type scopeForm struct {
	Some             bool
	Sites, Customers string // a name a line
}

// scopeFormOf fills the form with what holds.
func (s *Server) scopeFormOf(r *http.Request, scope app.Scope) (scopeForm, error) {
	names, err := s.as(r).SiteNames(r.Context(), scope)
	return scopeForm{scope.Bound, strings.Join(names, "\n"), strings.Join(scope.Customers, "\n")}, err
}

// typedScope is the form as it was typed, to be shown again.
func typedScope(r *http.Request) scopeForm {
	return scopeForm{r.PostForm.Get("which") == "some", strings.Join(r.PostForm["site"], "\n"), strings.Join(r.PostForm["customer"], "\n")}
}

// scopeIn reads the form.
func (s *Server) scopeIn(r *http.Request) (app.Scope, error) {
	sites, customers := namesIn(r.PostForm["site"]), namesIn(r.PostForm["customer"])
	switch {
	case r.PostForm.Get("which") == "some":
		return s.as(r).ScopeNamed(r.Context(), sites, customers)
	case len(sites)+len(customers) > 0: // whoever named some does not mean all
		return app.Scope{}, sootline.Errorf(sootline.Invalid, "choose Only these, or leave the names empty", "sites are named, and all sites are chosen")
	}
	return app.Scope{}, nil
}

// namesIn gives the lines that hold something.
func namesIn(texts []string) []string {
	var lines []string
	for _, text := range texts {
		for line := range strings.Lines(text) {
			if line = strings.TrimSpace(line); line != "" {
				lines = append(lines, line)
			}
		}
	}
	return lines
}
