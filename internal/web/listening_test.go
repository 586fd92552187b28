package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/worlds/wires"
)

// printedAs is a line as the panel of these tests prints it now.
func printedAs(event string, point int) []byte {
	return fmt.Appendf(nil, "%s  %-14s L1 D%03d Z%02d  Room %d\r\n", time.Now().UTC().Format("02/01/2006 15:04:05"), event, point, 1+point/10, point)
}

// panelSite adds a site with 30 points, of which a panel prints.
func panelSite(t *testing.T, s *Server) (site string, id sootline.ID) {
	t.Helper()
	id, err := s.App.AddSite(t.Context(), app.NewSite{Name: "Works", Zone: "UTC", Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126}}})
	if err != nil {
		t.Fatal(err)
	}
	schedule := "loop,address,type,zone,location\n"
	for i := 1; i <= 30; i++ {
		schedule += fmt.Sprintf("1,%d,Larch,%d,Room %d\n", i, 1+i/10, i)
	}
	site = "/site/" + id.String()
	visit(t, s).takeIn(site, "schedule.csv", schedule)
	return site, id
}

// eventually waits for what must come.
func eventually(t *testing.T, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); !ok(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("after half a minute still not: %s", what)
		}
	}
}

// teachForm says of the first lines of the page what their parts are, by its fields alone.
func teachForm(t *testing.T, page string) url.Values {
	t.Helper()
	form := url.Values{"from": {field(t, page, "from")}}
	line := regexp.MustCompile(`aria-label="Line (\d+)"></td><th scope="row"><code>(\S+) (\S+) (FIRE ALARM|FAULT|DISABLED) L1 D(\d+) Z(\d+) (Room \d+)</code>`)
	page = regexp.MustCompile(` +`).ReplaceAllString(page, " ")
	means := map[string]string{"FIRE ALARM": "alarm", "FAULT": "fault", "DISABLED": "disabled"}
	for _, m := range line.FindAllStringSubmatch(page, 3) {
		form.Add("line", m[1])
		form.Set("means-"+m[1], means[m[4]])
		for i, part := range [][2]string{{"day", m[2]}, {"time", m[3]}, {"event", m[4]}, {"loop", "1"}, {"number", m[5]}, {"zone", m[6]}, {"text", m[7]}} {
			form.Set(fmt.Sprintf("role-%s-%d", m[1], i), part[0])
			form.Set(fmt.Sprintf("value-%s-%d", m[1], i), part[1])
		}
	}
	if len(form["line"]) != 3 {
		t.Fatalf("not three lines to mark:\n%s", page)
	}
	return form
}

// TestListeningPage: a source is kept by a form, listened to, taught by fields without script; what it says is written then, what
// is not understood is shown with its count, and what was taught is taken back; the other side is gone, and that is said.
func TestListeningPage(t *testing.T) {
	s := newServer(t, realTime)
	site, id := panelSite(t, s)
	stream := wires.NewStream(t, 0, 1)
	b := visit(t, s)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() {
		all := &app.SourcesHeard{App: s.App, Days: 60, Say: func(string) {}}
		ended <- all.Run(ctx)
	}()
	defer func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}()
	page := b.get(site + "/listening")
	kept := url.Values{"id": {field(t, page, "id")}, "name": {"printer"}, "via": {"tcp"}, "address": {stream.Address}}
	for range 2 { // handed in twice, it is kept once
		if res := b.post(site+"/listening", kept); res.StatusCode != http.StatusSeeOther {
			t.Fatal(read(t, res))
		}
	}
	<-stream.Joined()
	for i, event := range []string{"FIRE ALARM", "FAULT", "DISABLED", "ENABLED", "FIRE ALARM", "NONSENSE"} {
		must(t, stream.Say(printedAs(event, 1+3*i)))
	}
	eventually(t, "the lines are shown", func() bool { return strings.Contains(b.get(site+"/listening/printer"), "NONSENSE") })
	teach := site + "/listening/printer"
	form := teachForm(t, b.get(teach))
	form.Set("id", s.newID())
	form.Set("do", "show")
	res := b.post(teach, form)
	shown := read(t, res)
	if res.StatusCode != http.StatusOK || !strings.Contains(shown, "4 records are read; 2 lines are not understood") || !strings.Contains(shown, `name="word-0" value="ENABLED"`) {
		t.Fatalf("%d: what comes of it is not shown:\n%s", res.StatusCode, shown)
	}
	if written := kindsIn(t, s, id); written["alarm"] != 0 || written["listening"] != 1 {
		t.Fatalf("shown, and written: %v", written)
	}
	form.Set("do", "keep")
	form.Set("word-0", "ENABLED")
	form.Set("says-0", "enabled")
	form.Set("word-1", "NONSENSE")
	form.Set("says-1", "nothing")
	if res := b.post(teach, form); res.StatusCode != http.StatusSeeOther {
		t.Fatal(read(t, res))
	}
	eventually(t, "what was heard before is written", func() bool { return kindsIn(t, s, id)["alarm"] == 2 })
	must(t, stream.Say(printedAs("FIRE ALARM", 20)))
	must(t, stream.Say([]byte("PAPER LOW\r\n")))
	eventually(t, "the page says what is not understood", func() bool {
		page := b.get(site + "/listening")
		return strings.Contains(page, "PAPER LOW") && strings.Contains(page, "1 line: it fits no learned shape") && strings.Contains(page, string(app.Hears))
	})
	readAgain(t, s, b, teach, form, id)
	stream.Stop()
	eventually(t, "the page says that it is gone", func() bool { return strings.Contains(b.get(site+"/listening"), string(app.Gone)) })
	if page := b.get("/"); !strings.Contains(page, "printer, "+string(app.Gone)) {
		t.Errorf("Today does not tell that it is gone:\n%s", page)
	}
	for range 2 { // it was taught twice
		back := url.Values{"id": {s.newID()}, "do": {"back"}}
		if res := b.post(teach, back); res.StatusCode != http.StatusSeeOther {
			t.Fatal(read(t, res))
		}
	}
	if page := b.get(site + "/listening"); !strings.Contains(page, "not taught yet") {
		t.Errorf("it was not taken back:\n%s", page)
	}
	drop := url.Values{"id": {s.newID()}, "do": {"drop"}, "name": {"printer"}}
	if res := b.post(site+"/listening", drop); res.StatusCode != http.StatusSeeOther {
		t.Fatal(read(t, res))
	}
	eventually(t, "nobody listens to it now", func() bool { return strings.Contains(b.get(site+"/listening"), string(app.Unheard)) })
	if written := kindsIn(t, s, id); written["alarm"] != 3 || written["fault"] != 1 || written["disabled"] != 1 || written["restored"] != 1 {
		t.Errorf("written: %v", written)
	}
	if sent := stream.Journal.Sent(); len(sent) > 0 {
		t.Errorf("sent to the panel: %v", sent)
	}
}

