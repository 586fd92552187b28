package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"runtime/debug"
	"strings"
	"time"

	"sootline"
)

// note writes a line into the log of requests. What others sent cannot end the line, or
// steer the terminal that shows it.
func (s *Server) note(r *http.Request, format string, args ...any) {
	text := onOneLine(fmt.Sprintf(format, args...))
	fmt.Fprintf(s.Log, "%s %s %s %s\n", s.App.Now().UTC().Format(time.RFC3339), r.Method, logged(r.URL.Path), text) //nolint:errcheck // a log that cannot be written stops nobody's work
}

func onOneLine(text string) string { return strings.Join(strings.Fields(sootline.Shown(text)), " ") }

// logged is a path as the log of requests tells it: without the key of an invitation,
// which lets in whoever reads it.
func logged(path string) string {
	if strings.HasPrefix(path, welcomePath) {
		return welcomePath + "…"
	}
	return quoted(path)
}

// quoted keeps a path on one line of the log.
func quoted(path string) string { return (&url.URL{Path: path}).EscapedPath() }

// asker is a request, and who asks as far as it is known by the time it is noted.
type asker struct {
	request *http.Request
	who     visitor
}

type askerKey struct{}

func withAsker(r *http.Request) (*http.Request, *asker) {
	asks := &asker{request: r}
	return r.WithContext(context.WithValue(r.Context(), askerKey{}, asks)), asks
}

func tellAsker(r *http.Request, v visitor) {
	if asks, ok := r.Context().Value(askerKey{}).(*asker); ok {
		asks.who = v
	}
}

// refused names, for the log, who was refused: who tries doors is worth knowing, who
// uses them is nobody's business here.
func (s *Server) refused(r *http.Request, status int, asks *asker) string {
	switch status {
	case http.StatusUnauthorized, http.StatusForbidden, http.StatusTooManyRequests, http.StatusMisdirectedRequest:
	default:
		return ""
	}
	if asks.who.Role == sootline.Stranger {
		return " refused to a stranger at " + s.address(r)
	}
	return fmt.Sprintf(" refused to %q (%s) at %s", asks.who.Name, asks.who.Role, s.address(r))
}

// answerPanic ends a request whose answer broke off: whoever asked is told, the log says
// where, and the server goes on.
func (s *Server) answerPanic(w http.ResponseWriter, r *http.Request, broken any) {
	if broken == http.ErrAbortHandler { //nolint:errorlint // it is compared as net/http does
		panic(broken)
	}
	s.tell(w, r, fmt.Errorf("panic: %v: %s", broken, debug.Stack()))
}
