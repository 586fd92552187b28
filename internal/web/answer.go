package web

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
)

// The codes of errors that only a server has.
const (
	unknownPerson = api.UnknownPerson
	tooMany       = app.TooMany
)

// status is the one table from error codes to HTTP statuses.
func status(err error) int {
	if _, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return http.StatusRequestEntityTooLarge
	}
	switch sootline.ErrorCode(err) {
	case sootline.Invalid:
		return http.StatusUnprocessableEntity
	case sootline.NotFound:
		return http.StatusNotFound
	case sootline.Conflict, sootline.Doubtful:
		return http.StatusConflict
	case sootline.Unavailable:
		return http.StatusServiceUnavailable
	case unknownPerson:
		return http.StatusUnauthorized
	case sootline.Forbidden:
		return http.StatusForbidden
	case tooMany:
		return http.StatusTooManyRequests
	}
	return http.StatusInternalServerError
}

// troublePage tells of trouble.
type troublePage struct {
	Frame
	Sentence string
	WayOut   []wayLine
}

// tell answers with trouble: a sentence, and the way out. What is not meant for
// people goes to the log alone.
func (s *Server) tell(w http.ResponseWriter, r *http.Request, err error) {
	if r.Context().Err() != nil && errors.Is(err, r.Context().Err()) {
		s.wentAway(r, err) //nolint:errcheck // it has none
		return
	}
	err = s.ofSite(r, err)
	code := status(err)
	page := &troublePage{Frame: Frame{Title: http.StatusText(code)}, Sentence: s.told(visitorOf(r), err), WayOut: wayOut(r, err)}
	if code >= http.StatusInternalServerError {
		s.noteTrouble(r, err)
	}
	if r.Context().Value(phoneKey{}) != nil {
		s.tellPhone(w, r, code, err)
		return
	}
	if err := s.show(w, r, code, "trouble.html", page); err != nil {
		http.Error(w, page.Sentence, code)
	}
}

// refusal is why a phone is given nothing, in the sentence that it shows.
type refusal struct {
	Why string `json:"why"`
}

// tellPhone answers with trouble what the page of the phone asked.
func (s *Server) tellPhone(w http.ResponseWriter, r *http.Request, code int, err error) {
	why := s.told(visitorOf(r), err)
	if hint := sootline.ErrorHint(err); hint != "" {
		why += " " + sootline.AsSentence(hint)
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	s.giveJSON(w, r, refusal{why}) //nolint:errcheck // a sentence is always JSON, and who went away is noted
}

// What people read of trouble that they cannot be told more of.
const (
	unforeseen  = "something went wrong that nobody foresaw; the log of the server says more"
	outOfReach  = "the server cannot do this now; its log says why"
	tooLargeFor = "that is more than this form takes"
)

// sentence is what people read of an error: a capital letter and a full stop.
func sentence(err error) string {
	switch {
	case status(err) == http.StatusRequestEntityTooLarge:
		return sootline.AsSentence(tooLargeFor)
	case sootline.ErrorCode(err) != "":
		return sootline.AsSentence(err.Error())
	}
	return sootline.AsSentence(unforeseen)
}

// told is what somebody reads of an error. Of trouble with the machine, a stranger reads
// that there is some, unless they are at the machine itself; in which folders files lie is
// for managers alone: at the machine's own address a program may hand on who is elsewhere.
func (s *Server) told(v visitor, err error) string {
	text := sentence(err)
	switch {
	case status(err) < http.StatusInternalServerError, v.Role.May(sootline.Manager):
		return text
	case v.Role == sootline.Stranger && !s.Loopback && text != sootline.AsSentence(unforeseen):
		return sootline.AsSentence(outOfReach)
	}
	for _, folder := range []string{filepath.Dir(s.App.Book.Path()), s.Uploads, s.DemoFolder} {
		text = strings.ReplaceAll(text, folder+string(filepath.Separator), "")
	}
	return text
}

// framed is the data of a page: a struct that begins with a [Frame].
type framed interface{ frame() *Frame }

// show renders a page whole before the first byte goes out, so that nobody sees
// half of one.
func (s *Server) show(w http.ResponseWriter, r *http.Request, status int, name string, page framed) error {
	s.fill(page.frame(), r)
	page.frame().conclude(page, visitorOf(r))
	tmpl := s.pages[name]
	if tmpl == nil {
		return fmt.Errorf("there is no template %s", name)
	}
	var b bytes.Buffer
	if err := tmpl.ExecuteTemplate(&b, "frame.html", page); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err := w.Write(withoutForms(b.Bytes(), visitorOf(r)))
	return s.wentAway(r, err)
}

func (s *Server) nowhere(_ http.ResponseWriter, _ *http.Request) error {
	return sootline.Errorf(sootline.NotFound, "begin again with Today", "there is no such page")
}
