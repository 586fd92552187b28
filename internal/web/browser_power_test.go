package web

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"sootline"
)

// TestPowerAndLogPages looks at the pages of the circuit and of the log book.
func TestPowerAndLogPages(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	for _, page := range []struct{ name, address string }{
		{"power", "/power"},
		{"power-what-if", "/power?add=20&type=Snoddle&mm2=0.5&isolator=1.1.010&fault=break@1.1.003,short@IN&sort=margin"},
		{"power-wrong", "/power?mm2=thin"},
		{"power-advice", "/power/advice?type=Snoddle"},
		{"power-design", "/power/design?chart=1&beside=mm2%3D4&" + aDesign},
		{"power-find", "/power/find?find=short&out=6.4&in=11.2"},
		{"power-lead", "/power/lead"},
		{"power-led", "/power/lead?says=short&who=none"},
		{"battery", "/battery?loads=panel=1x120/250&rated=7&amps=0.7&hours=7.2&years=3"},
		{"log", "/log"},
		{"log-filtered", "/log?kind=read&point=1.1.004"},
		{"log-none", "/log?q=no-such-words"},
		{"log-verify", "/log/verify"},
	} {
		do(t, ctx, chromedp.Navigate(address+site+page.address), chromedp.WaitVisible("h1"))
		look(t, ctx, page.name)
	}
	do(t, ctx, chromedp.Navigate(address+anEntry(t, s, site, sootline.ReadKind)), chromedp.WaitVisible("h1"))
	look(t, ctx, "log-entry")
}

// TestWhatIfWhileTyping types a cross-section: the answer changes under the form,
// the focus stays in the field, and the address can be shared.
func TestWhatIfWhileTyping(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(1024, 768), chromedp.Navigate(address+site+"/power"), chromedp.WaitVisible("#told"), chromedp.Click("#what-if summary"))
	const heading = `(document.getElementById("told") || {}).innerText || ""` // it is replaced under the browser's hand
	before := get(t, ctx, chromedp.Evaluate[string](heading))
	do(t, ctx, chromedp.Focus(`[name="mm2"]`), chromedp.KeyEvent("0.5"))
	after := ""
	for range 50 {
		do(t, ctx, chromedp.Sleep(100*time.Millisecond))
		if after = get(t, ctx, chromedp.Evaluate[string](heading)); after != before {
			break
		}
	}
	if said := get(t, ctx, chromedp.Text(".conclusion")); !strings.HasPrefix(said, "▲ As it would be") && !strings.HasPrefix(said, "· As it would be") {
		t.Errorf("the conclusion stays what it was: %q", said)
	}
	if before != "As it is" || after != "As it would be" {
		t.Errorf("the heading goes from %q to %q", before, after)
	}
	if focus := get(t, ctx, chromedp.Evaluate[string](`document.activeElement.name`)); focus != "mm2" {
		t.Errorf("the focus is on %q", focus)
	}
	if at := get(t, ctx, chromedp.Evaluate[string](`location.search`)); !strings.Contains(at, "mm2=0.5") {
		t.Errorf("the address is %s", at)
	}
	accessible(t, ctx, "what-if while typing")
}

// noScript switches scripts off.
func noScript(t *testing.T, ctx context.Context) {
	t.Helper()
	if _, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
}

// TestWhatIfWithoutScript does the same with scripts switched off, by the button.
func TestWhatIfWithoutScript(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	noScript(t, ctx)
	do(t, ctx, chromedp.Navigate(address+site+"/power"), chromedp.WaitVisible("#told"), chromedp.Click("#what-if summary"), chromedp.Focus(`[name="mm2"]`), chromedp.KeyEvent("0.5"+kb.Enter), chromedp.Sleep(time.Second))
	if text := get(t, ctx, chromedp.Text("#told")); text != "As it would be" {
		t.Errorf("the heading is %q", text)
	}
}

// TestCorrectInBrowser corrects an entry by its page.
func TestCorrectInBrowser(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	entry := anEntry(t, s, site, sootline.ReadKind)
	do(t, ctx, chromedp.Navigate(address+entry), chromedp.WaitVisible("#correct"),
		chromedp.SetValue(`.entry [name="samples"]`, "27 27 28"), chromedp.Focus(`.entry [name="why"]`), chromedp.KeyEvent("misread"+kb.Enter), chromedp.WaitVisible(".amended"))
	if text := get(t, ctx, chromedp.Text(".amended")); !strings.Contains(text, "misread") {
		t.Errorf("the page says %q", text)
	}
	keep(t, ctx, "log-corrected")
}
