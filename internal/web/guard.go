package web

import (
	"context"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
)

// guard is what every request passes on its way in: it is counted and logged,
// its answer gets the headers that keep a page to itself, and a request that
// another site had a browser send is refused.
func (s *Server) guard(next http.Handler) http.Handler {
	protection := http.NewCrossOriginProtection()
	protection.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.tell(w, r, sootline.Errorf(sootline.Forbidden, "", "another site may not send a form here"))
	}))
	next = protection.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now() // how long it took, whatever the clock of the log book says
		r, asks := withAsker(r)
		kept := &keeper{ResponseWriter: w, status: http.StatusOK}
		s.protect(w.Header())
		if s.Loopback && !localName(r.Host) {
			// A name that somebody else's server gave this machine's own address:
			// a page from there could read the book.
			http.Error(kept, "this address is for this machine only", http.StatusMisdirectedRequest)
		} else {
			next.ServeHTTP(kept, r)
		}
		took := time.Since(began)
		s.counts.add(r.Pattern, kept.status, took)
		s.note(r, "%d %d %s%s", kept.status, kept.size, took.Round(100*time.Microsecond), s.refused(r, kept.status, asks))
	})
}

// protect sets the headers: nothing is loaded from elsewhere, no script or style
// but our own files, in nobody's frame; and no browser keeps what is shown, unless what
// answers says otherwise of a file that is the same for everybody.
func (s *Server) protect(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
	h.Set("Cache-Control", "no-store")
	if s.TLS {
		h.Set("Strict-Transport-Security", "max-age=31536000")
	}
}

func localName(host string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	host = strings.Trim(host, "[]")
	ip := net.ParseIP(host)
	return strings.EqualFold(host, "localhost") || ip != nil && ip.IsLoopback()
}

// keeper remembers what was answered.
type keeper struct {
	http.ResponseWriter
	status, size int
}

func (k *keeper) WriteHeader(status int) {
	k.status = status
	k.ResponseWriter.WriteHeader(status)
}

func (k *keeper) Write(b []byte) (int, error) {
	n, err := k.ResponseWriter.Write(b)
	k.size += n
	return n, err
}

// Unwrap lets http.ResponseController reach the connection.
func (k *keeper) Unwrap() http.ResponseWriter { return k.ResponseWriter }

// visitor is who asks.
type visitor struct {
	app.Person
	signedIn bool          // by a password, so that signing out makes sense
	session  string        // the id of what they signed in to
	from     string        // the network address
	station  string        // of the phone that asks; empty: no phone of ours
	byKey    bool          // a phone that shows its key, and nobody signed in on it
	ownRole  sootline.Role // of the phone's owner, who may do more signed in
	scope    sootline.Scope
	program  bool // a program by its token
}

type visitorKey struct{}

// phoneKey marks what the page of the phone asks.
type phoneKey struct{}

func visitorOf(r *http.Request) visitor {
	v, _ := r.Context().Value(visitorKey{}).(visitor)
	return v
}

// admit lets in who may go there, and bounds what is handed in.
func (s *Server) admit(route route) http.Handler {
	most := route.most
	if most == 0 {
		most = mostForm
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if broken := recover(); broken != nil {
				s.answerPanic(w, r, broken)
			}
		}()
		if route.phone {
			r = r.WithContext(context.WithValue(r.Context(), phoneKey{}, true))
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		v, err := s.visitor(r)
		if err != nil {
			s.tell(w, r, err)
			return
		}
		r = r.WithContext(context.WithValue(r.Context(), visitorKey{}, v))
		tellAsker(r, v)
		defer forgetParts(r)
		switch {
		case v.Role.May(route.needs) && route.book && s.actor(v).MayKeepBook() != nil:
			s.tell(w, r, s.actor(v).MayKeepBook())
		case v.Role.May(route.needs):
			if err := route.answer(w, r); err != nil {
				s.tell(w, r, err)
			}
		case v.Role == sootline.Stranger && r.Method == http.MethodGet:
			http.Redirect(w, r, "/sign-in?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
		case v.Role == sootline.Stranger:
			s.tell(w, r, sootline.Errorf(unknownPerson, "sign in and do it again", "nobody is signed in"))
		case v.byKey && v.ownRole.May(route.needs):
			s.tell(w, r, sootline.Actor{Role: v.ownRole, Phone: true}.MayDo(route.needs))
		default:
			s.tell(w, r, sootline.Errorf(sootline.Forbidden, "ask a manager", "this is for the role of %s", route.needs))
		}
	})
}

