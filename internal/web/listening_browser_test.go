package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"sootline/internal/worlds/wires"
)

// served is the program as a process that serves a book and listens.
type served struct {
	t       *testing.T
	binary  string
	env     []string
	address string
	cmd     *exec.Cmd
	said    *said
}

// said is what a process said.
type said struct {
	lock sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(b []byte) (int, error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.text.Write(b)
}

func (s *said) String() string {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.text.String()
}

func newServed(t *testing.T) *served {
	t.Helper()
	dir := t.TempDir()
	s := &served{t: t, binary: filepath.Join(dir, "sootline"), address: "127.0.0.1:0"}
	if out, err := exec.Command("go", "build", "-o", s.binary, "sootline/cmd/sootline").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	s.env = append(os.Environ(), "SOOTLINE_BOOK="+filepath.Join(dir, "book.db"), "SOOTLINE_BY=A. Tech", "XDG_DATA_HOME="+dir)
	return s
}

func (s *served) run(args ...string) string {
	s.t.Helper()
	cmd := exec.Command(s.binary, args...)
	cmd.Env = s.env
	out, err := cmd.CombinedOutput()
	if err != nil {
		s.t.Fatalf("%v: %v\n%s", args, err, out)
	}
	return string(out)
}

var openAtAddress = regexp.MustCompile(`http://(127\.0\.0\.1:\d+)/`)

func (s *served) start() {
	s.t.Helper()
	s.said = &said{}
	s.cmd = exec.Command(s.binary, "serve", "--sources", "--listen", s.address)
	s.cmd.Env, s.cmd.Stdout, s.cmd.Stderr = s.env, s.said, s.said
	if err := s.cmd.Start(); err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(func() { _ = s.cmd.Process.Kill() }) // it may have ended
	eventually(s.t, "the server is there", func() bool { return openAtAddress.MatchString(s.said.String()) })
	s.address = openAtAddress.FindStringSubmatch(s.said.String())[1]
}

// kill ends the server by SIGKILL.
func (s *served) kill() {
	s.t.Helper()
	if err := s.cmd.Process.Kill(); err != nil {
		s.t.Fatal(err)
	}
	_ = s.cmd.Wait() // it was killed
}

func (s *served) ask(method, path string, body any) []byte {
	s.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		s.t.Fatal(err)
	}
	r, err := http.NewRequestWithContext(s.t.Context(), method, "http://"+s.address+path, bytes.NewReader(raw))
	if err != nil {
		s.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		s.t.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != http.StatusOK {
		s.t.Fatalf("%s %s: %d %v\n%s", method, path, res.StatusCode, err, text)
	}
	return text
}

// heardWalk is a site whose panel prints to a stream that the server listens to, taught, with an open visit and two phones.
func heardWalk(t *testing.T) (s *served, stream *wires.Stream, site string) {
	t.Helper()
	s = newServed(t)
	stream = wires.NewStream(t, 0, 1)
	schedule := "loop,address,type,zone,location\n"
	for i := 1; i <= 30; i++ {
		schedule += fmt.Sprintf("1,%d,Larch,%d,Room %d\n", i, 1+i/10, i)
	}
	folder := t.TempDir()
	list, types := filepath.Join(folder, "schedule.csv"), filepath.Join(folder, "types.csv")
	must(t, os.WriteFile(list, []byte(schedule), 0o600))
	must(t, os.WriteFile(types, []byte("type,kind,low,high\nLarch,call point,,\nFernbeck,smoke,18,36\n"), 0o600)) // no reading is due of it
	s.run("site", "add", "Works", "--loop", "1", "--zone", "UTC")
	s.run("take", types, list, "--yes")
	s.run("listen", "source", "printer", "--via", "tcp", "--address", stream.Address)
	s.start()
	<-stream.Joined()
	var sites struct{ Sites []struct{ ID string } }
	must(t, json.Unmarshal(s.ask(http.MethodGet, "/api/v1/sites", nil), &sites))
	site = sites.Sites[0].ID
	for i, event := range []string{"FIRE ALARM", "FAULT", "DISABLED", "FIRE ALARM", "FAULT"} {
		must(t, stream.Say(printedAs(event, 21+i)))
	}
	var heard struct {
		From  int64
		Lines []struct {
			Number int
			Text   string
		}
	}
	eventually(t, "five lines are heard", func() bool {
		heard.Lines = nil
		must(t, json.Unmarshal(s.ask(http.MethodGet, "/api/v1/sites/"+site+"/sources/printer/lines", nil), &heard))
		return len(heard.Lines) == 5
	})
	var lines []map[string]any
	means := map[string]string{"FIRE ALARM": "alarm", "FAULT": "fault", "DISABLED": "disabled"}
	for _, l := range heard.Lines[:3] {
		f := strings.Fields(l.Text)
		event, rest := strings.Join(f[2:len(f)-5], " "), f[len(f)-5:]
		parts := []map[string]any{
			{"role": "day", "value": f[0]},
			{"role": "time", "value": f[1]},
			{"role": "event", "value": event, "means": means[event]},
			{"role": "loop", "value": rest[0][1:]},
			{"role": "number", "value": rest[1][1:]},
			{"role": "zone", "value": rest[2][1:]},
			{"role": "text", "value": rest[3] + " " + rest[4]},
		}
		lines = append(lines, map[string]any{"first": l.Number, "parts": parts})
	}
	s.ask(http.MethodPost, "/api/v1/sites/"+site+"/sources/printer/lesson", map[string]any{"id": newUUID(t), "from": heard.From, "lines": lines, "keep": true})
	s.run("visit", "open", "--minutes", "600", "--confirm", "responsible,monitoring,outputs,disabled")
	return s, stream, site
}

// newUUID makes the id of an entry.
func newUUID(t *testing.T) string { return newServer(t, realTime).newID() }

// shownAs is the condition that a phone shows a point as done.
func shownAs(point int) string {
	return fmt.Sprintf(`[...document.querySelectorAll("#stops button")].some(b => b.textContent.startsWith("● 1.1.%03d "))`, point)
}

// TestWalkTestHeard: an activation on the wire is a tick on two phones within a second. The server is killed by SIGKILL in between
// and started again: what was heard is in the log once.
func TestWalkTestHeard(t *testing.T) {
	needBrowser(t)
	s, stream, site := heardWalk(t)
	one, _ := startPhone(t, t.TempDir())
	other, _ := startPhone(t, t.TempDir())
	phones := []context.Context{one, other}
	for _, p := range phones {
		do(t, p, chromedp.Navigate("http://"+s.address+"/capture#"+site), chromedp.WaitVisible("#point"))
	}
	tick := func(point int, within time.Duration) {
		t.Helper()
		must(t, stream.Say(printedAs("FIRE ALARM", point)))
		began := time.Now()
		for i, p := range phones {
			until(t, p, shownAs(point))
			if took := time.Since(began); took > within {
				t.Errorf("phone %d shows point %d after %s", i+1, point, took)
			} else {
				t.Logf("phone %d shows point %d after %s", i+1, point, took.Round(time.Millisecond))
			}
		}
	}
	for _, p := range phones { // the page waits at the server for what is new
		until(t, p, `(await VisitStore.get("done", location.hash.slice(1)))?.mark`)
		run[any](t, p, `document.getElementById("list").click()`)
	}
	tick(1, 2*time.Second) // the first may wait for a page to settle
	for point := 2; point <= 6; point++ {
		tick(point, time.Second)
	}
	must(t, stream.Say(bytes.Replace(printedAs("FIRE ALARM", 20), []byte(" Z03 "), []byte(" Z01 "), 1)))
	for _, p := range phones {
		until(t, p, `document.getElementById("unlike").innerText.includes("1.1.020: the panel says zone 1, the register has zone 3")`)
	}
	if walk, page := s.run("visit", "walk"), s.ask(http.MethodGet, "/site/"+site+"/visit", nil); !strings.Contains(walk, "the panel says otherwise (1)") || !bytes.Contains(page, []byte("the panel says zone 1, the register has zone 3")) {
		t.Errorf("another zone is told neither by the walk nor the page:\n%s", walk)
	}
	must(t, stream.Say(printedAs("FIRE ALARM", 7)))
	time.Sleep(20 * time.Millisecond) // somewhere between hearing and writing
	s.kill()
	s.start()
	<-stream.Joined()
	must(t, stream.Say(printedAs("FIRE ALARM", 8)))
	for _, p := range phones { // they find the server again, a quarter of a minute later at most
		eventually(t, "a phone shows what came while the server was away", func() bool { return run[bool](t, p, shownAs(8)) })
	}
	time.Sleep(5 * time.Second) // by then they wait at the server again
	for point := 9; point <= 12; point++ {
		tick(point, time.Second)
	}
	log, heard := s.run("log", "--kind", "tested"), string(s.ask(http.MethodGet, "/api/v1/sites/"+site+"/sources/printer/lines", nil))
	for point := 1; point <= 12; point++ {
		want := strings.Count(heard, fmt.Sprintf(" D%03d ", point)) // the one on the wire when it was killed may have been heard, or not
		if n := strings.Count(log, fmt.Sprintf("1.1.%03d ", point)); n != want || want != 1 && point != 7 {
			t.Errorf("point %d was heard %d times, and is in the log %d times:\n%s", point, want, n, log)
		}
	}
	if sent := stream.Journal.Sent(); len(sent) > 0 {
		t.Errorf("sent to the panel: %v", sent)
	}
}
