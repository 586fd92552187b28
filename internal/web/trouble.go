package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"

	"sootline"
	"sootline/internal/store"
)

// siteTrouble is why a site among others cannot be shown, and what to do.
type siteTrouble struct {
	Sentence string
	WayOut   []wayLine
}

func (s *Server) troubleAt(r *http.Request, line store.SiteLine, err error) *siteTrouble {
	if err == nil {
		return nil
	}
	return &siteTrouble{s.told(visitorOf(r), err), waysOf("/site/"+line.ID.String(), sootline.ErrorWays(err))}
}

// noteTrouble notes trouble with all that is behind it: people read a sentence, and
// whoever looks after the program the places in it.
func (s *Server) noteTrouble(r *http.Request, err error) { s.note(r, "%s", whole(err)) }

// whole is what an error says, and where that was left out, its causes.
func whole(err error) string {
	if cause := errors.Unwrap(err); cause != nil && sootline.ErrorCode(err) == sootline.Unforeseen {
		return fmt.Sprintf("%v: %v", err, cause)
	}
	return err.Error()
}

// ofSite says of what nobody foresaw on a page of a site how far it goes: whether the
// site cannot be shown, or this page of it alone.
func (s *Server) ofSite(r *http.Request, err error) error {
	if r.PathValue("site") == "" || sootline.ErrorCode(err) != "" || status(err) != http.StatusInternalServerError {
		return err
	}
	line, unknown := s.line(r)
	if unknown != nil {
		return err
	}
	if _, _, whole := s.surveyAt(r.Context(), line); whole != nil {
		return whole
	}
	told := sootline.Errorf(sootline.Unforeseen, "", "this page of site %s cannot be shown: the program fails at what the log holds, which nobody foresaw", line.Name)
	told.Err = err
	told.Ways = sootline.Out("the log can be read").Do(sootline.ReadLog).Or("and exported, for whoever looks after the program").Do(sootline.ExportLog)
	return told
}

// giveReadable hands out what can be read of a log that cannot be read whole.
func (s *Server) giveReadable(w http.ResponseWriter, r *http.Request) error {
	line, err := s.line(r)
	if err != nil {
		return err
	}
	return s.handOut(w, r, "log-readable-"+day(s.App.Now(), s.Zone), func(out io.Writer) error {
		_, err := s.as(r).ExportReadable(r.Context(), line.ID, out)
		return err
	})
}