// forgetParts removes the files into which parts of a form were put. The server of
// net/http does that for the request that it made, and knows nothing of a copy of it.
func forgetParts(r *http.Request) {
	if r.MultipartForm != nil {
		r.MultipartForm.RemoveAll() //nolint:errcheck // what cannot be removed goes with the temporary folder
	}
}

// visitor tells who asks: the person signed in; or, on this machine and while
// the book knows of nobody, whoever works at it.
func (s *Server) visitor(r *http.Request) (visitor, error) {
	phone, err := s.phoneThatAsks(r)
	if err != nil {
		return visitor{}, err
	}
	var v visitor
	if secret, shown := tokenIn(r); shown {
		v, err = s.program(r, secret)
		phone = nil
	} else {
		v, err = s.person(r, phone)
	}
	if err != nil {
		return visitor{}, err
	}
	if v.scope, err = s.App.ScopeOf(r.Context(), v.Scope); err != nil {
		return visitor{}, err
	}
	v.from = s.address(r)
	if phone != nil && v.Role != sootline.Stranger {
		v.station = phone.Station
	}
	return v, nil
}

// tokenIn gives the token that a program shows to the API. Whoever shows one is that
// program and nobody else, also where it opens nothing.
func tokenIn(r *http.Request) (secret string, shown bool) {
	if !strings.HasPrefix(r.URL.Path, api.Root+"/") || r.Header.Get("Authorization") == "" {
		return "", false
	}
	scheme, secret, _ := strings.Cut(r.Header.Get("Authorization"), " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return "", true
	}
	return strings.TrimSpace(secret), true
}

func (s *Server) program(r *http.Request, secret string) (visitor, error) {
	t, err := s.App.TokenOf(r.Context(), secret)
	if err != nil || t == nil {
		return visitor{}, err
	}
	return visitor{Person: app.Person{Name: t.Name, Role: t.Role, Scope: t.Scope}, program: true}, nil
}

func (s *Server) person(r *http.Request, phone *app.Phone) (visitor, error) {
	if id := s.sessions.GetString(r.Context(), sessionID); id != "" {
		p, err := s.App.SessionOf(r.Context(), id)
		if err != nil {
			return visitor{}, err
		}
		if p != nil {
			return visitor{Person: *p, signedIn: true, session: id}, nil
		}
	}
	if phone != nil {
		p, err := s.App.Person(r.Context(), phone.Person)
		if err != nil || p != nil {
			return technicianOf(p), err
		}
	}
	if !s.Loopback {
		return visitor{}, nil
	}
	people, err := s.App.People(r.Context())
	if err != nil || len(people) > 0 {
		return visitor{}, err
	}
	return visitor{Person: app.Person{Name: s.App.Who.Name, Role: sootline.Manager}}, nil
}

// actor is who acts when a visitor asks for something.
func (s *Server) actor(v visitor) sootline.Actor {
	who := sootline.Actor{Name: v.Name, Role: v.Role, Station: s.App.Who.Station, Phone: v.byKey, From: v.from, Scope: v.scope, Program: v.program}
	if v.station != "" {
		who.Station = v.station
	}
	return who
}

// as gives the use cases, at work for whoever asks.
func (s *Server) as(r *http.Request) *app.App { return s.asIn(r.Context()) }

func (s *Server) asIn(ctx context.Context) *app.App {
	a := *s.App
	v, _ := ctx.Value(visitorKey{}).(visitor)
	a.Who = s.actor(v)
	return &a
}
