package app

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/live"
	"sootline/internal/store"
)

// Teaching is a lesson for a source: what was heard of it, and what a person said of some lines.
type Teaching struct {
	Source   string
	Panel    string // of whose loops it tells; not needed where the site has one
	Heard    []live.Chunk
	Examples []live.Example
	Words    map[string]live.Event
}

// Taught is what came of a lesson.
type Taught struct {
	Teaching Teaching
	Style    *live.Style
	Asks     []live.Question
	Lines    []live.Line // what becomes of the lines heard
}

// Teach learns how the lines of a source are read, and keeps nothing.
func (a *App) Teach(ctx context.Context, site store.SiteLine, t Teaching) (*Taught, error) {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return nil, err
	}
	if t.Panel, err = panelOf(r, t.Panel); err != nil {
		return nil, err
	}
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, err
	}
	points, _ := linePoints(r, t.Panel)
	lesson := live.Lesson{Heard: t.Heard, Examples: t.Examples, Site: zone, Points: points, Words: t.Words}
	learned, err := live.Learn(lesson)
	if err != nil {
		return nil, err
	}
	return &Taught{t, learned.Style, learned.Asks, live.Preview(learned.Style, lesson)}, nil
}

// KeepTaught keeps with the site how the lines of a source are read.
func (a *App) KeepTaught(ctx context.Context, site store.SiteLine, t *Taught) error {
	if err := a.Who.MaySee(site.ID); err != nil {
		return err
	}
	if len(t.Asks) > 0 {
		return sootline.Errorf(sootline.Invalid, "say what they mean; nothing, where a word is no event", "%d words are not explained yet, the first is %q", len(t.Asks), t.Asks[0].Word).
			Do(sootline.TeachSource, t.Teaching.Source)
	}
	text, err := json.Marshal(t.Style)
	if err != nil {
		return err
	}
	if err := sourceName(t.Teaching.Source); err != nil {
		return err
	}
	return a.changeSource(ctx, site.ID, t.Teaching.Source, func(s *sootline.Source) error {
		s.Panel, s.Style = t.Teaching.Panel, string(text)
		return nil
	})
}

// panelOf finds the panel of which a source tells.
func panelOf(r *sootline.Register, said string) (string, error) {
	var panels []string
	for _, p := range r.Points() {
		if !slices.Contains(panels, p.Panel) {
			panels = append(panels, p.Panel)
		}
	}
	switch {
	case said == "" && len(panels) > 1:
		return "", sootline.Errorf(sootline.Invalid, "say of which", "the site has the panels %s, and a source tells of one", strings.Join(panels, ", ")).Do(sootline.Give, "panel", panels[0])
	case said == "" && len(panels) == 1:
		return panels[0], nil
	case said != "" && !slices.Contains(panels, said):
		return "", sootline.Errorf(sootline.NotFound, "name one that has points", "the register has no point of panel %q", said)
	}
	return said, nil
}

// linePoints gives the points of a panel as its lines name them, with their ids.
func linePoints(r *sootline.Register, panel string) (points []live.Point, ids []sootline.ID) {
	for _, p := range r.Points() {
		if p.Panel != panel || p.Removed != nil || p.Ref().Number == 0 {
			continue
		}
		zone, err := strconv.Atoi(strings.TrimSpace(p.Zone))
		if err != nil {
			zone = 0 // its zone has a name; lines that print a number say nothing of it
		}
		points = append(points, live.Point{Loop: p.Loop, Number: p.Ref().Number, Zone: zone, Text: p.Location})
		ids = append(ids, p.ID)
	}
	return points, ids
}

// Listening reads what a source says, and writes what happened into the log.
type Listening struct {
	app    *App
	site   store.SiteLine
	source sootline.Source
	zone   *time.Location
	reader *live.Reader
	points []live.Point
	ids    []sootline.ID
	faults map[string]recurring
	visits []attended
	seen   time.Time // when the log was last looked at
	mark   string    // of the log, when the register was last made of it; empty: as listening began
}

// recurring is a fault that was told, and how often it came since.
type recurring struct {
	told  time.Time
	since int
}

