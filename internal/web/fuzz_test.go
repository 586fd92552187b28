package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/fuzzing"
	"sootline/internal/shape"
)

// FuzzForwarded: where a request comes from is the machine that is connected, unless
// that is a proxy of ours; only then may the header name another.
func FuzzForwarded(f *testing.F) {
	f.Add("192.0.2.1:4711", "198.51.100.7")
	f.Add("10.1.0.2:1", "203.0.113.9, 10.1.0.3,fe80::1%eth0")
	f.Add("[::ffff:10.1.0.2]:1", ",,")
	s := &Server{Config: Config{Proxies: []netip.Prefix{netip.MustParsePrefix("10.1.0.0/16")}}}
	f.Fuzz(func(t *testing.T, remote, header string) {
		r := &http.Request{RemoteAddr: remote, Header: http.Header{"X-Forwarded-For": {header}}}
		fuzzing.Within(t, len(remote)+len(header), func() {
			from := s.remote(r)
			s.address(r)
			peer, err := netip.ParseAddrPort(remote)
			if err != nil {
				if from.IsValid() {
					t.Fatalf("%q is %v", remote, from)
				}
				return
			}
			if at := peer.Addr().Unmap().WithZone(""); !s.isProxy(at) && from != at {
				t.Fatalf("%v, which is no proxy, is taken for %v", at, from)
			}
			if from.Zone() != "" || from.Is4In6() {
				t.Fatalf("%v is a second spelling", from)
			}
		})
	})
}

// FuzzTypedForms: what is typed into fields of pages is in its bounds, or refused.
func FuzzTypedForms(f *testing.F) {
	for _, text := range []string{"2026-01-15 09:30", "sounders = 8 x 0 / 16", "12,5", "kind=note&from=2026-01-15&q=a", "/site/1?a=b", "//evil", "localhost:80", "a\nb"} {
		f.Add(text)
	}
	zone, err := sootline.ZoneNamed("Europe/Paris")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			if x, err := typedFigure("length", text, 0, 10); err == nil && !(x >= 0 && x <= 10) {
				t.Fatalf("%q is %v", text, x)
			}
			if n, err := typedWhole(text, "number"); err == nil && (n < 0 || n > 9999) {
				t.Fatalf("%q is %v", text, n)
			}
			drains, err := typedLoads(text)
			for _, d := range drains {
				if err == nil && (d.Count < 0 || !(d.Rest >= 0) || !(d.Alarm >= 0)) {
					t.Fatalf("%q gives %+v", text, d)
				}
			}
			if to := localPath(text); !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n") {
				t.Fatalf("%q leads to %q", text, to)
			}
			if strings.ContainsAny(quoted(text), "\r\n\x1b") {
				t.Fatalf("%q ends a line of the log", text)
			}
			localName(text)
			typedMoment(text, zone) //nolint:errcheck // that it ends is what is asked
			endOf(text, zone)       //nolint:errcheck // as above
			typedDay(text, zone)    //nolint:errcheck // as above
			if q, err := url.ParseQuery(text); err == nil {
				logFilterOf(q, zone) //nolint:errcheck // as above
			}
		})
	})
}

