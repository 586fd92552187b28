package jobs

import (
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Way is how somebody sits before the page.
type Way struct {
	Name          string
	Width, Height int64 // CSS pixels
	Large         bool  // the person's own text size is twice the usual one
	Keys          bool  // by keyboard only
	NoScript      bool
}

// Ways are those in which every job is played.
var Ways = []Way{
	{Name: "desk", Width: 1440, Height: 900},
	{Name: "phone", Width: 360, Height: 740},
	{Name: "keyboard", Width: 1440, Height: 900, Keys: true},
	{Name: "narrow", Width: 320, Height: 640},
	{Name: "large text", Width: 360, Height: 740, Large: true},
	{Name: "no script", Width: 1440, Height: 900, NoScript: true},
}

// Usual text of a browser, and a fixed pitch, in CSS pixels (what Chromium comes with).
const standardText, fixedText = 16, 13

// Tab is one page of the browser with its network log.
type Tab struct {
	ctx  context.Context
	host string

	mu      sync.Mutex
	open    map[network.RequestID]time.Time
	bytes   map[string]float64 // of the body of documents, by address without fragment
	outside []string
	wrong   []string
	asked   int // requests so far
}

// OpenTab looks at the server at address in the given way. The allocator belongs to the caller; closing ends the tab.
func OpenTab(allocator context.Context, address string, way Way) (*Tab, func(), error) {
	ctx, closing := chromedp.NewContext(allocator)
	at, err := url.Parse(address)
	if err != nil {
		closing()
		return nil, nil, err
	}
	t := &Tab{ctx: ctx, host: at.Host, open: map[network.RequestID]time.Time{}, bytes: map[string]float64{}}
	if err := chromedp.Listen(ctx, t.note); err != nil {
		closing()
		return nil, nil, err
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		closing()
		return nil, nil, err
	}
	if err := t.sit(way); err != nil {
		closing()
		return nil, nil, err
	}
	return t, closing, t.Go(address)
}

// sit sets the screen, the size of text and whether scripts run.
func (t *Tab) sit(way Way) error {
	if err := chromedp.Do(t.ctx, chromedp.EmulateViewport(way.Width, way.Height)); err != nil {
		return err
	}
	times := int64(1)
	if way.Large {
		times = 2
	}
	sizes := page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: times * standardText, Fixed: times * fixedText}}
	if _, err := chromedp.Call(t.ctx, page.SetFontSizes, sizes); err != nil {
		return err
	}
	_, err := chromedp.Call(t.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: way.NoScript})
	return err
}

// Go opens an address as one that was typed, once: the first page. Jobs go on by what they see.
func (t *Tab) Go(address string) error {
	if err := chromedp.Do(t.ctx, chromedp.Navigate(address)); err != nil {
		return fmt.Errorf("%s does not open: %w", address, err)
	}
	return t.Settle()
}

// note keeps the network log. It runs where the messages of the browser are read.
func (t *Tab) note(event any) {
	t.mu.Lock()
	defer t.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		t.asked++
		if away(e.Request.URL, t.host) {
			t.outside = append(t.outside, e.Request.URL)
		}
		if e.Type != network.ResourceTypeEventSource && e.Type != network.ResourceTypeWebSocket {
			t.open[e.RequestID] = time.Now()
		}
	case *network.EventResponseReceived:
		if e.Response.Status >= 400 {
			t.wrong = append(t.wrong, fmt.Sprintf("%d at %s", e.Response.Status, shape(e.Response.URL)))
		}
	case *network.EventLoadingFinished:
		delete(t.open, e.RequestID)
	case *network.EventLoadingFailed:
		if _, known := t.open[e.RequestID]; known && !e.Canceled && e.Type != network.ResourceTypeOther {
			t.wrong = append(t.wrong, e.ErrorText)
		}
		delete(t.open, e.RequestID)
	}
}

// away says whether an address is that of another server. Data that a page holds itself goes nowhere.
func away(address, host string) bool {
	at, err := url.Parse(address)
	if err != nil {
		return true
	}
	return !slices.Contains([]string{"data", "blob", "about", "chrome"}, at.Scheme) && at.Host != host
}

// Asked counts the requests so far.
func (t *Tab) Asked() int {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.asked
}

// Begun waits until a press has led to a request, 0.8 s at most: not every press leads to one, and a busy machine is slow.
func (t *Tab) Begun(before int) {
	for range 32 {
		if t.Asked() > before {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
}

// Settle waits until the page is there and asks for nothing any more, 20 s at most.
func (t *Tab) Settle() error {
	time.Sleep(60 * time.Millisecond) // a press takes a moment to become a request
	quiet := 0
	for range 400 {
		state, err := chromedp.Run(t.ctx, chromedp.Evaluate[string]("document.readyState"))
		if err != nil && t.ctx.Err() != nil {
			return err
		}
		t.mu.Lock()
		busy := len(t.open)
		t.mu.Unlock()
		if err == nil && state == "complete" && busy == 0 {
			quiet++
		} else {
			quiet = 0
		}
		if quiet >= 3 {
			return nil
		}
		time.Sleep(25 * time.Millisecond)
	}
	return fmt.Errorf("the page still asked for something after 20 s")
}

// Network gives what left the server and what it answered with an error, each once, in order.
func (t *Tab) Network() (outside, wrong []string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return once(t.outside), once(t.wrong)
}

// Errors counts the answers so far that were errors.
func (t *Tab) Errors() int {
	t.mu.Lock()
	defer t.mu.Unlock()
	return len(t.wrong)
}

// Main is what can be read in the main part of the page, or on all of it where it has none.
func (t *Tab) Main() string {
	text, err := chromedp.Run(t.ctx, chromedp.Evaluate[string](`(document.querySelector("main, [role=main]") || document.body || {innerText: ""}).innerText`))
	if err != nil {
		return ""
	}
	return text
}

// Alert is what the page says first to who listens: the text of its alerts and states.
func (t *Tab) Alert() string {
	text, err := chromedp.Run(t.ctx, chromedp.Evaluate[string](`[...document.querySelectorAll("[role=alert], [role=status]")].map(e => e.innerText).join(" ")`))
	if err != nil {
		return ""
	}
	return cut(strings.Join(strings.Fields(text), " "), 200)
}

// Body is what can be read on the page but at its foot, which says the same on each.
func (t *Tab) Body() string {
	const body = `[...(document.body || {children: []}).children].filter(e => !e.matches("footer, [role=contentinfo]")).map(e => e.innerText).join("\n")`
	text, err := chromedp.Run(t.ctx, chromedp.Evaluate[string](body))
	if err != nil {
		return ""
	}
	return text
}

// Text is what can be read on the page, as laid out.
func (t *Tab) Text() string {
	text, err := chromedp.Run(t.ctx, chromedp.Evaluate[string]("document.body ? document.body.innerText : ''"))
	if err != nil {
		return ""
	}
	return text
}

func once(all []string) []string {
	all = slices.Clone(all)
	slices.Sort(all)
	return slices.Compact(all)
}

// plain folds case and space, as an eye does.
func plain(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