// Listen begins to read a source that was taught.
func (a *App) Listen(ctx context.Context, site store.SiteLine, source string) (*Listening, error) {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return nil, err
	}
	known := r.Sources[source]
	if known.Style == "" {
		return nil, sootline.Errorf(sootline.NotFound, "mark the parts of two or three of its lines", "nobody has taught yet how source %q is read", source).Do(sootline.TeachSource, source)
	}
	var style live.Style
	if err := json.Unmarshal([]byte(known.Style), &style); err != nil {
		return nil, sootline.Errorf(sootline.Newer, "teach it anew", "how source %q is read is not understood: %w", source, err).Do(sootline.TeachSource, source)
	}
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, err
	}
	l := &Listening{app: a, site: site, source: known, zone: zone, faults: map[string]recurring{}}
	l.points, l.ids = linePoints(r, known.Panel)
	l.reader = live.NewReader(&style, l.points, zone)
	l.visits, l.seen = attendedIn(r), a.Now()
	return l, nil
}

// Told is what became of a line.
type Told struct {
	live.Line
	Point string           // as people name it
	Wrote []sootline.Entry // what was written; what was there is left out
}

// Hear takes what arrived; no bytes: nothing came for some seconds.
func (l *Listening) Hear(ctx context.Context, at time.Time, b []byte) ([]Told, error) {
	if err := l.look(ctx); err != nil { // before they are read: what they name is found in these points
		return nil, err
	}
	lines := l.reader.Hear(at, b)
	if len(lines) == 0 {
		return nil, nil
	}
	told := make([]Told, len(lines))
	var entries []sootline.Entry
	for i, line := range lines {
		told[i].Line = line
		h := cmp.Or(line.Read, line.Near)
		if h == nil {
			continue
		}
		if h.Point >= 0 {
			p := l.points[h.Point]
			told[i].Point = sootline.Ref{Panel: l.source.Panel, Loop: p.Loop, Number: p.Number}.String()
		}
		told[i].Wrote = l.entriesOf(&line)
		entries = append(entries, told[i].Wrote...)
	}
	written, err := l.app.addOnce(ctx, l.site.ID, entries)
	for i := range told {
		told[i].Wrote = slices.DeleteFunc(told[i].Wrote, func(e sootline.Entry) bool { return !written[e.ID] })
	}
	return told, err
}

// lookAgain is after how long the register is looked at again.
const lookAgain = time.Second

// look sees whether a visit is open, and what the points are now.
func (l *Listening) look(ctx context.Context) error {
	now := l.app.Now()
	if now.Sub(l.seen) < lookAgain {
		return nil
	}
	mark, err := l.app.MarkOf(ctx, l.site.ID)
	if err != nil {
		return err
	}
	l.seen = now
	if mark == l.mark {
		return nil
	}
	r, err := l.app.Register(ctx, l.site.ID, time.Time{})
	if err != nil {
		return err
	}
	l.visits, l.mark = attendedIn(r), mark
	points, ids := linePoints(r, l.source.Panel)
	if !slices.Equal(points, l.points) {
		l.reader.Know(points)
	}
	l.points, l.ids = points, ids
	return nil
}

// Begin says where in the stream of the source the bytes to come begin, so that a line has the same name whoever reads it.
func (l *Listening) Begin(at int64) { l.reader.Begin(at) }

// Zone is the time zone of the site.
func (l *Listening) Zone() *time.Location { return l.zone }

// Ahead is by how much the panel's clock is ahead.
func (l *Listening) Ahead() time.Duration { return l.reader.Ahead() }

// HeardAs reads what was heard of a source that was taught, and writes nothing.
func (a *App) HeardAs(ctx context.Context, site store.SiteLine, source string, heard []live.Chunk) ([]live.Line, error) {
	l, err := a.Listen(ctx, site, source)
	if err != nil {
		return nil, err
	}
	var out []live.Line
	for _, c := range heard {
		out = append(out, l.reader.Hear(c.At, c.Bytes)...)
	}
	return append(out, l.reader.End()...), nil
}

// ZoneOf is the time zone of a site.
func (a *App) ZoneOf(ctx context.Context, site sootline.ID) (*time.Location, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return nil, err
	}
	return Zone(r.Site.Zone)
}