// FuzzCaptures: what a phone hands in is either read or refused by its id.
func FuzzCaptures(f *testing.F) {
	f.Add([]byte(`{"entries":[{"id":"01890a5d-ac96-774b-bcce-b302099a8057","at":1768900000000,"kind":"note","body":{"text":"a"}}]}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		fuzzing.Within(t, len(body), func() {
			var sent struct {
				Entries []json.RawMessage `json:"entries"`
			}
			read, refused, err := shape.ReadCaptures(bytes.NewReader(body))
			if err != nil || json.Unmarshal(body, &sent) != nil || bytes.Count(body, []byte("entries")) != 1 {
				return
			}
			if len(read)+len(refused) != len(sent.Entries) {
				t.Fatalf("%d entries, %d read and %d refused", len(sent.Entries), len(read), len(refused))
			}
		})
	})
}

// lasting is a test for worlds that outlast one input: a target's own may not be asked
// for folders while it runs.
type lasting struct {
	testing.TB
	folder string
	ends   []func()
}

func (l *lasting) Helper()                  {}
func (l *lasting) Cleanup(end func())       { l.ends = append(l.ends, end) }
func (l *lasting) Context() context.Context { return context.Background() }
func (l *lasting) Error(args ...any)        { panic(fmt.Sprint(args...)) }
func (l *lasting) Fatal(args ...any)        { panic(fmt.Sprint(args...)) }
func (l *lasting) Fatalf(format string, args ...any) {
	panic(fmt.Sprintf(format, args...))
}

func (l *lasting) TempDir() string {
	folder, err := os.MkdirTemp(l.folder, "world")
	if err != nil {
		panic(err)
	}
	l.ends = append(l.ends, func() {
		if err := os.RemoveAll(folder); err != nil {
			panic(err)
		}
	})
	return folder
}

// end ends what the world before needed, the last thing first.
func (l *lasting) end() {
	for _, end := range slices.Backward(l.ends) {
		end()
	}
	l.ends = nil
}

// fuzzed is a server with a small site, and a manager who is signed in.
type fuzzed struct {
	t    *lasting
	s    *Server
	b    *browser
	site string
	used int
}

func newFuzzed(f *testing.F) *fuzzed {
	w := &fuzzed{t: &lasting{TB: f, folder: f.TempDir()}}
	w.renewed(0)
	f.Cleanup(w.t.end)
	return w
}

// renewed gives a world that has not been written full, and whose manager has not
// signed out or been removed.
func (w *fuzzed) renewed(status int) {
	w.used++
	if w.s != nil && w.used < 2000 && status != http.StatusUnauthorized && status != http.StatusForbidden {
		return
	}
	w.t.end()
	w.used = 0
	w.s = newServer(w.t, abroad)
	ctx := w.t.Context()
	site, err := w.s.App.AddSite(ctx, app.NewSite{Name: "Works", Zone: "Europe/Paris"})
	if err != nil {
		w.t.Fatal(err)
	}
	list := filepath.Join(w.t.TempDir(), "schedule.csv")
	if err := os.WriteFile(list, []byte("loop,address,type,area,date,value\n1,1,Larch,Hall,2026-01-10,25\n1,2,Larch,Hall,2026-01-10,27\n"), 0o600); err != nil {
		w.t.Fatal(err)
	}
	in, err := w.s.App.Look(w.t.Context(), site, []string{list}, nil)
	if err != nil {
		w.t.Fatal(err)
	}
	if _, err := w.s.App.Take(ctx, site, in, app.TakeOptions{}); err != nil {
		w.t.Fatal(err)
	}
	if err := in.Close(); err != nil {
		w.t.Fatal(err)
	}
	w.site, w.b = site.String(), signIn(w.t, w.s, "M. Manager")
}

// ask sends a request as the manager; whatever it holds, the answer is never that the
// server is at fault.
func (w *fuzzed) ask(t *testing.T, method, path, query, kind string, body []byte) {
	t.Helper()
	r := httptest.NewRequest(method, "https://works.example/", strings.NewReader(string(body)))
	r.URL = &url.URL{Scheme: "https", Host: "works.example", Path: path, RawQuery: query}
	r.RequestURI = r.URL.RequestURI()
	r.Header.Set("Content-Type", kind)
	for _, c := range w.b.cookies {
		r.AddCookie(c)
	}
	answer := httptest.NewRecorder()
	w.s.ServeHTTP(answer, r)
	if answer.Code >= http.StatusInternalServerError {
		t.Errorf("%s %q?%q answers %d: %.300s", method, path, query, answer.Code, answer.Body)
	}
	status := answer.Code
	if strings.HasPrefix(answer.Header().Get("Location"), "/sign-in") {
		status = http.StatusUnauthorized
	}
	w.renewed(status)
}

// filled puts the site, and otherwise what was typed, in the place of the names in
// braces.
func filled(pattern, site, typed string) string {
	parts := strings.Split(strings.TrimSuffix(pattern, "{$}"), "/")
	for i, part := range parts {
		switch {
		case part == "{site}":
			parts[i] = site
		case strings.HasPrefix(part, "{"):
			parts[i] = typed
		}
	}
	return strings.Join(parts, "/")
}

// kindsOfBody are what a body says that it is.
var kindsOfBody = []string{"application/x-www-form-urlencoded", "application/json", "multipart/form-data; boundary=b", "text/plain"}

// FuzzRoutes: no form, query or part of an address brings a page down.
func FuzzRoutes(f *testing.F) {
	w := newFuzzed(f)
	routes := slices.DeleteFunc(w.s.routes(), func(r route) bool { return r.pattern == "POST /demo" }) // it takes seconds, and reads nothing
	for i := range routes {
		f.Add(byte(i), byte(0), "x", "loop=1.1&on=2026-01-15&point=1.1.001&kind=note", []byte("id=01890a5d-ac96-774b-bcce-b302099a8057&kind=note&text=a&at=2026-01-15"))
		f.Add(byte(i), byte(2), "visit.pdf", "", []byte("--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.csv\"\r\n\r\npoint,value\n1.1.001,25\n\r\n--b--\r\n"))
	}
	f.Fuzz(func(t *testing.T, n, kind byte, typed, query string, body []byte) {
		method, pattern, ok := strings.Cut(routes[int(n)%len(routes)].pattern, " ")
		if !ok {
			method, pattern = http.MethodPost, method
		}
		w.ask(t, method, filled(pattern, w.site, typed), query, kindsOfBody[int(kind)%len(kindsOfBody)], body)
	})
}

// FuzzOperations: no body, query or part of an address brings an operation down.
func FuzzOperations(f *testing.F) {
	w := newFuzzed(f)
	type operation struct{ method, path string }
	var all []operation
	for path, item := range w.s.api.OpenAPI().Paths {
		for method, op := range map[string]bool{"GET": item.Get != nil, "POST": item.Post != nil, "PUT": item.Put != nil, "PATCH": item.Patch != nil, "DELETE": item.Delete != nil} {
			if op && !strings.Contains(path, "demo") {
				all = append(all, operation{method, path})
			}
		}
	}
	slices.SortFunc(all, func(a, b operation) int { return strings.Compare(a.path+a.method, b.path+b.method) })
	for i := range all {
		f.Add(byte(i), "x", "", []byte(`{"id":"01890a5d-ac96-774b-bcce-b302099a8057","kind":"note","body":{"text":"a"}}`))
	}
	f.Fuzz(func(t *testing.T, n byte, typed, query string, body []byte) {
		op := all[int(n)%len(all)]
		w.ask(t, op.method, api.Root+filled(op.path, w.site, typed), query, kindsOfBody[1], body)
	})
}

// FuzzCookies: a stranger's cookies open nothing, and bring nothing down.
func FuzzCookies(f *testing.F) {
	w := newFuzzed(f)
	f.Add("__Host-session=a; __Host-phone=b; look=dark; seen=x")
	f.Fuzz(func(t *testing.T, cookies string) {
		r := httptest.NewRequest(http.MethodGet, "https://works.example/people", nil)
		r.Header.Set("Cookie", cookies)
		answer := httptest.NewRecorder()
		began := time.Now()
		w.s.ServeHTTP(answer, r)
		if answer.Code != http.StatusSeeOther {
			t.Fatalf("%q gives %d after %v", cookies, answer.Code, time.Since(began))
		}
	})
}
