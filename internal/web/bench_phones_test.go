package web

import (
	"bytes"
	"context"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"sootline"
)

// fingers sets devices by the page's own controls. What is tapped must be on the screen
// and not covered. Digits and the key for the next sample are typing; whatever else is
// pressed is a tap.
const fingers = `
	const $ = id => document.getElementById(id), wait = ms => new Promise(done => setTimeout(done, ms));
	window.taps = 0;
	const reach = e => {
		const b = e.getBoundingClientRect(), top = document.elementFromPoint(b.left + b.width / 2, b.top + b.height / 2);
		if (!b.height || b.top < 0 || b.bottom > innerHeight + 0.5 || !(e === top || e.contains(top))) throw new Error("not to be reached: " + (e.id || e.textContent) + " " + JSON.stringify(b));
		return e;
	};
	const tap = e => { reach(e); window.taps++; e.focus(); e.click(); };
	const digits = text => { for (const k of text) reach(document.querySelector('[data-key="' + k + '"]')).click(); };
	const sample = () => reach(document.querySelector("[data-key=more]")).click();
	const type = (input, text) => { input.value = text; input.dispatchEvent(new Event("input", {bubbles: true})); input.dispatchEvent(new KeyboardEvent("keydown", {key: "Enter", bubbles: true, cancelable: true})); };
	const mine = async () => (await VisitStore.all("entries")).length;
	const set = async (serial, values) => {
		reach($("number")); reach($("card"));
		const before = await mine(), began = window.taps, shown = $("number").textContent;
		tap($("serial"));
		type($("serial"), serial);
		tap(document.querySelector("#readback button"));
		values.forEach((v, i) => { if (i) sample(); digits(v); });
		tap($("write"));
		for (let n = 0; await mine() === before || document.querySelector("#serial").value; n++) { if (n > 400) throw new Error("not written: " + shown + " " + $("verdict").textContent + " / " + $("trouble").textContent); await wait(5); }
		return [shown, window.taps - began];
	};`

// setDevices sets so many devices on a phone, and gives the most taps that one took.
func setDevices(t *testing.T, ctx context.Context, prefix string, n int) (most int) {
	t.Helper()
	for done := 0; done < n; done += 10 {
		most = max(most, run[int](t, ctx, fmt.Sprintf(`(async () => { %s
			let most = 0;
			for (let i = %d; i < %d; i++) {
				const [, taps] = await set("%s" + String(i).padStart(4, "0"), [(24.5 + (i * 7 %% 10) / 10).toFixed(1), (24.6 + (i * 3 %% 8) / 10).toFixed(1), "25"]);
				most = Math.max(most, taps);
			}
			return most;
		})()`, fingers, done, min(done+10, n), prefix)))
	}
	return most
}

