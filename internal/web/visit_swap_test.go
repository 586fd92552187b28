package web

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline"
)

// TestSwapLooks swaps a unit on a visit: the card is open, the unit that is there is
// refused, one that is written down elsewhere and a number that is not the point's are
// asked about, and written when it is so.
func TestSwapLooks(t *testing.T) {
	s, site := withDemo(t, ticking())
	openAt(t, visit(t, s), site, nil)
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(390, 844), chromedp.Navigate(address+"/capture#"+strings.TrimPrefix(site, "/site/")), chromedp.WaitVisible("#point"))
	until(t, ctx, `document.getElementById("number").textContent !== ""`)
	var here, other *sootline.Point
	at := run[string](t, ctx, `document.getElementById("ref").textContent`)
	for _, p := range surveyOf(t, s).Register.Points() {
		switch {
		case p.Ref().String() == at:
			here = p
		case p.Unit.Serial != "":
			other = p
		}
	}
	if here == nil || other == nil || here.Unit.Serial == "" {
		t.Fatal("the demo has no two units with serials")
	}
	swap := func(serial string, number int) string {
		return run[string](t, ctx, fmt.Sprintf(`(() => { const $ = id => document.getElementById(id); document.querySelector("[data-mode=replaced]").click();
			for (const [id, text] of [["serial", %q], ["setnumber", "%d"]]) { $(id).value = text; $(id).dispatchEvent(new Event("input")); }
			$("write").click(); return $("trouble").textContent + "|" + $("cardbox").open + "|" + $("serial").value; })()`, serial, number))
	}
	for _, c := range []struct {
		serial string
		number int
		want   string
	}{
		{here.Unit.Serial, here.Number(), "Device " + here.Unit.Serial + " is the one that is there already.|true|" + here.Unit.Serial},
		{other.Unit.Serial, here.Number(), "Device " + other.Unit.Serial + " is written down at " + other.Ref().String() + ".|true|" + other.Unit.Serial},
		{"NEW-1", here.Number() + 1, fmt.Sprintf("It answers to %d, and %d was to be set.|true|NEW-1", here.Number()+1, here.Number())},
	} {
		if got := swap(c.serial, c.number); got != c.want {
			t.Errorf("%s at number %d: the page says %q, want %q", c.serial, c.number, got, c.want)
		}
	}
	if n := run[int](t, ctx, `VisitStore.all("entries").then(all => all.length)`); n != 0 {
		t.Errorf("%d entries were written before anybody was certain", n)
	}
	run[any](t, ctx, `document.getElementById("write").click()`)
	until(t, ctx, `(await VisitStore.all("entries")).some(e => e.kind === "replaced" && e.body.serial === "NEW-1")`)
}
