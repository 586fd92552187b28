package attack

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"html"
	"image"
	"image/jpeg"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// Two sites in one book: the mill, which those who are attacked with may see, and another full of words, names, papers
// and pictures that stand nowhere else. Whatever of these reaches somebody who is bound to the mill is a leak.

const foreignName = "Quixotheim"

// planted are the words of the other site by where they stand.
var planted = map[string]string{
	"name": foreignName, "customer": "Yarrowfolk", "responsible person": "Plumbago", "author": "Ozwin Fennick", "type": "Snizzlecap",
	"location": "Glorbhall", "area": "Fnordwing", "note": "vexibrant", "defect": "zaffrelid", "disabled": "wimblewash", "fault": "jorblegate",
	"point": "7.2.04",
}

// scene is the server with both sites and what is foreign in it.
type scene struct {
	*server
	manager       *caller
	mill, foreign string
	needles       []string // words and ids of the other site
	ids           []string // its site, entries and points, the site first
	defect        string   // the entry that opened its defect
	before        string   // its log as it was
	managers      string   // a note on the mill that the manager wrote
	pages, posts  []string // where the manager finds it: addresses to read, and to hand something in at
	red           map[*testing.T]int
}

// fault is an error of a test, of which the first dozen are shown.
func (s *scene) fault(format string, args ...any) {
	s.t.Helper()
	t, ok := s.t.(*testing.T)
	if s.red[t]++; !ok || s.red[t] <= 12 {
		s.t.Errorf(format, args...)
	} else if s.red[t] == 13 {
		t.Cleanup(func() { t.Errorf("and %d more", s.red[t]-12) })
	}
}

// plantForeign makes the other site at the command line.
func (b *box) plantForeign() {
	b.t.Helper()
	b.must("site", "add", foreignName, "--loop", "7.2=1-99/0")
	b.must("take", b.write("f-types.csv", "name,kind,low,high\nSnizzlecap,optical smoke,20,40\n"),
		b.write("f-schedule.csv", "panel,loop,address,type,location\n7,2,41,Snizzlecap,Glorbhall east\n7,2,42,Snizzlecap,Glorbhall west\n7,2,43,Snizzlecap,Glorbhall attic\n"),
		"--yes", "--site", foreignName)
	add := func(kind string, more ...string) {
		b.must(append([]string{"log", "add", kind, "--site", foreignName, "--by", "Ozwin Fennick"}, more...)...)
	}
	add("opened", "--customer", "Yarrowfolk", "--responsible", "Plumbago")
	add("note", "--text", "vexibrant hum in the riser")
	add("area", "--body", `{"area":"Fnordwing","m2":80}`)
	add("defect", "--point", "7.2.041", "--body", `{"nature":"damage","grade":"serious","text":"zaffrelid cracked"}`)
	add("disabled", "--point", "7.2.042", "--text", "wimblewash painting")
	add("fault", "--point", "7.2.043", "--text", "jorblegate shown")
	add("read", "--point", "7.2.041", "--value", "55")
	b.must("visit", "open", "--site", foreignName, "--minutes", "240", "--confirm", "responsible,monitoring,outputs,disabled")
	b.must("visit", "close", "--site", foreignName, "--not-normal") // so that a next one is due, in calendars too
	b.must("paper", "schedule", "--site", foreignName, "--out", b.path("foreign.pdf"), "--issue")
}

var anyID = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}`)

// newScene serves both sites; the manager M sees all.
func newScene(t *testing.T) *scene {
	b := newBox(t)
	b.needs("serve person add", "--site")
	return sceneIn(b)
}

func sceneIn(b *box) *scene {
	b.t.Helper()
	b.mill()
	b.plantForeign()
	b.person("M", "manager", managerWord)
	s := &scene{server: b.serve(), red: map[*testing.T]int{}}
	s.manager = s.signIn("M", managerWord)
	sites := s.manager.sites()
	s.mill, s.foreign = sites["Mill"], sites[foreignName]
	hash := s.picture()
	s.before = s.exported(foreignName)
	own := anyID.FindAllString(s.exported("Mill"), -1)
	s.defect = lineWith(s.before, "zaffrelid")[7:43]
	s.ids = []string{s.foreign}
	for _, id := range anyID.FindAllString(s.before, -1) {
		if !slices.Contains(own, id) && !slices.Contains(s.ids, id) {
			s.ids = append(s.ids, id)
		}
	}
	s.needles = append(slices.Collect(maps.Values(planted)), s.ids...)
	s.survey()
	if photo := "/photo/" + hash; hash != "" {
		s.needles = append(s.needles, hash)
		if a := s.manager.get(photo); a.ok() {
			s.pages = append(s.pages, photo)
		} else {
			b.t.Errorf("the manager does not get the photo: %v", a)
		}
	}
	return s
}

// lineWith is the first line of a log that holds a word.
func lineWith(log, word string) string {
	for line := range strings.Lines(log) {
		if strings.Contains(line, word) {
			return line
		}
	}
	return strings.Repeat(" ", 50)
}

// picture hands in a photo of the other site by a phone; empty where that is not taken.
func (s *scene) picture() string {
	var b bytes.Buffer
	jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 64, 48)), nil)
	sum := sha256.Sum256(b.Bytes())
	hash := hex.EncodeToString(sum[:])
	p := s.manager.phone("camera")
	if a := p.do("POST", "/photo", "image/jpeg", b.Bytes()); !a.ok() {
		s.t.Logf("no photo is taken: %v", a)
		return ""
	}
	e := note("vexibrant on a photo")
	e.Body = map[string]any{"text": "vexibrant on a photo", "photo": hash}
	if got, a := p.handIn(s.foreign, e); len(got.Kept) != 1 {
		s.t.Fatalf("the photo is not handed in: %v", a)
	}
	return hash
}

// survey lets the manager follow every link: where the other site is met, and that each planted word can be met at all.
func (s *scene) survey() {
	s.t.Helper()
	seen, posts := s.manager.crawl("/", "/people", "/account", "/due", "/backups", "/phones", "/site/"+s.foreign+"/visit?minutes=240",
		"/site/"+s.foreign+"/visit/pack", "/site/"+s.foreign+"/visit/done", "/api/v1/sites/"+s.foreign+"/log")
	all := ""
	for path, a := range seen {
		if slices.ContainsFunc(s.needles, func(n string) bool { return strings.Contains(path, n) }) {
			s.pages = append(s.pages, path)
		}
		all += a.body
	}
	for path := range posts {
		if strings.Contains(path, s.foreign) {
			s.posts = append(s.posts, path)
		}
	}
	slices.Sort(s.pages)
	slices.Sort(s.posts)
	for where, word := range planted {
		if !strings.Contains(all, word) {
			s.t.Errorf("the manager finds the %s %q on no page: this test could not fail by it", where, word)
		}
	}
	if len(s.pages) < 50 || len(s.posts) < 10 {
		s.t.Errorf("the manager finds %d pages and %d forms of the other site", len(s.pages), len(s.posts))
	}
	s.t.Logf("%d pages, %d of the other site with %d forms", len(seen), len(s.pages), len(s.posts))
}

var (
	linked   = regexp.MustCompile(`(?:href|src)="([^"]+)"`)
	handedTo = regexp.MustCompile(`<form[^>]*method="post"[^>]*action="([^"]+)"|formaction="([^"]+)"`)
)

