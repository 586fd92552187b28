package web

import (
	"cmp"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/app"
)

// inHand is what of a device in hand is to be on the one screen, whatever else is said.
const inHand = "number where steps card serial readback verdict pad write"

// oneScreen keeps pictures in light and dark, and fails where one of the named is not on
// the screen, is covered or cut by what scrolls, or is too small for a glove.
func oneScreen(t *testing.T, ctx context.Context, name, ids string) {
	t.Helper()
	for _, scheme := range []string{"light", "dark"} {
		media(t, ctx, scheme)
		accessible(t, ctx, name+" "+scheme)
		noSideways(t, ctx, name+" "+scheme)
		keepScreen(t, ctx, name+"-360-"+scheme)
	}
	const outside = `%q.split(" ").filter(id => {
		const e = document.getElementById(id), b = e.getBoundingClientRect(), u = e.closest("#upper")?.getBoundingClientRect() ?? {top: 0, bottom: innerHeight};
		const seen = y => e.contains(document.elementFromPoint(b.left + b.width / 2, y)) || id === "card" || id === "verdict";
		return b.height === 0 || b.top < Math.max(0, u.top) - 0.5 || b.bottom > Math.min(innerHeight, u.bottom) + 0.5 || !seen(b.top + Math.min(b.height / 2, b.height - 2));
	}).join(", ")`
	if out := get(t, ctx, chromedp.Evaluate[string](fmt.Sprintf(outside, ids))); out != "" {
		t.Errorf("%s: not on the screen, or covered: %s", name, out)
	}
	const small = `[...document.querySelectorAll("#work button, #work input, #work select, .bar button, .bar a, #top button")].filter(e => e.checkVisibility()).filter(e => { const b = e.getBoundingClientRect(); return b.height < 47.5 || b.width < 44; }).map(e => e.id + e.textContent).join(", ")`
	if few := get(t, ctx, chromedp.Evaluate[string](small)); few != "" {
		t.Errorf("%s: too small for a glove: %s", name, few)
	}
}

// TestBenchScreens keeps pictures of the bench on a phone of 360 by 740, light and dark,
// and sees that what is to be set, the verdict, the digits and the button that writes
// are all on that one screen, and large enough for a glove.
func TestBenchScreens(t *testing.T) {
	s := newServer(t, realTime)
	site, at := benchLoop(t, s, 12, nil)
	ctx, address := openBrowser(t, s)
	smallPhone(t, ctx)
	do(t, ctx, chromedp.Navigate(address+at), chromedp.WaitVisible("#work"))
	until(t, ctx, `document.getElementById("card").firstElementChild`)
	oneScreen(t, ctx, "bench-first", inHand)
	press(t, ctx, "#readback [value=all]", "3", "1", "next", "3", "1", ".", "5", "next", "3", "1")
	typeIn(t, ctx, "#serial", "S-0001")
	oneScreen(t, ctx, "bench-typed", inHand)
	press(t, ctx, "next", "5", "9", "next", "5", "9", "next", "5", "9", "next", "5", "9", "#write")
	oneScreen(t, ctx, "bench-asked", inHand)
	run[any](t, ctx, `document.getElementById("list").click(); document.getElementById("wanted").value = "10"; document.querySelector("#byname button").click()`)
	oneScreen(t, ctx, "bench-dials", inHand)
	for panel, name := range map[string]string{"more": "bench-more", "list": "bench-left"} {
		do(t, ctx, chromedp.Click("#"+panel))
		media(t, ctx, "light")
		accessible(t, ctx, name)
		noSideways(t, ctx, name)
		keepScreen(t, ctx, name+"-360-light")
		do(t, ctx, chromedp.Click("#"+panel))
	}
	do(t, ctx, chromedp.EmulateViewport(1280, 900))
	keepScreen(t, ctx, "bench-run-desk")
	do(t, ctx, chromedp.Navigate(address+site+"/bench"), chromedp.WaitVisible("h1"))
	look(t, ctx, "bench")
}

