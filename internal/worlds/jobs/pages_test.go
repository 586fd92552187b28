package jobs_test

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"strings"
	"testing"

	"sootline/internal/worlds/jobs"
)

// axeFile is axe-core, where it lies beside the pages already.
const axeFile = "../../web/testdata/axe/axe.min.js"

// TestPages measures every page that links lead to, in a book of two sites, and holds what is wrong against what is
// known.
func TestPages(t *testing.T) {
	needBrowser(t)
	axe, err := os.ReadFile(axeFile)
	if err != nil {
		t.Fatal(err)
	}
	path, ctx := program(t), browser(t)
	demo := &book{program: path, folder: t.TempDir(), file: "demo/demo.db"}
	if err := demo.run("demo"); err != nil {
		t.Fatal(err)
	}
	var all []jobs.Wrong
	for _, one := range []struct {
		book  *book
		sites []string
	}{{filledBook(t, path, points()), []string{jobs.SiteName, jobs.SecondSite}}, {demo, []string{"Wendlequay Harbour Works"}}} {
		all = append(all, measured(t, ctx, one.book, one.sites, string(axe))...)
	}
	tell(t, all)
}

// measured crawls the pages of a book and measures each.
func measured(t *testing.T, ctx context.Context, b *book, names []string, axe string) []jobs.Wrong {
	t.Helper()
	address, err := b.serve()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = b.stop() }) // how it ends says nothing of the pages
	pages, sizes, wrong, err := jobs.Crawl(address, fetch, 120)
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) < 20 {
		t.Fatalf("links led to %d pages only", len(pages))
	}
	t.Logf("%s: %d pages", names[0], len(pages))
	tab, closing, err := jobs.OpenTab(ctx, address, jobs.Ways[0])
	if err != nil {
		t.Fatal(err)
	}
	defer closing()
	sites, err := tab.Sites(names...)
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range pages {
		found, err := tab.Measure(page, siteOf(page, sites), sizes[page], axe)
		if err != nil {
			t.Errorf("%s: %v", page, err)
		}
		wrong = append(wrong, found...)
	}
	outside, failed := tab.Network()
	for _, what := range outside {
		t.Errorf("a request left the server: %s", what)
	}
	for _, what := range failed {
		wrong = append(wrong, jobs.Wrong{Page: "network", What: "an error answered: " + what})
	}
	return wrong
}

func fetch(at string) (body string, status int, kind string, err error) {
	answer, err := http.Get(at)
	if err != nil {
		return "", 0, "", err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	return string(text), answer.StatusCode, answer.Header.Get("Content-Type"), err
}

// siteOf gives the name of the site whose page it is, "" for a page of the book.
func siteOf(page string, sites map[string]string) string {
	for address, name := range sites {
		if page == address || strings.HasPrefix(page, address+"/") || strings.HasPrefix(page, address+"?") {
			return name
		}
	}
	return ""
}

func tell(t *testing.T, wrong []jobs.Wrong) {
	t.Helper()
	var keys []string
	var told strings.Builder
	for _, w := range wrong {
		fmt.Fprintf(&told, "%s %s\n", w.Key(), w.Detail)
		keys = append(keys, w.Key())
	}
	t.Log("\n" + told.String())
	against(t, "testdata/pages.txt", keys)
}