// unread are answers in which no word could be found as it stands; who is bound still tries those of the other site.
var unread = regexp.MustCompile(`\.(pdf|xlsx|zip)(\?|$)`)

// crawl follows every link, at most a thousand; the forms that post are named, and not handed in.
func (c *caller) crawl(from ...string) (seen map[string]answer, posts map[string]bool) {
	seen, posts = map[string]answer{}, map[string]bool{}
	for queue := from; len(queue) > 0 && len(seen) < 1000; queue = queue[1:] {
		path, _, _ := strings.Cut(queue[0], "#")
		if _, ok := seen[path]; ok || !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.HasPrefix(path, "/static/") {
			continue
		}
		if unread.MatchString(path) {
			seen[path] = answer{}
			continue
		}
		a := c.get(path)
		seen[path] = a
		if a.where != "" {
			queue = append(queue, strings.TrimPrefix(a.where, c.s.base))
		}
		for _, m := range linked.FindAllStringSubmatch(a.body, -1) {
			if to := html.UnescapeString(m[1]); strings.HasPrefix(to, "?") {
				base, _, _ := strings.Cut(path, "?")
				queue = append(queue, base+to)
			} else {
				queue = append(queue, to)
			}
		}
		for _, m := range handedTo.FindAllStringSubmatch(a.body, -1) {
			to, _, _ := strings.Cut(html.UnescapeString(m[1]+m[2]), "#")
			posts[to] = true
		}
	}
	return seen, posts
}

// leaks are the needles in an answer that were not in the question.
func (s *scene) leaks(question string, a answer) (out []string) {
	for _, n := range s.needles {
		if strings.Contains(a.body+a.where, n) && !strings.Contains(question, n) {
			out = append(out, n)
		}
	}
	return out
}

// operation is one of the OpenAPI document.
type operation struct {
	method, path, id string
	query            string // with all that must be given
}

// operations are all of the API, for a site, and a point, entry or whatever of it by the id given.
func (c *caller) operations(site, thing string) (out []operation) {
	c.s.t.Helper()
	var doc struct {
		Servers []struct{ URL string }
		Paths   map[string]map[string]json.RawMessage
	}
	if err := json.Unmarshal([]byte(c.get("/api/v1/openapi.json").body), &doc); err != nil {
		c.s.t.Fatal(err)
	}
	for path, methods := range doc.Paths {
		for method, text := range methods {
			var o struct {
				OperationID string
				Parameters  []struct {
					Name, In string
					Required bool
				}
			}
			if json.Unmarshal(text, &o) != nil || o.OperationID == "" {
				continue
			}
			op := operation{strings.ToUpper(method), doc.Servers[0].URL + path, o.OperationID, "?"}
			for _, p := range o.Parameters {
				switch {
				case p.In == "path" && p.Name == "site":
					op.path = strings.ReplaceAll(op.path, "{site}", site)
				case p.In == "path" && p.Name == "loop":
					op.path = strings.ReplaceAll(op.path, "{loop}", "7.2")
				case p.In == "path":
					op.path = strings.ReplaceAll(op.path, "{"+p.Name+"}", thing)
				case p.Required:
					op.query += p.Name + "=7.2&"
				}
			}
			out = append(out, op)
		}
	}
	slices.SortFunc(out, func(a, b operation) int { return strings.Compare(a.method+a.path, b.method+b.path) })
	return out
}

// unknown is an id that nothing has.
func unknown() string { return uuid7(time.Now().AddDate(-1, 0, 0)) }
