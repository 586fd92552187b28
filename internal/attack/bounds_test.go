package attack

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// A reader may take 64 times its input plus 16 MB over the idle server, and two seconds.
const (
	times   = 64
	spare   = 16 << 20
	patient = 2 * time.Second
)

// bounded measures a request of so many bytes against the limits, on a server of its own.
func (s *server) bounded(t *testing.T, name string, bytes int, ask func() answer) answer {
	t.Helper()
	idle, begun := s.peak(), time.Now()
	a := ask()
	took, more := time.Since(begun), s.peak()-idle
	t.Logf("%s: %d bytes, status %d, %v, %d MB more", name, bytes, a.status, took.Round(time.Millisecond), more>>20)
	if took > patient {
		t.Errorf("%s took %v", name, took.Round(time.Millisecond))
	}
	if limit := int64(times*bytes + spare); more > limit {
		t.Errorf("%s of %d bytes took %d MB, more than %d", name, bytes, more>>20, limit>>20)
	}
	if a.status == 0 || a.status >= 500 && a.status != 503 {
		t.Errorf("%s: %v", name, a)
	}
	if b := s.stranger().get("/healthz"); !b.ok() {
		t.Errorf("after %s: healthz %v", name, b)
	}
	return a
}

// fresh starts the server anew, so that what a sign-in took (argon2id) is not counted as idle, and keeps who is signed in.
func (c *caller) fresh() *server {
	c.s.stop()
	s := c.s.box.serve()
	c.movedTo(s)
	c.get("/")
	return s
}

// nested is corrections in corrections, of about so many bytes.
func nested(entry string, bytes int) string {
	open := `{"entry":"` + entry + `","kind":"corrected","body":`
	n := bytes / (len(open) + 1)
	return strings.Repeat(open, n) + `{"text":"x"}` + strings.Repeat("}", n)
}

// target stands for the id of an entry that is there.
const target = "01890a5d-ac96-774b-bcce-b302099a8057"