// press has keys of the pad pressed, each by its sign, "next" for the next sample and
// "rub" for the one that takes back, and whatever a selector names.
func press(t *testing.T, ctx context.Context, what ...string) {
	t.Helper()
	for _, one := range what {
		if key := map[string]string{"next": "more", "rub": "back"}[one]; key != "" || len(one) == 1 {
			one = fmt.Sprintf("[data-key='%s']", cmp.Or(key, one))
		}
		run[any](t, ctx, fmt.Sprintf(`document.querySelector(%q).click()`, one))
	}
}

// typeIn types into a field as a person does.
func typeIn(t *testing.T, ctx context.Context, field, text string) {
	t.Helper()
	run[any](t, ctx, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); })()`, field, text))
}

// TestBenchOneScreen: digits, verdict and the button that writes stay on the one screen,
// with what is asked about beside them, in a run where all is long: a device of four
// numbers without a resting value, questions of several lines, what was found otherwise,
// another type, a place that is made.
func TestBenchOneScreen(t *testing.T) {
	s := newServer(t, realTime)
	far := sootline.Place{Panel: "1", Loop: "1", Order: 40, Location: "Switch room behind the second stairs", Area: "Basement, north side", Zone: "14"}
	_, at := benchLoop(t, s, 12, []sootline.BoxDevice{{Unit: sootline.Unit{Serial: "7741-A"}, Type: "Larch"}, {Unit: sootline.Unit{Serial: "7741-B"}, Type: "Ash"}}, sootline.Fitted{Place: far, Type: "Yew"})
	ctx, address := openBrowser(t, s)
	smallPhone(t, ctx)
	do(t, ctx, chromedp.Navigate(address+at), chromedp.WaitVisible("#work"))
	until(t, ctx, `document.getElementById("kept").textContent.startsWith("All is handed in")`)
	jump := func(number string) {
		typeIn(t, ctx, "#wanted", number)
		press(t, ctx, "#byname button")
	}
	sets := func(serial string) {
		t.Helper()
		was := run[string](t, ctx, `document.getElementById("turn").textContent`)
		typeIn(t, ctx, "#serial", serial)
		press(t, ctx, "#readback button", "2", "5", "#write")
		until(t, ctx, `document.getElementById("turn").textContent !== `+fmt.Sprintf("%q", was))
	}

	jump("40")
	oneScreen(t, ctx, "bench-wide", "number where steps card serial readback verdict write")
	if high := run[float64](t, ctx, `document.getElementById("number").getBoundingClientRect().height`); high > 75 {
		t.Errorf("four numbers stand %v pixels high", high)
	}
	if says := run[string](t, ctx, `["pad", "looking"].filter(id => document.getElementById(id).checkVisibility()).join() + document.getElementById("number").textContent + document.getElementById("verdict").textContent`); says != "040–043It has no resting value to judge." {
		t.Errorf("a device without a resting value: %q", says)
	}
	jump("1")
	sets("7741-A")
	oneScreen(t, ctx, "bench-second", inHand+" undo")
	press(t, ctx, "#write")
	oneScreen(t, ctx, "bench-serial-asked", inHand)
	typeIn(t, ctx, "#serial", "7741-A")
	press(t, ctx, "5", "9", "next", "5", "8", "next", "3", "1", "next", "3", "0", "#write")
	oneScreen(t, ctx, "bench-refused", inHand)
	typeIn(t, ctx, "#serial", "ZZ-99")
	press(t, ctx, "#write")
	oneScreen(t, ctx, "bench-much-asked", inHand)
	if says := run[string](t, ctx, `(v => [document.getElementById("write").textContent, v.querySelectorAll(".asked").length, v.scrollHeight > v.clientHeight + 4 && !v.classList.contains("below")].join())(document.getElementById("verdict"))`); says != "All 4 are so: write it down,4,false" {
		t.Errorf("of several questions the page says %q", says)
	}
	press(t, ctx, "#readback [value='of:number']", "#readback [value='of:number']", "#readback [value='of:blink']", "#readback [value='of:blink']")
	oneScreen(t, ctx, "bench-otherwise", "verdict pad write")
	press(t, ctx, "#readback [value='of:number']", "#readback [value='of:blink']")
	press(t, ctx, "[data-do=othertype]")
	oneScreen(t, ctx, "bench-other-type", "verdict pad write")
	press(t, ctx, "[data-do=newplace]")
	oneScreen(t, ctx, "bench-new-place", "verdict pad write")
	run[any](t, ctx, `BenchShow.trouble("Nobody is signed in here: sign in, and do it again. What you typed is still there.")`)
	oneScreen(t, ctx, "bench-trouble", "verdict pad write trouble")
}

// TestBenchClashes: what contradicts itself takes no room from the device in hand; on its
// own panel each thing is said once, with each device once.
func TestBenchClashes(t *testing.T) {
	s := newServer(t, realTime)
	_, at := benchLoop(t, s, 12, nil)
	ctx, address := openBrowser(t, s)
	smallPhone(t, ctx)
	do(t, ctx, chromedp.Navigate(address+at), chromedp.WaitVisible("#work"))
	until(t, ctx, `document.getElementById("kept").textContent.startsWith("All is handed in")`)
	for i, read := range []string{"1", "2", "3", "4"} {
		typeIn(t, ctx, "#serial", fmt.Sprint("C", i))
		press(t, ctx, "#readback button", "2", "5", "#write")
		until(t, ctx, fmt.Sprintf(`document.getElementById("turn").textContent.startsWith("%s of 12 set")`, read))
	}
	run[any](t, ctx, `VisitSync.round(location.pathname.split("/")[2])`)
	// Two more people did the same places meanwhile: as the server would tell it.
	run[any](t, ctx, `(() => { const {pack} = BenchTyped.state, set = n => BenchTyped.state.run.places[n].done[0];
		for (const [n, serial, carries] of [[0, "D0", 1], [0, "D1", 1], [1, "D2", 3]]) pack.done.push({...set(n), id: set(n).id.slice(0, -2) + "0" + pack.done.length % 10, serial, carries, by: "B. Bo", here: false, station: "laptop"});
		pack.phone = false; BenchShow.refold(); })()`)
	oneScreen(t, ctx, "bench-clash-in-work", inHand+" clash undo")
	press(t, ctx, "#clash")
	oneScreen(t, ctx, "bench-clash", "clash undo")
	texts := run[[]string](t, ctx, `[...document.querySelectorAll("#differ p, #differ button")].map(e => e.textContent)`)
	seen := map[string]int{}
	for _, text := range texts {
		if seen[text]++; seen[text] > 1 {
			t.Errorf("%q stands there more than once", text)
		}
	}
	all := strings.Join(texts, "\n")
	if strings.Count(all, "1.1.002 carries number 3")+strings.Count(all, "1.1.003 carries number 3") != 1 || strings.Count(all, "was done 3 times") != 1 || strings.Count(all, "was done 2 times") != 1 {
		t.Errorf("the contradictions:\n%s", all)
	}
	press(t, ctx, "#more")
	if open := run[string](t, ctx, `["clashes", "menu", "all", "work"].filter(id => document.getElementById(id).checkVisibility()).join()`); open != "menu" {
		t.Errorf("More opens beside %s", open)
	}
	if top := run[float64](t, ctx, `document.getElementById("menu").getBoundingClientRect().top`); top > 200 {
		t.Errorf("More opens %v pixels down", top)
	}
}

// TestBenchAsksForTheNumber: that nobody read the number back is asked once, by one tap
// more, and with it read nothing is asked. What was typed and cannot be read is refused.
func TestBenchAsksForTheNumber(t *testing.T) {
	s := newServer(t, realTime)
	_, at := benchLoop(t, s, 4, nil)
	ctx, address := openBrowser(t, s)
	smallPhone(t, ctx)
	do(t, ctx, chromedp.Navigate(address+at), chromedp.WaitVisible("#work"))
	until(t, ctx, `document.getElementById("kept").textContent.startsWith("All is handed in")`)
	set := func() string {
		time.Sleep(100 * time.Millisecond)
		return run[string](t, ctx, `document.getElementById("turn").textContent`)
	}
	says := func(want string) {
		t.Helper()
		if got := run[string](t, ctx, `["verdict", "trouble"].map(id => document.getElementById(id).textContent).join(" ")`); !strings.Contains(strings.ToLower(got), strings.ToLower(want)) {
			t.Errorf("the page says %q, want %q", got, want)
		}
		if got := set(); got != "0 of 4 set" {
			t.Fatalf("written all the same: %s", got)
		}
	}
	typeIn(t, ctx, "#serial", "N1")
	press(t, ctx, "2", "5", "#write")
	says("Nobody read number 1 back: it is written down as set, not as read.")
	for text, want := range map[string]string{"": "say which number was read back", "0": "“0” is no number that a device can carry", "1x": "“1x” is no number", "10000": "“10000” is no number"} {
		run[any](t, ctx, `BenchKeys.tap("of:number"); BenchKeys.tap("of:number")`)
		typeIn(t, ctx, "#otherwise input", text)
		press(t, ctx, "#write")
		says(want)
		run[any](t, ctx, `BenchKeys.tap("of:number")`)
	}
	run[any](t, ctx, `BenchKeys.tap("of:blink"); BenchKeys.tap("of:blink")`)
	press(t, ctx, "#write")
	says("say how blink was found")
	run[any](t, ctx, `BenchKeys.tap("of:blink")`)
	press(t, ctx, "next", ".", "#write")
	says("“.” is no value")
	press(t, ctx, "rub", "#write")
	says("Nobody read number 1 back")
	press(t, ctx, "#write")
	until(t, ctx, `document.getElementById("turn").textContent === "1 of 4 set"`)
	typeIn(t, ctx, "#serial", "N2")
	press(t, ctx, "#readback button", "2", "5", "#write")
	until(t, ctx, `document.getElementById("turn").textContent === "2 of 4 set"`)
	points := surveyOf(t, s).Register.Points()
	if points[0].Found != 0 || points[0].SetTo.Number != 1 || points[1].Found != 2 {
		t.Errorf("of the first %d was found, of the second %d", points[0].Found, points[1].Found)
	}
}

// TestOrderSaysHowItBegins: the order of changes promises no more than it keeps: what
// shares a number before the first step is counted, and so is what nobody looked at.
func TestOrderSaysHowItBegins(t *testing.T) {
	s := newServer(t, realTime)
	site, _ := benchLoop(t, s, 12, nil)
	b := visit(t, s)
	survey := surveyOf(t, s)
	for i, p := range survey.Register.Points() {
		if i < 5 {
			if _, err := s.App.AddEntry(t.Context(), survey.Register.Site.ID, app.Note{Point: p.Ref().String(), Body: sootline.Addressed{Listed: 127}}); err != nil {
				t.Fatal(err)
			}
		}
	}
	page := b.get(site + "/numbers/order?loop=1.1")
	holds(t, page, "At the start 5 devices of this loop share a number", "Of 7 devices of this loop nobody said which number it carries", "No step sets a device to a number that another is known to carry.")
	if strings.Contains(page, "ever share") {
		t.Error("the page says that no two ever share a number, and five do")
	}
}

// TestTablesFitAPhone: on a screen of 360 the tables of the bench are whole, with nothing
// cut at the right edge.
func TestTablesFitAPhone(t *testing.T) {
	s := newServer(t, realTime)
	site, _ := benchLoop(t, s, 12, nil)
	ctx, address := openBrowser(t, s)
	smallPhone(t, ctx)
	for _, page := range []string{"/bench", "/numbers/order?loop=1.1"} {
		do(t, ctx, chromedp.Navigate(address+site+page), chromedp.WaitVisible("h1"))
		if wide := run[string](t, ctx, `[...document.querySelectorAll(".scroll")].filter(e => e.scrollWidth > e.clientWidth).map(e => e.ariaLabel + ": " + e.scrollWidth + " of " + e.clientWidth).join()`); wide != "" {
			t.Errorf("%s is cut at the right edge: %s", page, wide)
		}
		if n := run[int](t, ctx, `document.querySelectorAll(".scroll").length`); n == 0 {
			t.Errorf("%s shows no table", page)
		}
		for _, scheme := range []string{"light", "dark"} {
			media(t, ctx, scheme)
			keep(t, ctx, "table-"+strings.Split(strings.Trim(page, "/"), "?")[0][:5]+"-360-"+scheme)
		}
	}
}
