package web

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"sootline/internal/app"
)

// TestWorkInBrowser looks at the pages of intake, numbers and settings on an
// empty site and on the demo.
func TestWorkInBrowser(t *testing.T) {
	empty, emptySite := aSite(t, nil)
	ctx, address := openBrowser(t, empty)
	for _, page := range []string{"/intake", "/numbers", "/settings"} {
		do(t, ctx, chromedp.Navigate(address+emptySite+page), chromedp.WaitVisible("h1"))
		look(t, ctx, "empty-"+strings.Trim(page, "/"))
	}
	s, site := withDemo(t, nil)
	ctx, address = openBrowser(t, s)
	for _, page := range []string{
		"/intake", "/numbers", "/numbers/plan?afresh=1&by=zone", "/numbers/order", "/numbers/cards", "/numbers/found",
		"/settings", "/settings/loop?of=1.1", "/settings/area", "/settings/loads?of=1", "/settings/how?of=" + queryWord(surveyOf(t, s).Register.Sheets()[0].Name), "/settings/type?of=" + queryWord(surveyOf(t, s).Register.Sheets()[0].Name),
	} {
		do(t, ctx, chromedp.Navigate(address+site+page), chromedp.WaitVisible("h1"))
		name, _, _ := strings.Cut(strings.Trim(page, "/"), "?")
		look(t, ctx, strings.ReplaceAll(name, "/", "-"))
	}
	do(t, ctx, chromedp.Navigate(address+"/people"), chromedp.WaitVisible("h1"))
	look(t, ctx, "people")
}

// mixed is a listing as people send them: types, points and readings, some of
// which nobody can use.
func mixed(t *testing.T) []string {
	t.Helper()
	folder := t.TempDir()
	var paths []string
	for name, text := range map[string]string{
		"types.csv":  "Type;Kind of device;Lower limit;Upper limit\nLarch;optical smoke;20;60\n",
		"points.csv": "Panel;Loop;Address;Device type;Location\n1;1;1;Larch;Flour loft\n1;1;2;Larch;Packing\n1;1;3;Larch;Stairs\n",
		"reads.csv":  "Point;Date;Value\n1.1.001;15.03.2025;31\n1.1.001;15.09.2025;64\n1.1.002;15.03.2025;33\n1.1.099;15.03.2025;33\n1.1.003;15.03.2025;dusty\n",
	} {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	return paths
}

// TestIntakeToFinding hands files in, sees what each row would become, takes them
// in and finds what is to be done on a point's page: with script and without any.
func TestIntakeToFinding(t *testing.T) {
	for _, script := range []bool{true, false} {
		t.Run(fmt.Sprintf("script %v", script), func(t *testing.T) {
			s, site := aSite(t, nil)
			ctx, address := openBrowser(t, s)
			if _, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !script}); err != nil {
				t.Fatal(err)
			}
			do(t, ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(address+site+"/intake"), chromedp.WaitVisible("h1"),
				chromedp.SetUploadFiles(`input[type="file"]`, mixed(t)), chromedp.Click(`form[enctype] button.main`), chromedp.WaitVisible("#accept"))
			if script {
				look(t, ctx, "intake-understood")
			}
			do(t, ctx, chromedp.Click(`button[value="take"]`), chromedp.WaitVisible(`.notice[role="status"]`))
			if script {
				look(t, ctx, "intake-taken")
			}
			p := surveyOf(t, s).Register.Points()[0]
			do(t, ctx, chromedp.Navigate(address+pointAddress(surveyOf(t, s), p)), chromedp.WaitVisible("#stands"))
			if said := get(t, ctx, chromedp.Text(".conclusion")); !strings.Contains(said, "above") {
				t.Errorf("the point's page says %q, want that it reads above its band", said)
			}
		})
	}
}

// TestProgress follows work that takes a while: its figures change by themselves,
// and when it is over the page is that of the intake again.
func TestProgress(t *testing.T) {
	s, site := aSite(t, nil)
	b := visit(t, s)
	page := b.handIn(site, "points.csv", pointFile)
	b.settled(page)
	lines, err := s.App.Sites(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	in := s.intakes.of(lines[0].ID.String(), filepath.Base(page))
	next, over := make(chan bool), make(chan bool)
	in.work(s.App, []stage{ready}, taking, func(_ context.Context, a *app.App) (stage, error) {
		a.Working(app.Progress{Done: 60_000, Total: 200_000})
		<-next
		a.Working(app.Progress{Done: 130_000, Total: 200_000})
		<-over
		return ready, nil
	})
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.Navigate(address+page), chromedp.WaitVisible("#progress"))
	look(t, ctx, "intake-progress")
	until := func(what string) {
		t.Helper()
		for range 40 {
			if get(t, ctx, chromedp.Evaluate[bool](what)) {
				return
			}
			do(t, ctx, chromedp.Sleep(250*time.Millisecond))
		}
		t.Fatalf("it never comes to %s", what)
	}
	until(`document.querySelector("progress").value === 60000`)
	next <- true
	until(`document.querySelector("progress").value === 130000`)
	over <- true
	do(t, ctx, chromedp.WaitVisible("#accept"))
}
