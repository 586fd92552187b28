package papers

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// Write writes a story into a book through the use cases, each at its own time, and gives the site. The ids of the
// entries follow from the story, so that the same story gives the same log. What the use cases refuse is returned.
func (s *Story) Write(ctx context.Context, in *app.App) (store.SiteLine, error) {
	w := &writing{Story: s, ctx: ctx, app: *in}
	w.app.Now = func() time.Time { return w.now }
	w.app.Random = w.next
	w.now = time.Date(2025, 7, 1, 8, 0, 0, 0, time.UTC)
	for _, step := range []func() error{w.begin, w.lists, w.alarm, w.open, w.acts, w.close} {
		if err := step(); err != nil {
			return w.site, fmt.Errorf("%s, %s at %s: %w", s.Shape, s.Site, w.now.Format(time.DateTime), err)
		}
	}
	return w.site, nil
}

type writing struct {
	*Story
	ctx   context.Context
	app   app.App
	site  store.SiteLine
	now   time.Time
	count uint64
}

// next gives the random part of the ids, one after another.
func (w *writing) next() (r [10]byte) {
	w.count++
	binary.BigEndian.PutUint64(r[2:], w.count)
	return r
}

// begin adds the site with its facts.
func (w *writing) begin() error {
	in := app.NewSite{Name: w.Site, Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126}}, Rules: "bs5839-1-2025", Firm: "Example Fire Care"}
	if _, err := w.app.AddSite(w.ctx, in); err != nil {
		return err
	}
	site, err := w.app.Site(w.ctx, w.Site)
	if err != nil {
		return err
	}
	w.site = site
	return w.app.SetFacts(w.ctx, site.ID, sootline.Opened{SiteFacts: sootline.SiteFacts{
		Address: "12 Invented Street, Nowhere", Customer: "Example Stores", Responsible: "R. Person", Contact: "+00 0000 0001",
		Category: "L2", Follows: "BS 5839-1:2025", FirmContact: "+00 0000 0000",
	}})
}

// lists takes in the register, and what was done at the visit before.
func (w *writing) lists() error {
	schedule, done, readings := []string{"loop,address,type,zone,area,location,fitted on"}, []string{"point,date,what"}, []string{"point,date,value"}
	for i := range w.Points {
		p := &w.Points[i]
		schedule = append(schedule, fmt.Sprintf("1,%d,%s,%s,%s,%q,2022-02-01", p.Number, p.Type, p.Zone, p.Area, p.Where))
		on := w.Before.Format(time.DateOnly)
		done = append(done, fmt.Sprintf("%s,%s,tested", p.Ref(), on))
		if p.Low != "" {
			readings = append(readings, fmt.Sprintf("%s,%s,25", p.Ref(), on))
		}
	}
	types := []string{"name,kind,low,high,life years", "Larch,optical smoke,20,40,10", "Elder,heat,10,30,", "Pull,call point,,,"}
	if err := w.take("types.csv", types); err != nil {
		return err
	}
	if err := w.take("schedule.csv", schedule); err != nil || w.Before.IsZero() {
		return err
	}
	w.now = w.Before.Add(6 * time.Hour)
	return errors.Join(w.take("done.csv", done), w.take("readings.csv", readings))
}

// take takes a list in.
func (w *writing) take(name string, lines []string) (err error) {
	folder, err := os.MkdirTemp("", "story")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	path := filepath.Join(folder, name)
	if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o600); err != nil {
		return err
	}
	in, err := w.app.LookAt(w.ctx, w.site.ID, []app.Handed{{Name: name, File: path}}, nil)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	_, err = w.app.Take(w.ctx, w.site.ID, in, app.TakeOptions{})
	return err
}

func (w *writing) alarm() error {
	if w.Alarm == nil {
		return nil
	}
	w.now = w.Alarm.At.Add(time.Hour)
	_, err := w.app.AddEntry(w.ctx, w.site.ID, app.Note{
		At: w.Alarm.At, Point: w.Points[w.Alarm.Point].Ref(), Body: sootline.Alarm{Category: sootline.Unwanted, Cause: w.Alarm.Cause},
	})
	return err
}

// open opens the visit with all cautions confirmed.
func (w *writing) open() error {
	if w.Opened.IsZero() {
		return nil
	}
	w.now = w.Opened
	opening := app.Opening{VisitWish: app.VisitWish{On: w.Opened, Minutes: 900}, Disabled: w.Disabled}
	for _, c := range app.Cautions() {
		opening.Confirmed = append(opening.Confirmed, c.Key)
	}
	if len(w.Remarks) > 0 {
		opening.Text = w.Remarks[0]
	}
	_, err := w.app.OpenVisit(w.ctx, w.site, opening)
	return err
}

// acts writes down what was done, photos first.
func (w *writing) acts() error {
	for _, photo := range w.Photos {
		if _, err := w.app.KeepPhoto(w.ctx, w.site.ID, photo); err != nil {
			return err
		}
	}
	for _, act := range w.Acts {
		w.now = act.At
		note := app.Note{At: act.At, Body: act.Body}
		if act.Point >= 0 {
			note.Point = w.Points[act.Point].Ref()
		}
		var err error
		if act.Step {
			_, err = w.app.StepDefect(w.ctx, w.site.ID, note.Point, note)
		} else {
			_, err = w.app.AddEntry(w.ctx, w.site.ID, note)
		}
		if err != nil {
			return fmt.Errorf("%s at %s: %w", act.Body.Kind(), note.Point, err)
		}
	}
	return nil
}

// close closes the visit as normal where nothing stays out of use.
func (w *writing) close() error {
	if w.Closed.IsZero() {
		return nil
	}
	w.now = w.Closed
	closing := app.Closing{At: w.Closed, Normal: w.Normal(), Restored: w.Restored}
	if len(w.Remarks) > 0 {
		closing.Text = w.Remarks[2]
	}
	_, err := w.app.CloseVisit(w.ctx, w.site, closing)
	return err
}

// Normal says whether the site was left in normal operation.
func (s *Story) Normal() bool { return len(s.Disabled) == len(s.Restored) }