// chained is so many corrections in one hand-in, each of the one before it.
func chained(n int) string {
	var b strings.Builder
	last := target
	for i := range n {
		id := uuid7(time.Now())
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"id":"%s","at":%d,"kind":"corrected","body":{"entry":"%s","kind":"note","body":{"text":"x%d"}}}`, id, time.Now().UnixMilli(), last, i)
		last = id
	}
	return `{"entries":[` + b.String() + `]}`
}

func handInOf(kind, body string) string {
	return fmt.Sprintf(`{"entries":[{"id":"%s","at":%d,"kind":"%s","body":%s}]}`, uuid7(time.Now()), time.Now().UnixMilli(), kind, body)
}

func TestBoundedHandIns(t *testing.T) {
	var many strings.Builder
	for i := range 7000 {
		if i > 0 {
			many.WriteByte(',')
		}
		fmt.Fprintf(&many, `{"id":"%s","at":%d,"kind":"note","body":{"text":"n"}}`, uuid7(time.Now()), time.Now().UnixMilli())
	}
	bodies := map[string]string{
		"nested corrections":   handInOf("corrected", nested(target, 360<<10)),
		"corrections in a row": chained(1800),
		"deep arrays":          handInOf("note", `{"text":`+strings.Repeat("[", 300<<10)+strings.Repeat("]", 300<<10)+"}"),
		"deep objects":         handInOf("note", strings.Repeat(`{"a":`, 100<<10)+"1"+strings.Repeat("}", 100<<10)),
		"open arrays":          strings.Repeat("[", 900<<10),
		"many entries":         `{"entries":[` + many.String() + `]}`,
		"empty entries":        `{"entries":[` + strings.Repeat("{},", 300<<10) + `{}]}`,
		"many samples":         handInOf("read", `{"samples":[`+strings.Repeat("1,", 400<<10)+`1]}`),
		"a long number":        handInOf("read", `{"samples":[1`+strings.Repeat("0", 900<<10)+`]}`),
	}
	for name, body := range bodies {
		t.Run(strings.ReplaceAll(name, " ", "-"), func(t *testing.T) {
			s, site := staffed(t)
			p := s.signIn("T", technicianWord).phone("pocket")
			own := note("mine")
			p.handIn(site, own)
			s = p.fresh()
			body = strings.ReplaceAll(body, target, own.ID)
			s.bounded(t, name, len(body), func() answer { return p.json("POST", "/site/"+site+"/visit/entries", body) })
		})
	}
}

func TestBoundedImports(t *testing.T) {
	logs := map[string]func(f *forged){
		"nested corrections": func(f *forged) { f.add("", "corrected", nested(f.add("", "note", `{"text":"x"}`), 150<<10)) },
		"many lines": func(f *forged) {
			for range 500 {
				f.add("", "note", `{"text":"x"}`)
			}
		},
		"deep note": func(f *forged) {
			f.add("", "note", strings.Repeat(`{"a":`, 9000)+"1"+strings.Repeat("}", 9000))
		},
		"long round": func(f *forged) {
			f.add("", "visit", `{"state":"opened","round":[`+strings.Repeat(`"`+f.site+`",`, 3800)+`"`+f.site+`"]}`)
		},
		"wide loop": func(f *forged) { f.add("", "loop", `{"panel":"1","loop":"9","first":1,"last":2000000000}`) },
	}
	for name, fill := range logs {
		t.Run(strings.ReplaceAll(name, " ", "-"), func(t *testing.T) {
			s, _ := staffed(t)
			m := s.signIn("M", managerWord)
			s = m.fresh()
			f := newSite("Bomb", "UTC", "s-aaaaaaaaaa")
			fill(f)
			text := f.out.String()
			s.bounded(t, "an import of "+name, len(text), func() answer { return m.do("POST", "/api/v1/log/import", "application/jsonl", []byte(text)) })
			s.bounded(t, "Today after an import of "+name, len(text), func() answer { return m.get("/") })
			s.bounded(t, "the site after an import of "+name, len(text), func() answer { return m.get("/site/" + f.site) })
		})
	}
}

// bomb is a workbook whose sheet unpacks to so many bytes.
func bomb(row string, unpacked int) []byte {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, 9) })
	for name, text := range map[string]string{
		"[Content_Types].xml":        `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`,
		"_rels/.rels":                `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml":            `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="a" sheetId="1" r:id="r1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
	} {
		w, _ := z.Create(name)
		io.WriteString(w, text)
	}
	w, _ := z.Create("xl/worksheets/sheet1.xml")
	io.WriteString(w, `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`)
	chunk := strings.Repeat(row, max(1, 1<<20/len(row)))
	for n := 0; n < unpacked; n += len(chunk) {
		io.WriteString(w, chunk)
	}
	io.WriteString(w, `</sheetData></worksheet>`)
	z.Close()
	return out.Bytes()
}

func TestBoundedWorkbooks(t *testing.T) {
	for name, row := range map[string]string{
		"empty rows": "<row/>", "spaces": "<row><c t=\"inlineStr\"><is><t>" + strings.Repeat(" ", 1<<20) + "</t></is></c></row>",
		"numbers": `<row><c><v>1</v></c><c><v>2</v></c></row>`, "deep": "<row>",
	} {
		t.Run(strings.ReplaceAll(name, " ", "-"), func(t *testing.T) {
			s, site := staffed(t)
			m := s.signIn("M", managerWord)
			s = m.fresh()
			kind, body := upload("files", "bomb.xlsx", bomb(row, 300<<20), "preview", "true")
			s.bounded(t, "a workbook of "+name, len(body), func() answer {
				return m.do("POST", "/api/v1/sites/"+site+"/intake?preview=true", kind, body)
			})
		})
	}
}

// cut sends the head of a request and half of its body, then goes away.
func (c *caller) cut(path, kind string, body []byte) {
	conn, err := net.Dial("tcp", strings.TrimPrefix(c.s.base, "http://"))
	if err != nil {
		c.s.t.Fatal(err)
	}
	defer conn.Close()
	cookies := ""
	for _, k := range c.cookies() {
		cookies += k.Name + "=" + k.Value + "; "
	}
	fmt.Fprintf(conn, "POST %s HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\nContent-Type: %s\r\nContent-Length: %d\r\n\r\n",
		path, strings.TrimPrefix(c.s.base, "http://"), cookies, kind, len(body))
	conn.Write(body[:len(body)/2])
	time.Sleep(50 * time.Millisecond) // so that the server reads some of it; nothing is asserted of this moment
}

// TestCutUploads: an upload that is cut half-way leaves no file behind.
func TestCutUploads(t *testing.T) {
	s, site := staffed(t)
	m := s.signIn("M", managerWord)
	text := []byte(readings(0, 200000))
	for _, door := range [][2]string{{"/api/v1/sites/" + site + "/intake", "files"}, {"/site/" + site + "/intake", "file"}} {
		kind, body := upload(door[1], "readings.csv", text, "id", uuid7(time.Now()))
		for range 3 {
			m.cut(door[0], kind, body)
		}
	}
	kind, body := upload("files", "readings.csv", text)
	m.do("POST", "/api/v1/sites/"+site+"/intake?preview=true", kind, body)
	m.do("POST", "/api/v1/sites/none/intake", kind, body)
	kind, body = upload("file", "readings.csv", text, "id", "no id")
	m.do("POST", "/site/"+site+"/intake", kind, body)
	var left []string
	for until := time.Now().Add(5 * time.Second); time.Now().Before(until); time.Sleep(100 * time.Millisecond) {
		left = nil
		filepath.WalkDir(s.path("tmp"), func(name string, d os.DirEntry, err error) error {
			if err == nil && !d.IsDir() {
				left = append(left, name)
			}
			return nil
		})
		if len(left) == 0 {
			return
		}
	}
	t.Errorf("%d files are left of uploads that were cut or refused, such as %s", len(left), left[0])
}

// TestTwentyIntakes: twenty that wait at one site do not keep another site, or another person, from theirs.
func TestTwentyIntakes(t *testing.T) {
	s, site := staffed(t)
	tech, m := s.signIn("T", technicianWord), s.signIn("M", managerWord)
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			kind, body := upload("file", "r.csv", []byte(readings(0, 30)), "id", uuid7(time.Now()))
			tech.do("POST", "/site/"+site+"/intake", kind, body)
		})
	}
	all.Wait()
	kind, body := upload("file", "r.csv", []byte(readings(0, 30)), "id", uuid7(time.Now()))
	if a := m.do("POST", "/site/"+m.sites()["Quarry"]+"/intake", kind, body); a.status != 303 {
		t.Errorf("after twenty intakes at one site another person at another site has none: %v", a)
	}
}

