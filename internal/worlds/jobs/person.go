package jobs

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// Stumble is a step that found nothing on the screen to go on with.
type Stumble struct {
	Job, Way, Stage, Step string
	Instead               string // what was there
}

// Key is the stumble without what was there instead: it names it in a list of known ones.
func (s Stumble) Key() string { return fmt.Sprintf("%s | %s | %s | %s", s.Job, s.Way, s.Stage, s.Step) }

// Person is somebody at a tab. After a stumble nothing is done any more until Rise.
type Person struct {
	Tab  *Tab
	Way  Way
	Book Book

	Pictures string // the folder for pictures of what a person stumbled over; none where it is empty

	job, stage string
	fell       *Stumble
	last       cdp.BackendNodeID // the field that was filled last

	Presses, Keys, Pages int
	Shell                []string // words of a shell that were read, with the page's heading
	Wide                 []string // headings of pages that reach past the side of the screen
}

// Seconds is how long a practised person needs: the keystroke-level model of Card, Moran and Newell (1980), from
// memory: 0.28 s a key, 1.1 s to point, 1.35 s to think before each press; and 5 s to read a new page (assumed).
func (p *Person) Seconds() float64 {
	return 0.28*float64(p.Keys) + (1.1+1.35)*float64(p.Presses) + 5*float64(p.Pages)
}

// Fell says whether the person has stumbled.
func (p *Person) Fell() bool { return p.fell != nil }

// Rise gives the stumble, if there was one, and lets the person go on.
func (p *Person) Rise() *Stumble {
	s := p.fell
	p.fell = nil
	return s
}

func (p *Person) stumble(step, why string) {
	if p.fell != nil {
		return
	}
	things, _ := p.Tab.Things()
	text := strings.Fields(p.Tab.Main())
	if len(text) > 25 {
		text = text[:25]
	}
	instead := fmt.Sprintf("%s; on %q, which begins %q, there was: %s", why, p.heading(things), strings.Join(text, " "), shown(things))
	if said := p.Tab.Alert(); said != "" {
		instead = fmt.Sprintf("%s; it said %q", instead, said)
	}
	p.picture()
	p.fell = &Stumble{Job: p.job, Way: p.Way.Name, Stage: p.stage, Step: step, Instead: instead}
}

// picture keeps what the screen shows. A picture that fails says nothing of the page.
func (p *Person) picture() {
	if p.Pictures == "" {
		return
	}
	picture, err := chromedp.Run(p.Tab.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return
	}
	name := strings.ReplaceAll(strings.Join([]string{p.job, p.Way.Name, p.stage}, "_"), " ", "-") + ".png"
	_ = os.WriteFile(filepath.Join(p.Pictures, name), picture, 0o644)
}

func (p *Person) heading(things []Thing) string {
	for _, thing := range things {
		if thing.Role == "heading" && thing.Name != "" {
			return thing.Name
		}
	}
	return ""
}
