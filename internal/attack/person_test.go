package attack

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"strings"
	"time"
)

// Passwords that no list of common ones holds.
const (
	managerWord    = "seven quiet lanterns"
	technicianWord = "eight violet ladders"
	otherWord      = "nine brittle anchors"
)

// caller is somebody with a browser or a program: a jar of cookies.
type caller struct {
	s    *server
	http *http.Client
}

// answer is what came back.
type answer struct {
	status int
	body   string
	where  string
}

func (a answer) ok() bool { return a.status >= 200 && a.status < 300 }

// in: let in, as opposed to sent to the sign-in page or refused.
func (a answer) in() bool {
	return a.status < 400 && !strings.Contains(a.where, "sign-in") && !strings.Contains(a.body, `action="/sign-in"`)
}

func (a answer) String() string {
	body := a.body
	if i := strings.Index(body, "<h1>"); i >= 0 {
		body = body[i:]
	}
	return fmt.Sprintf("%d %s %.200s", a.status, a.where, strings.ReplaceAll(body, "\n", " "))
}

func (s *server) stranger() *caller {
	jar, _ := cookiejar.New(nil)
	return &caller{s, &http.Client{Jar: jar, Timeout: 60 * time.Second, CheckRedirect: func(*http.Request, []*http.Request) error {
		return http.ErrUseLastResponse
	}}}
}

// from is a stranger at another address of this machine (127.0.0.0/8 is all its own on Linux).
func (s *server) from(address string) *caller {
	c := s.stranger()
	d := &net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}, Timeout: 5 * time.Second}
	c.http.Transport = &http.Transport{DialContext: d.DialContext}
	return c
}

func (c *caller) do(method, path, kind string, body []byte) answer {
	r, err := http.NewRequest(method, c.s.base+path, bytes.NewReader(body))
	if err != nil {
		c.s.t.Fatal(err)
	}
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	resp, err := c.http.Do(r)
	if err != nil {
		return answer{0, err.Error(), ""}
	}
	defer resp.Body.Close()
	text, _ := io.ReadAll(resp.Body)
	return answer{resp.StatusCode, string(text), resp.Header.Get("Location")}
}

func (c *caller) get(path string) answer { return c.do("GET", path, "", nil) }

func (c *caller) form(path string, fields ...string) answer {
	v := url.Values{}
	for i := 0; i+1 < len(fields); i += 2 {
		v.Set(fields[i], fields[i+1])
	}
	return c.do("POST", path, "application/x-www-form-urlencoded", []byte(v.Encode()))
}

func (c *caller) json(method, path string, body any) answer {
	text, ok := body.(string)
	if !ok {
		b, _ := json.Marshal(body)
		text = string(b)
	}
	return c.do(method, path, "application/json", []byte(text))
}

// person adds somebody at the command line.
func (b *box) person(name, role, word string) {
	b.t.Helper()
	if out, ok := b.tryPerson(name, role, word); !ok {
		b.t.Fatal(out)
	}
}

// password gives somebody another one.
func (b *box) password(name, word string) {
	b.t.Helper()
	c := b.command("serve", "person", "password", name)
	c.Stdin = strings.NewReader(word + "\n" + word + "\n")
	if out, err := c.CombinedOutput(); err != nil {
		b.t.Fatalf("%s", out)
	}
}

func (b *box) tryPerson(name, role, word string) (string, bool) {
	c := b.command("serve", "person", "add", name, "--role", role)
	c.Stdin = strings.NewReader(word + "\n" + word + "\n")
	out, err := c.CombinedOutput()
	return string(out), err == nil
}

func (s *server) signIn(name, word string) *caller {
	s.t.Helper()
	c := s.stranger()
	if a := c.form("/sign-in", "name", name, "password", word); a.status != 303 {
		s.t.Fatalf("%s cannot sign in: %v", name, a)
	}
	return c
}

var codeOf = regexp.MustCompile(`code=([A-Z0-9]{8,})`)

// offer asks for a pairing code; empty where none is given.
func (c *caller) offer() (string, answer) {
	a := c.form("/phones")
	if m := codeOf.FindStringSubmatch(a.body); m != nil {
		return m[1], a
	}
	return "", a
}

// pair makes a phone of a code; nil where it is refused.
func (s *server) pair(code, name string) (*caller, answer) {
	c := s.stranger()
	a := c.form("/pair", "code", code, "name", name)
	u, _ := url.Parse(s.base)
	for _, k := range c.http.Jar.Cookies(u) {
		if k.Name == "phone" {
			return c, a
		}
	}
	return nil, a
}

// phone pairs a phone for somebody.
func (c *caller) phone(name string) *caller {
	c.s.t.Helper()
	code, a := c.offer()
	p, b := c.s.pair(code, name)
	if p == nil {
		c.s.t.Fatalf("no phone: %v %v", a, b)
	}
	return p
}

// uuid7 is an id as RFC 9562 has it.
func uuid7(at time.Time) string {
	var r [10]byte
	rand.Read(r[:])
	h := fmt.Sprintf("%012x7%s8%s", at.UnixMilli(), hex.EncodeToString(r[:2])[:3], hex.EncodeToString(r[2:])[:15])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:32]
}

// sites gives the ids by name.
func (c *caller) sites() map[string]string {
	c.s.t.Helper()
	var got struct{ Sites []struct{ ID, Name string } }
	if err := json.Unmarshal([]byte(c.get("/api/v1/sites").body), &got); err != nil {
		c.s.t.Fatal(err)
	}
	out := map[string]string{}
	for _, s := range got.Sites {
		out[s.Name] = s.ID
	}
	return out
}

// add adds an entry through the API; it returns the id that was made for it.
func (c *caller) add(site, kind, point string, body any) (string, answer) {
	id := uuid7(time.Now())
	return id, c.json("POST", "/api/v1/sites/"+site+"/log", map[string]any{"id": id, "kind": kind, "point": point, "body": body})
}

// handed is one entry as a phone hands it in; at is in milliseconds.
type handed struct {
	ID    string `json:"id"`
	At    int64  `json:"at"`
	Point string `json:"point,omitempty"`
	Kind  string `json:"kind"`
	Body  any    `json:"body"`
}

// settled is what the server says to a hand-in.
type settled struct {
	Kept    []string
	Refused []struct{ ID, Why string }
}

func (c *caller) handIn(site string, entries ...handed) (settled, answer) {
	a := c.json("POST", "/site/"+site+"/visit/entries", map[string]any{"entries": entries})
	var got settled
	if a.ok() {
		json.Unmarshal([]byte(a.body), &got)
	}
	return got, a
}

// logged is one entry as the API shows it.
type logged struct {
	ID, By, Kind, Station string
	At, Noted             string
	Body                  map[string]any
	Amended               any
}

func (c *caller) log(site, query string) []logged {
	c.s.t.Helper()
	a := c.get("/api/v1/sites/" + site + "/log?limit=500&" + query)
	var got struct{ Entries []logged }
	if err := json.Unmarshal([]byte(a.body), &got); err != nil {
		c.s.t.Fatalf("%v: %v", err, a)
	}
	return got.Entries
}
