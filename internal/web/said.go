package web

import (
	"net/http"
	"strings"
)

// saidAt begins the name under which a session keeps what the page at an address is to say.
const saidAt = "said at "

// goSaying leads on to a page that says what was done. An address may be made by anybody, and what it says is no proof that
// anything was done: so this goes by the session, to that page alone and once.
func (s *Server) goSaying(w http.ResponseWriter, r *http.Request, to, said string) {
	path, _, _ := strings.Cut(to, "?")
	s.sessions.Put(r.Context(), saidAt+path, said)
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// saidBefore gives what was done before the page that is asked for; empty: nothing is to be told.
func (s *Server) saidBefore(r *http.Request) string {
	return s.sessions.PopString(r.Context(), saidAt+r.URL.Path)
}
