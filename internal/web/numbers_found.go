package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// foundPage holds a list of what answers against the register.
type foundPage struct {
	Frame
	loopPart
	ID              string
	Trouble         string
	WayOut          []wayLine
	List            string // the id of the list; empty: none was handed in
	Name            string
	Answers, Places int
	Mistakes        []mistakeLine
	Rivals          []mistakeLine
	Next            string   // the look that tells most of them apart
	Agrees          string   // where no place differs
	Untold          []string // what the list does not show
	NotUsed         []app.Remark
	Text            string
}

type mistakeLine struct{ Says, Prove string }

// mostList is room for a list of what answers on a loop; mostLists of one person
// are kept.
const (
	mostList  = 1 << 20
	mostLists = 20
)

func (s *Server) showFound(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, _, err := s.foundPage(r, survey, r.URL.Query().Get("list"))
	if err != nil {
		return err
	}
	code := http.StatusOK
	if page.Trouble != "" {
		code = http.StatusUnprocessableEntity
	}
	return s.show(w, r, code, "found.html", page)
}

func (s *Server) foundPage(r *http.Request, survey *app.Survey, list string) (*foundPage, *app.Found, error) {
	page := &foundPage{Frame: Frame{Title: "What answers on " + survey.Register.Site.Name, Survey: survey}, ID: s.newID()}
	var err error
	if page.loopPart, err = loopIn(r, survey); err != nil || page.Loop == "" || list == "" {
		return page, nil, err
	}
	path, err := s.listAt(list)
	if err != nil {
		return nil, nil, err
	}
	found, err := s.as(r).ExplainFound(r.Context(), survey.Register.Site.ID, page.id, path)
	if err != nil {
		if status(err) >= http.StatusInternalServerError {
			return nil, nil, err
		}
		plain := strings.NewReplacer(path, filepath.Base(path))
		page.Trouble, page.WayOut = plain.Replace(sentence(err)), replaced(wayOut(r, err), plain.Replace)
		return page, nil, nil
	}
	page.List, page.Name = list, filepath.Base(path)
	page.Answers, page.Places, page.NotUsed, page.Next = len(found.Answers), len(found.Traces), found.Troubles, found.Next
	page.Agrees, page.Untold = sootline.AsSentence(found.Agrees()), found.Untold
	for _, m := range found.Mistakes {
		page.Mistakes = append(page.Mistakes, mistakeLine{m.Says, m.Prove})
	}
	for _, m := range found.Rivals {
		page.Rivals = append(page.Rivals, mistakeLine{m.Says, m.Prove})
	}
	return page, found, nil
}

// listsOf is how the folders of a person's lists begin.
func (s *Server) listsOf(who string) string {
	sum := sha256.Sum256([]byte(who))
	return filepath.Join(s.Uploads, "found-"+hex.EncodeToString(sum[:8])+"-")
}

// listAt finds the file of a list of what answers, whoever handed it in; the id is
// checked, so that no address becomes a path.
func (s *Server) listAt(id string) (string, error) {
	known, err := sootline.ParseID(id)
	if err != nil {
		return "", sootline.Errorf(sootline.NotFound, "hand the list in again", "there is no such list")
	}
	files, err := filepath.Glob(filepath.Join(s.Uploads, "found-*-"+known.String(), "*"))
	if err != nil || len(files) == 0 {
		return "", sootline.Errorf(sootline.NotFound, "hand the list in again", "the list does not lie here any more")
	}
	return files[0], nil
}

// keepFound keeps a list of what answers, uploaded or typed, and shows what it tells.
func (s *Server) keepFound(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	up, err := s.receive(w, r)
	if err != nil {
		return err
	}
	id, err := s.keepList(up, s.as(r).Who.Name)
	if err == nil {
		http.Redirect(w, r, siteAddress(survey)+"/numbers/found?loop="+queryWord(up.fields["loop"])+"&list="+id, http.StatusSeeOther)
		return nil
	}
	if err = dropping(up.folder, err); status(err) >= http.StatusInternalServerError {
		return err
	}
	r.Form = map[string][]string{"loop": {up.fields["loop"]}}
	page, _, wrong := s.foundPage(r, survey, "")
	if wrong != nil {
		return wrong
	}
	page.Trouble, page.WayOut, page.Text = sentence(err), wayOut(r, err), up.fields["text"]
	return s.show(w, r, status(err), "found.html", page)
}

// keepList gives a list its place; one handed in twice lies there once.
func (s *Server) keepList(up *upload, who string) (string, error) {
	text := up.fields["text"]
	switch {
	case len(up.names) > 1:
		return "", sootline.Errorf(sootline.Invalid, "", "one list at a time")
	case len(up.names) == 0 && strings.TrimSpace(text) == "":
		return "", sootline.Errorf(sootline.Invalid, "choose a file, or type the numbers that answer", "no list was handed in")
	case len(up.names) == 0:
		if !strings.ContainsFunc(text, func(c rune) bool { return c >= 'a' }) {
			text = "address\n" + text // bare numbers: say what they are
		}
		if err := os.WriteFile(filepath.Join(up.folder, "typed.txt"), []byte(text), 0o600); err != nil {
			return "", err
		}
	}
	id, err := sootline.ParseID(up.fields["id"])
	if err != nil {
		return "", sootline.Errorf(sootline.NotFound, "hand the list in again", "there is no such list")
	}
	if _, err := s.listAt(id.String()); err == nil {
		return id.String(), os.RemoveAll(up.folder)
	}
	if err := os.Rename(up.folder, s.listsOf(who)+id.String()); err != nil {
		return "", err
	}
	return id.String(), s.forgetLists(who)
}

// forgetLists removes a person's oldest lists where too many lie there, and nobody
// else's: their ids begin with the time.
func (s *Server) forgetLists(who string) error {
	lists, err := filepath.Glob(s.listsOf(who) + "*")
	slices.Sort(lists)
	for _, old := range lists[:max(0, len(lists)-mostLists)] {
		err = errors.Join(err, os.RemoveAll(old))
	}
	return err
}

// noteFound writes down the numbers at which devices were found.
func (s *Server) noteFound(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, found, err := s.foundPage(r, survey, r.PathValue("list"))
	if err != nil {
		return err
	}
	if found == nil {
		return s.show(w, r, http.StatusUnprocessableEntity, "found.html", page)
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	n, err := a.NoteFound(r.Context(), survey.Register.Site.ID, found)
	if err != nil {
		return err
	}
	s.goSaying(w, r, page.Base+"?loop="+queryWord(page.Loop), count(n, "found number", "found numbers"))
	return nil
}
