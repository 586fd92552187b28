package app

import (
	"cmp"
	"context"
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/live"
	"sootline/internal/store"
)

// TaughtBy is what a person says of some lines of a source, as the pages and the API hand it in.
type TaughtBy struct {
	Source, Panel string
	From          int64 // where the lines begin whose numbers are meant, as [App.LastHeard] gave it
	Marked        []MarkedLine
	Words         map[string]string // what words mean
}

// MarkedLine is a record that was marked: the numbers of its lines, and its parts in the order in which they are printed.
type MarkedLine struct {
	First, Last int
	Parts       []MarkedPart
}

// MarkedPart is a part of a record: its role, what stands there, and what that means where it is the event. After is how many
// letters stand before it at least.
type MarkedPart struct {
	Role, Value, Means string
	After              int
}

// TeachBy learns how the lines of a source are read, and keeps nothing.
func (a *App) TeachBy(ctx context.Context, site store.SiteLine, by TaughtBy) (*Taught, error) {
	heard, err := a.HeardFrom(ctx, site.ID, by.Source, by.From)
	if err != nil {
		return nil, err
	}
	t := Teaching{Source: by.Source, Panel: by.Panel, Heard: heard.Chunks, Words: map[string]live.Event{}}
	for _, m := range by.Marked {
		said, err := partsOf(m.Parts)
		if err != nil {
			return nil, err
		}
		example, err := live.ExampleOf(heard.Chunks, m.First, max(m.First, m.Last), said)
		if err != nil {
			return nil, err
		}
		t.Examples = append(t.Examples, example)
	}
	for word, name := range by.Words {
		means, ok := live.EventNamed(name)
		if !ok {
			return nil, noEvent(word, name)
		}
		t.Words[oneSpaced(word)] = means
	}
	return a.Teach(ctx, site, t)
}

func partsOf(parts []MarkedPart) ([]live.Said, error) {
	var said []live.Said
	for _, p := range parts {
		role, ok := live.RoleNamed(p.Role)
		if !ok {
			return nil, sootline.Errorf(sootline.Invalid, "the parts are "+strings.Join(RoleNames(), ", "), "a line has no part %q", p.Role)
		}
		one := live.Said{Role: role, Value: strings.TrimSpace(p.Value), After: max(0, p.After)}
		if role == live.What {
			if one.Means, ok = live.EventNamed(p.Means); !ok {
				return nil, noEvent(p.Value, p.Means)
			}
		}
		said = append(said, one)
	}
	return said, nil
}

func noEvent(word, name string) error {
	if name == "" {
		return sootline.Errorf(sootline.Invalid, "say what it means: "+strings.Join(EventNames(), ", "), "nobody said what %q means", word)
	}
	return sootline.Errorf(sootline.Invalid, "choose one of "+strings.Join(EventNames(), ", "), "%q is no event that %q could mean", name, word)
}

func oneSpaced(text string) string { return strings.Join(strings.Fields(text), " ") }

// EventNames lists what a word can mean.
func EventNames() []string {
	var names []string
	for _, e := range live.Events() {
		names = append(names, string(e))
	}
	return names
}

// RoleNames lists the parts of a line, in the order in which they are offered.
func RoleNames() []string {
	var names []string
	for _, r := range live.Roles() {
		names = append(names, string(r))
	}
	return names
}

// UsualParts are the parts of a line in an order in which panels often print them: common practice, no source.
func UsualParts() []string {
	var names []string
	for _, r := range []live.Role{live.Day, live.Clock, live.What, live.Loop, live.Number, live.Zone, live.Text} {
		names = append(names, string(r))
	}
	return names
}

// HeardLine is a line as it was heard: its number in what was given, and its text.
type HeardLine struct {
	Number int
	Text   string
}

// LinesOf gives the last lines of what was heard.
func (h *HeardOf) LinesOf(most int) []HeardLine {
	lines := live.HeardLines(h.Chunks, h.texts)
	var all []HeardLine
	for _, l := range lines[max(0, len(lines)-most):] {
		all = append(all, HeardLine{l.Number, l.Text})
	}
	return all
}

// Counts says how many records are read, and how many lines are not understood.
func (t *Taught) Counts() (read, unread int) {
	for i := range t.Lines {
		switch l := &t.Lines[i]; {
		case l.Read != nil:
			read++
		case l.Shown != "":
			unread++
		}
	}
	return read, unread
}

// ReadAs says what a line was read as, or why it was not.
func ReadAs(l *live.Line) string {
	h := l.Read
	if h == nil {
		return "not understood: " + string(l.Why)
	}
	place := ""
	if h.Number > 0 {
		place = cmp.Or(h.Loop, "-") + "." + fmt.Sprintf("%03d", h.Number)
	}
	zone := ""
	if h.Zone > 0 {
		zone = fmt.Sprintf("zone %d", h.Zone)
	}
	return sootline.Joined(string(h.Event), place, zone, h.Text)
}
