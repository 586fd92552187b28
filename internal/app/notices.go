package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"sootline"
)

// Notice is what somebody who asked for it is told of a site: alarms, faults and what is out of use, as they were heard.
type Notice struct {
	Site  string    `json:"site"`
	At    time.Time `json:"at"`
	Lines []string  `json:"lines"`
	More  int       `json:"more,omitempty"` // that happened besides, and is in the log
}

// Text is the notice in words.
func (n *Notice) Text() string {
	text := strings.Join(n.Lines, "\n")
	if n.More > 0 {
		text += fmt.Sprintf("\nand %d more, which are in the log", n.More)
	}
	return text
}

// Notices hands notices on at a limited pace: the first at once, what comes within the pause after it together.
type Notices struct {
	Send  func(context.Context, Notice) error
	Say   func(string)
	Pause time.Duration // between two of one site
	Now   func() time.Time

	lock  sync.Mutex
	sites map[sootline.ID]*noticed
}

// noticed is what waits of a site.
type noticed struct {
	name  string
	sent  time.Time // when something was sent last, or tried
	wait  []string
	more  int
	tries int
}

// A notice holds so many lines, and is tried so often.
const (
	linesOfNotice = 20
	triesOfNotice = 8
)

// Heard takes what was written of what was heard. Tests, and what was heard in a visit, are no news; nor is what is old.
func (n *Notices) Heard(site sootline.ID, name string, t *Told, zone *time.Location) {
	for i := range t.Wrote {
		e := &t.Wrote[i]
		switch body := e.Body.(type) {
		case sootline.Alarm:
			if body.Category == sootline.TestAlarm {
				continue
			}
		case sootline.Fault, sootline.Disabled:
		default:
			continue
		}
		if n.Now().Sub(e.At) > noticeOld {
			continue
		}
		n.add(site, name, sootline.Joined(e.At.In(zone).Format("2006-01-02 15:04 MST"), t.Point, sootline.Say(e.Body)))
	}
}

// noticeOld is after how long what was heard is no news any more.
const noticeOld = 6 * time.Hour

func (n *Notices) add(site sootline.ID, name, line string) {
	n.lock.Lock()
	defer n.lock.Unlock()
	if n.sites == nil {
		n.sites = map[sootline.ID]*noticed{}
	}
	s := n.sites[site]
	if s == nil {
		s = &noticed{name: name}
		n.sites[site] = s
	}
	if len(s.wait) == linesOfNotice {
		s.more++
		return
	}
	s.wait = append(s.wait, line)
}

// Run sends what is due until ctx ends. What waits then is in the log.
func (n *Notices) Run(ctx context.Context) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			n.due(ctx)
		}
	}
}

// due sends what has waited for its pause.
func (n *Notices) due(ctx context.Context) {
	for s, notice := range n.ready() {
		err := n.Send(ctx, notice)
		n.lock.Lock()
		if err == nil {
			s.taken(&notice)
		} else if s.tries++; s.tries == triesOfNotice {
			n.Say(fmt.Sprintf("a notice of %s is given up after %d tries: %v", s.name, s.tries, err))
			s.taken(&notice)
		} else {
			n.Say("a notice of " + s.name + " was not taken, and is tried again: " + err.Error())
		}
		n.lock.Unlock()
	}
}

// taken drops what was sent; what came meanwhile waits for the next.
func (s *noticed) taken(sent *Notice) {
	s.wait, s.more, s.tries = s.wait[len(sent.Lines):], s.more-sent.More, 0
}

// ready gives what is to be sent now.
func (n *Notices) ready() map[*noticed]Notice {
	n.lock.Lock()
	defer n.lock.Unlock()
	due := map[*noticed]Notice{}
	for _, s := range n.sites {
		if len(s.wait) > 0 && n.Now().Sub(s.sent) >= n.Pause {
			s.sent = n.Now()
			due[s] = Notice{Site: s.name, At: s.sent, Lines: slices.Clone(s.wait), More: s.more}
		}
	}
	return due
}
