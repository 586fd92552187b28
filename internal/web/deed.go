package web

import (
	"net/http"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// doneNotice says what was just written down, and offers to take it back.
type doneNotice struct {
	Address  string // where that is asked
	Deed, ID string // of what was written, and of the form that takes it back
	Back     string
	Says     []string
	More     int
	Undone   bool // it took something back
	Gone     bool // it was taken back before
}

// mostDone is how many entries of a deed a notice tells.
const mostDone = 4

// doneQuery is the part of an address that names what was just written.
const doneQuery = "done"

// done makes the notice for a page whose address names what was just written; nil where
// it names nothing that the log has.
func (s *Server) done(survey *app.Survey, r *http.Request) *doneNotice {
	id, err := sootline.ParseID(r.URL.Query().Get(doneQuery))
	if err != nil {
		return nil
	}
	deed := survey.Deed(id)
	if deed == nil {
		return nil
	}
	n := &doneNotice{
		Address: siteAddress(survey) + "/undo", Deed: id.String(), ID: s.newID(), Back: withoutDone(r),
		Undone: deed.Undoing, Gone: deed.Stands == 0, More: max(0, len(deed.Lines)-mostDone),
	}
	for _, line := range deed.Lines[:min(mostDone, len(deed.Lines))] {
		n.Says = append(n.Says, saysDone(survey, line))
	}
	return n
}

// saysDone tells an entry of a deed, with its point; of one that takes another back, what
// that one said.
func saysDone(survey *app.Survey, line app.LogLine) string {
	if target := sootline.Amends(line.Entry.Body); !target.Zero() {
		if of, err := survey.LogEntry(target); err == nil {
			line = of
		}
	}
	says := sootline.Say(line.Entry.Body)
	if line.Ref != "" {
		return line.Ref + ", " + says
	}
	return says
}

// withoutDone is the address of a page without what was just written.
func withoutDone(r *http.Request) string {
	at := *r.URL
	q := at.Query()
	q.Del(doneQuery)
	q.Del("added")
	q.Del("entry")
	at.RawQuery = q.Encode()
	return at.RequestURI()
}

// withDone names in an address what was just written.
func withDone(address string, id sootline.ID) string {
	path, part, anchored := strings.Cut(address, "#")
	join := "?"
	if strings.Contains(path, "?") {
		join = "&"
	}
	path += join + doneQuery + "=" + id.String()
	if anchored {
		return path + "#" + part
	}
	return path
}

// undoDeed takes back what a form wrote, and goes back to the page where it was told; to
// the points, where the page went with it.
func (s *Server) undoDeed(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	deed, err := sootline.ParseID(r.PostForm.Get("deed"))
	if err != nil {
		return lostNumber(err)
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	if err := a.UndoDeed(r.Context(), survey.Register.Site.ID, deed); err != nil {
		return err
	}
	after, _, err := s.survey(r)
	if err != nil {
		return err
	}
	back := localPath(r.PostForm.Get("back"))
	if pointGone(survey, after, back) {
		back = siteAddress(survey) + "/points"
	}
	http.Redirect(w, r, withDone(back, a.Form), http.StatusSeeOther)
	return nil
}

// pointGone reports whether the page of a point went with what was taken back.
func pointGone(before, after *app.Survey, back string) bool {
	for _, p := range before.Register.Points() {
		if strings.HasPrefix(back, pointAddress(before, p)) {
			now := after.Register.Point(p.ID)
			return now == nil || !now.Placed
		}
	}
	return false
}