// twoOfThem are two people with a phone each on one run: two host names are two
// origins, and so two phones in one browser.
func twoOfThem(t *testing.T, s *Server, server *outage, at string) [2]context.Context {
	t.Helper()
	first, _ := startPhone(t, t.TempDir())
	second, closeSecond := chromedp.NewContext(first)
	t.Cleanup(closeSecond)
	phones := [2]context.Context{first, second}
	for _, name := range []string{"M. Manager", "A. Ann", "B. Bo"} {
		role := sootline.Technician
		if name[0] == 'M' {
			role = sootline.Manager
		}
		if err := s.App.AddPerson(t.Context(), name, role, password); err != nil {
			t.Fatal(err)
		}
	}
	for i, host := range []string{"127.0.0.1", "localhost"} {
		smallPhone(t, phones[i])
		as := *s.App
		as.Who = sootline.Actor{Name: []string{"A. Ann", "B. Bo"}[i], Role: sootline.Technician, Station: "laptop"}
		invitation, err := as.InvitePhone(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		code := s.pairings.make(invitation, time.Now())
		do(t, phones[i], chromedp.Navigate(server.at(host, "/pair?code="+url.QueryEscape(code))), chromedp.SendKeys("[name=name]", host), chromedp.Click("button.main"))
		until(t, phones[i], `location.pathname !== "/pair"`)
		openRun(t, phones[i], server.at(host, at))
	}
	return phones
}

// TestBenchOnTwoPhones is a whole run of 120 devices on screens of 360 by 740, by two
// people from both ends, with the network cut half-way: at most four taps a device
// besides typing, nothing lost, and where both set one place each is told and asked.
func TestBenchOnTwoPhones(t *testing.T) {
	s := newServer(t, realTime)
	_, at := benchLoop(t, s, 120, nil)
	server := newOutage(t, s)
	phones := twoOfThem(t, s, server, at)
	round := func(phone context.Context) {
		t.Helper()
		run[any](t, phone, `VisitSync.round(location.pathname.split("/")[2])`)
		until(t, phone, `document.getElementById("kept").dataset.open === "0"`)
	}
	do(t, phones[1], chromedp.Click("#more"), chromedp.Click("[data-do=back]"))
	most := max(setDevices(t, phones[0], "A1", 30), setDevices(t, phones[1], "B1", 30))
	for _, phone := range []context.Context{phones[0], phones[1], phones[0]} { // the first learns of what the second handed in last
		round(phone)
	}
	for _, phone := range phones {
		until(t, phone, `document.getElementById("turn").textContent.startsWith("60 of 120 set")`)
	}
	server.stop()
	do(t, phones[1], chromedp.Reload(), chromedp.WaitVisible("#work")) // left and come back to, without network
	until(t, phones[1], `document.getElementById("turn").textContent.startsWith("60 of 120 set")`)
	most = max(most, setDevices(t, phones[0], "A2", 31), setDevices(t, phones[1], "B2", 30))
	until(t, phones[0], `document.getElementById("kept").textContent.includes("only on this phone. No network.")`)
	keepScreen(t, phones[0], "bench-offline-360-light")
	if most > 4 {
		t.Errorf("a device took %d taps besides typing", most)
	}
	server.start()
	for range 2 {
		for _, phone := range phones {
			round(phone)
		}
	}
	for i, phone := range phones {
		until(t, phone, `document.getElementById("turn").textContent.startsWith("120 of 120 set")`)
		do(t, phone, chromedp.Click("#clash"))
		if says := get(t, phone, chromedp.Text("#differ")); !strings.Contains(says, "1.1.061 was done 2 times: ") || !strings.Contains(says, "by A. Ann") || !strings.Contains(says, "by B. Bo") {
			t.Errorf("phone %d says of the place that both set: %q", i, says)
		}
	}
	keepScreen(t, phones[0], "bench-differ-360-light")
	do(t, phones[0], chromedp.Click(`#differ button`))
	until(t, phones[0], `document.getElementById("clash").hidden`)
	for _, phone := range []context.Context{phones[0], phones[1]} {
		round(phone)
		until(t, phone, `document.getElementById("clash").hidden`)
	}
	registerAsSet(t, s, 120)
	t.Logf("at most %d taps a device besides typing", most)

	// The end is said on the desk, by somebody who signed in.
	desk := signIn(t, s, "A. Ann")
	body := `{"id":"` + s.newID() + `","act":"end"}`
	res := desk.do(http.MethodPost, at, body, func(r *http.Request) { r.Header.Set("Content-Type", "application/json") })
	if text := read(t, res); res.StatusCode != http.StatusOK {
		t.Fatalf("the end gives %d: %s", res.StatusCode, text)
	}
	round(phones[0])
	until(t, phones[0], `document.getElementById("oversays").textContent === "This run has ended" && document.getElementById("overtext").textContent.startsWith("Nothing is left")`)
	keepScreen(t, phones[0], "bench-over-360-light")
}

// registerAsSet fails where a place is not as the run says: its number set, a device
// with serial and value, the modes found as wanted.
func registerAsSet(t *testing.T, s *Server, places int) {
	t.Helper()
	serials := map[string]bool{}
	points := surveyOf(t, s).Register.Points()
	for i, p := range points {
		if p.Stands.Number != i+1 || p.Stands.As != sootline.AsSet && p.Stands.As != sootline.AsFound || p.Unit.Serial == "" || len(p.Readings) == 0 {
			t.Errorf("place %d stands at %+v, device %q, %d looks", i+1, p.Stands, p.Unit.Serial, len(p.Readings))
		}
		if p.Type == "Larch" && (p.Has["blink"] != "off" || p.Has["sensitivity"] != "high") {
			t.Errorf("place %d has %v", i+1, p.Has)
		}
		serials[p.Unit.Serial] = true
	}
	if len(points) != places || len(serials) != places {
		t.Errorf("%d places and %d devices, want %d", len(points), len(serials), places)
	}
}

// TestBenchBadInput: each of what is typed wrong at the bench gets its sentence, and
// nothing that was typed is lost.
func TestBenchBadInput(t *testing.T) {
	s := newServer(t, realTime)
	box := []sootline.BoxDevice{{Unit: sootline.Unit{Serial: "A0001"}, Type: "Larch"}, {Unit: sootline.Unit{Serial: "A0002"}, Type: "Larch"}, {Unit: sootline.Unit{Serial: "A0003"}, Type: "Larch"}}
	site, at := benchLoop(t, s, 4, box)
	ctx, address := openBrowser(t, s)
	smallPhone(t, ctx)
	do(t, ctx, chromedp.Navigate(address+at), chromedp.WaitVisible("#work"))
	until(t, ctx, `document.getElementById("kept").textContent.startsWith("All is handed in")`)
	run[any](t, ctx, `(async () => { `+fingers+` await set("A0001", ["25"]); })()`)
	says := func(what, script, want string) {
		t.Helper()
		got := run[string](t, ctx, `(async () => { `+fingers+script+`; return $("verdict").textContent + " / " + $("trouble").textContent + " / " + $("serial").value + " / " + $("samples").textContent; })()`)
		for _, part := range strings.Split(want, "|") {
			if !strings.Contains(got, part) {
				t.Errorf("%s: the page says %q, want %q", what, got, part)
			}
		}
	}
	entries := run[int](t, ctx, `VisitStore.all("entries").then(all => all.length)`)
	says("a serial that is not on the list", `tap($("serial")); type($("serial"), "ZZ99")`, "Device ZZ99 is not on the list of the box.")
	says("asked once more", `tap($("write"))`, "Device ZZ99 is not on the list of the box.| / ZZ99 / ")
	says("the serial of a device that was set", `type($("serial"), "a-0001"); tap($("write"))`, "Device a-0001 was set for 1.1.001 already.| / a-0001 / ")
	says("a value far off", `type($("serial"), "A0002"); digits("95"); tap($("write"))`, "95 % is above the band, which ends at 40 %.| / A0002 / 95▏")
	says("a number that is taken", `tap(document.querySelectorAll("#readback button")[1]); tap(document.querySelectorAll("#readback button")[1]);
		const other = document.querySelector("#otherwise input"); other.value = "1"; other.dispatchEvent(new Event("input", {bubbles: true})); tap($("write"))`,
		"It answers to 1, and 2 was to be set.|Number 1 is set already on 1.1.001 (Room 100), device A0001.| / A0002 / 95▏")
	if n := run[int](t, ctx, `VisitStore.all("entries").then(all => all.length)`); n != entries {
		t.Errorf("%d entries were written meanwhile", n-entries)
	}
	b := visit(t, s)
	for what, c := range map[string]struct{ box, want string }{
		"two devices of one serial": {"serial,type\nQ1,Larch\nQ2,Larch\nq-1,Larch\n", "The list has several devices of one serial: q-1."},
		"a line without device":     {"serial,type,note\nQ1,Larch,\n,,lost\n", "line 3 names neither a serial nor a type"},
	} {
		res := postParts(b, site+"/bench", map[string]string{"id": s.newID(), "with": "all", "first": "place", "box": c.box})
		if text := read(t, res); res.StatusCode != http.StatusConflict || !strings.Contains(strings.ToLower(text), strings.ToLower(c.want)) || !strings.Contains(text, "Q1") || !strings.Contains(text, `name="sure"`) {
			t.Errorf("%s gives %d: %.600s", what, res.StatusCode, text)
		}
	}
}

// TestBenchPhoneFull: where the phone's storage is full it is said, what was typed is
// still there, and with room again the same button keeps it.
func TestBenchPhoneFull(t *testing.T) {
	disk := smallDisk(t)
	s := newServer(t, realTime)
	_, at := benchLoop(t, s, 100, nil)
	ctx, _ := startPhone(t, filepath.Join(disk, "phone"))
	smallPhone(t, ctx)
	server := newOutage(t, s)
	openRun(t, ctx, server.at("127.0.0.1", at))
	server.stop()
	setDevices(t, ctx, "A", 2)
	filler := filepath.Join(disk, "filler")
	fill(t, filler)
	const typed = `(() => { const s = document.getElementById("serial"); s.value = "F" + Math.round(1e9 * Math.random()); s.dispatchEvent(new Event("input")); for (const k of "25") document.querySelector('[data-key="' + k + '"]').click(); })()`
	run[any](t, ctx, typed)
	full := false
	for range 90 { // the browser may have some bytes of its own in hand
		run[any](t, ctx, `document.getElementById("write").click()`)
		time.Sleep(50 * time.Millisecond)
		if full = run[bool](t, ctx, `document.getElementById("trouble").textContent.startsWith("This was NOT kept: the storage of this phone is full")`); full {
			break
		}
		if run[bool](t, ctx, `document.getElementById("serial").value === ""`) { // kept all the same
			fill(t, filler)
			run[any](t, ctx, typed)
		}
	}
	if !full {
		t.Fatal("the full disk is not told of")
	}
	if shown := run[string](t, ctx, `document.getElementById("serial").value + document.getElementById("samples").textContent`); !strings.HasPrefix(shown, "F") || !strings.HasSuffix(shown, "25▏") {
		t.Errorf("what was typed is gone: %q", shown)
	}
	keepScreen(t, ctx, "bench-full-360-light")
	claimed := run[string](t, ctx, `document.getElementById("kept").dataset.open`)
	if err := os.Remove(filler); err != nil {
		t.Fatal(err)
	}
	if held := run[string](t, ctx, `VisitStore.all("entries").then(all => String(all.filter(e => e.state === 0).length))`); held != claimed {
		t.Errorf("the page claims that %s entries are kept, and there are %s", claimed, held)
	}
	run[any](t, ctx, `document.getElementById("write").click()`)
	until(t, ctx, `document.getElementById("serial").value === ""`)
}

// postParts hands in a form as browsers do that may carry files.
func postParts(b *browser, address string, fields map[string]string) *http.Response {
	b.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for name, text := range fields {
		if err := w.WriteField(name, text); err != nil {
			b.t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		b.t.Fatal(err)
	}
	return b.do(http.MethodPost, address, body.String(), func(r *http.Request) { r.Header.Set("Content-Type", w.FormDataContentType()) })
}
