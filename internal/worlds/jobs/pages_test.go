package jobs_test

import (
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

// TestPages measures every page that links lead to, in a book of two sites of which one is large, and holds what is
// wrong against what is known.
func TestPages(t *testing.T) {
	needBrowser(t)
	if testing.Short() {
		t.Skip("pages are measured without -short")
	}
	large := filledBook(t, program(t), points())
	tell(t, "testdata/pages.txt", measured(t, large, []string{jobs.SiteName, jobs.SecondSite}))
}

// TestPagesOfTheDemo does the same with the invented site, on which much went wrong, so that more words are seen.
func TestPagesOfTheDemo(t *testing.T) {
	needBrowser(t)
	if testing.Short() {
		t.Skip("pages are measured without -short")
	}
	demo := &book{program: program(t), folder: t.TempDir(), file: "demo/demo.db"}
	if err := demo.run("demo"); err != nil {
		t.Fatal(err)
	}
	tell(t, "testdata/pages_demo.txt", measured(t, demo, []string{"Wendlequay Harbour Works"}))
}

// measured crawls the pages of a book and measures each.
func measured(t *testing.T, b *book, names []string) []jobs.Wrong {
	t.Helper()
	axe, err := os.ReadFile(axeFile)
	if err != nil {
		t.Fatal(err)
	}
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
	tab, closing, err := jobs.OpenTab(browser(t), address, jobs.Ways[0])
	if err != nil {
		t.Fatal(err)
	}
	defer closing()
	sites, err := tab.Sites(names...)
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range pages {
		found, err := tab.Measure(page, siteOf(page, sites), sizes[page], string(axe))
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

func tell(t *testing.T, path string, wrong []jobs.Wrong) {
	t.Helper()
	var keys []string
	var told strings.Builder
	for _, w := range wrong {
		fmt.Fprintf(&told, "%s %s\n", w.Key(), w.Detail)
		keys = append(keys, w.Key())
	}
	t.Log("\n" + told.String())
	against(t, path, keys)
}