// readAgain explains a word otherwise and reads again: what would be otherwise is shown, then written, once.
func readAgain(t *testing.T, s *Server, b *browser, teach string, form url.Values, id sootline.ID) {
	t.Helper()
	form.Set("id", s.newID())
	form.Set("says-0", "disabled")
	if res := b.post(teach, form); res.StatusCode != http.StatusSeeOther {
		t.Fatal(read(t, res))
	}
	again := url.Values{"id": {s.newID()}, "do": {"again"}}
	res := b.post(teach, again)
	if page := read(t, res); res.StatusCode != http.StatusOK || !strings.Contains(page, "1 otherwise") || !strings.Contains(page, "now: disabled") {
		t.Errorf("%d: what would be otherwise is not shown:\n%s", res.StatusCode, page)
	}
	if n := kindsIn(t, s, id)["corrected"]; n != 0 {
		t.Errorf("shown, and %d corrections are written", n)
	}
	again.Set("do", "again-keep")
	for range 2 {
		if res := b.post(teach, again); res.StatusCode != http.StatusSeeOther {
			t.Error(read(t, res))
		}
	}
	if n := kindsIn(t, s, id)["corrected"]; n != 1 {
		t.Errorf("%d corrections are written", n)
	}
}

// TestMapPage: what a list of values would do is shown before it is kept, from what was typed and from a file; a list with a fault is
// refused with its row.
func TestMapPage(t *testing.T) {
	s := newServer(t, realTime)
	site, id := panelSite(t, s)
	b := visit(t, s)
	form := url.Values{"id": {s.newID()}, "name": {"bus"}, "via": {"modbus"}, "address": {"192.0.2.8:502"}, "do": {"look"}, "places": {"title\n\nReference;Tag;Factor\n1.1.003;3:4:0;0,1\n1.1.004;3:4:1;/10\n"}}
	res := b.post(site+"/listening", form)
	page := read(t, res)
	if res.StatusCode != http.StatusOK || !strings.Contains(page, "2 values would be read") || !strings.Contains(page, "1.1.003,3:4:0,,0.1") || kindsIn(t, s, id)["listening"] != 0 {
		t.Fatalf("%d: what it would do is not shown, or it is kept:\n%s", res.StatusCode, page)
	}
	form.Set("places", "point,source\n1.1.003,3:4:0\n1.1.004,3:7:1\n")
	if res := b.post(site+"/listening", form); res.StatusCode != http.StatusBadRequest && res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("%d: %s", res.StatusCode, read(t, res))
	} else if page := read(t, res); !strings.Contains(page, "row 3") {
		t.Errorf("the row is not named:\n%s", page)
	}
	form.Del("do")
	form.Set("places", "point,source\n1.1.003,3:4:0\n")
	if res := b.post(site+"/listening", form); res.StatusCode != http.StatusSeeOther || kindsIn(t, s, id)["listening"] != 1 {
		t.Errorf("it is not kept: %s", read(t, res))
	}
}

// kindsIn counts the entries of a site by kind.
func kindsIn(t *testing.T, s *Server, id sootline.ID) map[string]int {
	t.Helper()
	entries, err := s.App.Book.Entries(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	n := map[string]int{}
	for _, e := range entries {
		n[string(e.Body.Kind())]++
	}
	return n
}

// TestPathsAreNamedByWhoeverServes: a path that a source names is not opened unless the server was told of it.
func TestPathsAreNamedByWhoeverServes(t *testing.T) {
	s := newServer(t, realTime)
	_, id := panelSite(t, s)
	growing := wires.NewGrowing(t, t.TempDir(), 1)
	for i, name := range []string{"asked", "unasked"} {
		path := growing.Path + strconv.Itoa(i)
		if i == 0 {
			path = growing.Path
		}
		must(t, s.App.KeepSource(t.Context(), id, app.KeptSource{Name: name, Via: "file", Address: path}))
	}
	said := make(chan string, 100)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() {
		all := &app.SourcesHeard{App: s.App, Days: 60, MayOpen: []string{growing.Path}, Say: func(text string) { said <- text }}
		ended <- all.Run(ctx)
	}()
	select {
	case text := <-said:
		if !strings.Contains(text, "unasked") || !strings.Contains(text, "was not told to open") {
			t.Error(text)
		}
	case <-time.After(20 * time.Second):
		t.Error("nothing was said of the path that the server was not told to open")
	}
	cancel()
	must(t, <-ended)
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