// TestOddIDs: what is no id is refused in words, and nobody panics.
func TestOddIDs(t *testing.T) {
	s, site := staffed(t)
	p := s.signIn("T", technicianWord).phone("pocket")
	m := s.signIn("M", managerWord)
	for _, id := range []string{"-----", "01890a5d-ac96-774b-bcce-b302099a-8057", "01890a5d-ac96-774b-bcce-b30209-9a8057", "01890a5-dac-96-774b-bcce-b302099a8057", "------------------------------------", "0-1-2-3-4-5", "%00", "..", "01890a5dac96774bbcceb302099a8057----"} {
		answers := map[string]answer{
			"hand-in": p.json("POST", "/site/"+site+"/visit/entries", fmt.Sprintf(`{"entries":[{"id":%q,"at":1796000000000,"kind":"note","body":{"text":"x"}}]}`, id)),
			"point":   p.json("POST", "/site/"+site+"/visit/entries", fmt.Sprintf(`{"entries":[{"id":%q,"at":1796000000000,"point":%q,"kind":"note","body":{"text":"x"}}]}`, uuid7(time.Now()), id)),
			"API":     m.json("POST", "/api/v1/sites/"+site+"/log", fmt.Sprintf(`{"id":%q,"kind":"note","body":{"text":"x"}}`, id)),
			"page":    m.get("/site/" + id), "entry": m.get("/site/" + site + "/log/" + id), "API site": m.get("/api/v1/sites/" + id),
			"defect": m.get("/api/v1/sites/" + site + "/defects/" + id),
			"form":   m.form("/site/"+site+"/log", "id", id, "kind", "note", "text", "x", "shown", "note"),
		}
		for door, a := range answers {
			if a.status == 0 || a.status >= 500 {
				t.Errorf("id %q at %s: %v", id, door, a)
			}
		}
	}
	if strings.Contains(s.log.String(), "panic") {
		t.Error("the server's log tells of a panic")
	}
}
