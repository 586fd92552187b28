package jobs

import (
	"context"
	_ "embed" // the measures are written in the language of the page
	"fmt"
	"net/url"
	"regexp"
	"strings"

	"github.com/chromedp/chromedp"
)

//go:embed measure.js
var measure string

//go:embed targets.js
var targets string

// Wrong is something that a page does not keep, by the shape of its address.
type Wrong struct{ Page, What, Detail string }

// Key names it in a list of what is known.
func (w Wrong) Key() string { return w.Page + " | " + w.What }

// mostBytes is how large a page may be at 5,000 points.
const mostBytes = 50_000

// builders are words of whoever built the program, and values that a template printed as the language writes them.
var builders = regexp.MustCompile(`(?i)\bfrom memory\b|\(remembered\)|samples \[|\bof it from others\b|it is as it was typed|break@|\bnumber, found\b|its exact interval|\b(?:rebased|withdrawn)\b|\b\d+ of them\b|<nil>|%!|\bmap\[|\[\{|\s\[\]`)

// digits differ from book to book.
var digits = regexp.MustCompile(`\d+`)

// link finds the addresses that a page leads to.
var link = regexp.MustCompile(`<a[^>]*\shref="([^"#]+)`)

// Get asks for a page and gives its text, the status and the kind of the answer.
type Get func(address string) (body string, status int, kind string, err error)

// Crawl reaches pages by links alone, one of each shape of address, and three of one path with questions behind it.
// It gives their addresses with the size of their HTML in bytes, in the order in which they were reached.
func Crawl(server string, get Get, most int) ([]string, map[string]int, []Wrong, error) {
	queue, sizes := []string{server}, map[string]int{}
	known, asked := map[string]bool{shape(server): true}, map[string]int{}
	var pages []string
	var wrong []Wrong
	for len(queue) > 0 && len(pages) < most {
		at := queue[0]
		queue = queue[1:]
		body, status, kind, err := get(at)
		if err != nil {
			return nil, nil, nil, err
		}
		if status >= 400 {
			wrong = append(wrong, Wrong{shape(at), "a link that leads to an error", fmt.Sprint(status)})
		}
		if !strings.HasPrefix(kind, "text/html") {
			continue
		}
		pages, sizes[at] = append(pages, at), len(body)
		for _, found := range link.FindAllStringSubmatch(body, -1) {
			next := join(at, found[1])
			path, _, question := strings.Cut(shape(next), "?")
			if away(next, host(server)) || known[shape(next)] || question && asked[path] >= 3 {
				continue
			}
			if question {
				asked[path]++
			}
			known[shape(next)] = true
			queue = append(queue, next)
		}
	}
	return pages, sizes, wrong, nil
}

func join(from, to string) string {
	base, err := url.Parse(from)
	if err != nil {
		return to
	}
	at, err := base.Parse(strings.ReplaceAll(to, "&amp;", "&"))
	if err != nil {
		return to
	}
	return at.String()
}

func host(address string) string {
	at, err := url.Parse(address)
	if err != nil {
		return ""
	}
	return at.Host
}

// Measures are the ways in which every page is looked at.
var measures = []Way{
	{Name: "360 by 740", Width: 360, Height: 740},
	{Name: "1440 by 900", Width: 1440, Height: 900},
	{Name: "320 wide", Width: 320, Height: 640},
	{Name: "text at 200 %", Width: 360, Height: 740, Large: true},
}

// Measure looks at a page in every way. Site is the name that has to be in sight, "" for none; axe is the text of
// axe-core, "" to leave it out.
func (t *Tab) Measure(at, site string, size int, axe string) ([]Wrong, error) {
	page := shape(at)
	var wrong []Wrong
	add := func(what, detail string) { wrong = append(wrong, Wrong{page, what, detail}) }
	if size > mostBytes {
		add("more than 50 kB of HTML", fmt.Sprintf("%d bytes", size))
	}
	for _, way := range measures {
		if err := t.sit(way); err != nil {
			return wrong, err
		}
		if err := t.Go(at); err != nil {
			return wrong, err
		}
		if err := t.laidOut(way, site, add); err != nil {
			return wrong, err
		}
		if way.Name == measures[0].Name {
			if err := t.words(axe, add); err != nil {
				return wrong, err
			}
		}
	}
	return wrong, nil
}

// laidOut measures what depends on the screen.
func (t *Tab) laidOut(way Way, site string, add func(what, detail string)) error {
	past, err := chromedp.Run(t.ctx, chromedp.Evaluate[int](wider))
	if err != nil {
		return err
	}
	if past > 1 {
		add("past the side at "+way.Name, fmt.Sprintf("by %d px", past))
	}
	if way.Large || way.Width == 320 {
		return nil
	}
	found, err := chromedp.Run(t.ctx, chromedp.Evaluate[[]string](fmt.Sprintf("%s(%q)", strings.TrimSpace(measure), site)))
	if err != nil {
		return err
	}
	for _, what := range found {
		add(what+" at "+way.Name, "")
	}
	return nil
}

// words looks for words that do not belong on the page, and at targets and what axe finds.
func (t *Tab) words(axe string, add func(what, detail string)) error {
	text := t.Text()
	for _, word := range once(builders.FindAllString(text, -1)) {
		add("a builder's word: "+digits.ReplaceAllString(strings.TrimSpace(word), "N"), word)
	}
	for _, word := range ShellWords(text) {
		add("a word of a shell: "+strings.TrimSpace(word), "")
	}
	small, err := chromedp.Run(t.ctx, chromedp.Evaluate[[]string](targets))
	if err != nil {
		return err
	}
	if len(small) > 0 {
		add("targets below 24 px", fmt.Sprintf("%d: %s", len(small), cut(strings.Join(small, ", "), 200)))
	}
	if axe == "" {
		return nil
	}
	found, err := violations(t.ctx, axe)
	for _, one := range found {
		add("axe: "+one, "")
	}
	return err
}

// violations runs axe in the page by the rules of WCAG 2.2 at level AA and below.
func violations(ctx context.Context, axe string) ([]string, error) {
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[any](axe+";0")); err != nil {
		return nil, err
	}
	const run = `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then(r => r.violations.map(v => v.id))`
	return chromedp.Run(ctx, chromedp.Evaluate[[]string](run, chromedp.EvalAwaitPromise))
}

// Sites gives the names of sites by the addresses of their pages, by pressing their names on the first page.
func (t *Tab) Sites(names ...string) (map[string]string, error) {
	sites := map[string]string{}
	for _, name := range names {
		p := &Person{Tab: t, Way: Ways[0]}
		p.begin()
		p.Press(name)
		if fell := p.Rise(); fell != nil {
			return nil, fmt.Errorf("%s: %s", fell.Step, fell.Instead)
		}
		at, err := chromedp.Run(t.ctx, chromedp.Location())
		if err != nil {
			return nil, err
		}
		sites[at] = name
	}
	return sites, nil
}
