package web

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// askedFiles leave every kind of thing open: an order of dates, a spelling, and what the book knows otherwise.
var askedFiles = []string{
	"march.csv", "Point;Date;Value\n1.001;03/04/2025;31\n1.002;05/06/2025;33\n",
	"schedule.csv", "loop;address;type;zone;location;serial;fitted\n1;1;Larch;3;Porch;A-1;2020-01-01\n1;2;Larch;4;Corridor, north;A-9;2024-05-02\n1;3;Larhc;4;Store behind the kitchen;A-3;2021-01-01\n1;4;REMOVED;4;;;\n",
}

// askedSite is a site that knows other things than those files say.
func askedSite(t *testing.T) (*Server, string) {
	t.Helper()
	s, site := aSite(t, nil)
	visit(t, s).takeIn(site, "types.csv", typesFile, "points.csv",
		"loop;address;type;zone;location;serial;fitted\n1;1;Larch;3;Hall;A-1;2020-01-01\n1;2;Larch;3;Corridor, north;A-2;2020-01-01\n1;4;Larch;4;Attic;A-4;2020-01-01\n")
	return s, site
}

// TestIntakeAsksSideBySide: a question shows what each answer would make of the rows, beside the cells; what undoes
// knowledge has its rows and a yes of its own; the take is named, and taken back where it was taken in.
func TestIntakeAsksSideBySide(t *testing.T) {
	s, site := askedSite(t)
	b := visit(t, s)
	address := b.handIn(site, askedFiles...)
	page := b.settled(address)
	holds(t, page, "Row 2, as it stands:", "day 2025-04-03", "day 2025-03-04", "03/04/2025", "So it is",
		"Replace 1 device?", "Rename 1 place?", "Remove 1 point?", "Move 1 point?", "Row 2: the register calls 1.1.001", "Porch",
		"schedule.csv fits 1 point, replaces 1 device (row 3; held until that is allowed)", "1 spelling is open")
	if !strings.Contains(page, `the register has Larch A-4 at 1.1.004, and the row says &#34;REMOVED&#34;`) {
		t.Error("the removal does not show its row")
	}
	page = b.tell(address, "do", "answer", "table", "0", "question", "date_order", "answer", "dmy")
	holds(t, page, "reads 2 values between 2025-04-03 and 2025-06-05")
	page = b.tell(address, "do", "allow", "effect", "rename", "yes", "1")
	holds(t, page, "Yes: it is done when this is taken in.", "renames 1 place (row 2)", "moves 1 point (row 3; held until that is allowed)")
	page = b.tell(address, "do", "allow", "effect", "rename")
	holds(t, page, "renames 1 place (row 2; held until that is allowed)")
	b.tell(address, "do", "allow", "effect", "rename", "yes", "1")
	page = b.tell(address, "do", "take")
	holds(t, page, "Taken in", "This take is", "back whole")
	if p := surveyOf(t, s).Register.Points(); p[0].Location != "Porch" || p[1].Unit.Serial != "A-2" || len(p) != 4 {
		t.Errorf("the points are %q, %q, %d in all", p[0].Location, p[1].Unit.Serial, len(p))
	}
	if res := b.post(address, map[string][]string{"do": {"allow"}, "effect": {"rewrite"}, "yes": {"1"}}); res.StatusCode == 500 {
		t.Error("a word for no effect gives", res.StatusCode)
	}
}

// TestIntakeQuestionsInBrowser looks at what is asked, on a phone and at a desk, dark and light, and answers it.
func TestIntakeQuestionsInBrowser(t *testing.T) {
	s, site := askedSite(t)
	ctx, address := openBrowser(t, s)
	in := visit(t, s).handIn(site, askedFiles...)
	do(t, ctx, chromedp.Navigate(address+in), chromedp.WaitVisible("table.readings"))
	look(t, ctx, "intake-asks")
	do(t, ctx, chromedp.EmulateViewport(360, 740))
	keep(t, ctx, "intake-asks-small")
	noSideways(t, ctx, "intake-asks-small")
	do(t, ctx, chromedp.EmulateViewport(1440, 900),
		chromedp.Click(`table.readings button[value="dmy"]`), chromedp.WaitNotPresent("table.readings"),
		chromedp.Click(`form:has(input[value="rename"]) button[name="yes"]`), chromedp.WaitVisible(`form:has(input[value="rename"]) strong`),
		chromedp.Navigate(address+in+"?table=1"), chromedp.WaitVisible("#spelled-0"))
	look(t, ctx, "intake-spelling")
	do(t, ctx, chromedp.Click(`button[name="means"][value="Larch"]`), chromedp.WaitNotPresent("#spelled-0"),
		chromedp.Click(`button[value="take"]`), chromedp.WaitVisible(`form[action$="/undo"] button`))
	look(t, ctx, "intake-named")
	do(t, ctx, chromedp.Click(`form[action$="/undo"] button`), chromedp.WaitVisible("#acts"))
	if said := get(t, ctx, chromedp.Text("main")); !strings.Contains(said, "taken back by") {
		t.Error("the list of takes does not say that it was taken back")
	}
	look(t, ctx, "intake-acts")
}

// TestLogFoldsTakes: the log book has one line for a take, with a way to what it wrote; a filter looks at every entry.
func TestLogFoldsTakes(t *testing.T) {
	s, site := askedSite(t)
	b := visit(t, s)
	page := b.get(site + "/log")
	holds(t, page, "listing taken in", "What it wrote", "written by takes, each of which is one line here")
	if strings.Contains(page, "Corridor, north") {
		t.Error("the folded log shows what the take wrote")
	}
	holds(t, b.get(site+"/log?every=1"), "Corridor, north", "listing taken in")
	holds(t, b.get(site+"/log?q=Corridor"), "Corridor, north")
	of := b.get(site + "/log?take=2026-01-20-1")
	holds(t, of, "Corridor, north", "Take 2026-01-20-1 and what it wrote")
	if strings.Contains(of, "site Works") {
		t.Error("what the take wrote holds an entry that it did not write")
	}
	if res := b.do("GET", site+"/log?take=none", "", nil); res.StatusCode != 404 {
		t.Errorf("a take that is none gives %d", res.StatusCode)
	}
}
