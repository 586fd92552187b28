package app

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"sootline"
)

// defectBook is a site with two points and defects in every state.
func defectBook(t *testing.T) (a *App, site sootline.ID) {
	t.Helper()
	a = newApp(t, "laptop")
	site = addSite(t, a)
	take(t, a, site, files(t, map[string]string{"schedule.csv": "loop,address,type,location\n1,1,Larch,Hall\n1,2,Larch,Store\n"})+"/schedule.csv")
	note := func(day int, point string, body sootline.Body) sootline.ID {
		e, err := a.AddEntry(context.Background(), site, Note{At: time.Date(2026, 1, day, 9, 0, 0, 0, time.UTC), Point: point, Body: body})
		if err != nil {
			t.Fatal(err)
		}
		return e.ID
	}
	note(2, "1.001", sootline.Fault{Cause: "base cracked"})
	note(3, "1.001", sootline.Tested{Failed: true})
	grave := note(4, "", sootline.Defect{Nature: sootline.Obstruction, Grade: sootline.CriticalDefect, Text: "racking", Place: "store"})
	lamp := note(5, "1.002", sootline.Defect{Nature: sootline.Damage, Grade: sootline.MinorDefect, Text: "lamp"})
	note(6, "1.001", sootline.Tested{})
	for _, step := range []struct {
		defect sootline.ID
		body   sootline.Body
	}{{lamp, sootline.Mended{}}, {grave, sootline.Followed{Told: "site office"}}} {
		if _, err := a.StepDefect(context.Background(), site, step.defect.String(), Note{At: time.Date(2026, 1, 8, 9, 0, 0, 0, time.UTC), Body: step.body}); err != nil {
			t.Fatal(err)
		}
	}
	return a, site
}

func named(defects []*sootline.DefectFacts) string {
	var all []string
	for _, d := range defects {
		all = append(all, fmt.Sprintf("%s %s", d.Nature, d.State))
	}
	return strings.Join(all, ", ")
}

func TestDefectsListed(t *testing.T) {
	a, site := defectBook(t)
	r, err := a.Register(context.Background(), site, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		filter DefectFilter
		want   string
	}{
		{DefectFilter{}, "obstruction open, fault open, damage mended"},
		{DefectFilter{All: true}, "obstruction open, fault open, damage mended, failed test closed"},
		{DefectFilter{All: true, Point: "1.001"}, "fault open, failed test closed"},
	} {
		list, err := Defects(r, c.filter)
		if err != nil || named(list) != c.want {
			t.Errorf("%+v: got %q, %v, want %q", c.filter, named(list), err, c.want)
		}
	}
	for name, code := range map[string]sootline.Code{"1.001": "", "1.002": "", "1.009": sootline.NotFound, "": sootline.NotFound} {
		if _, err := DefectNamed(r, name); sootline.ErrorCode(err) != code {
			t.Errorf("%q: %v", name, err)
		}
	}
}

func TestDefectsOfASpan(t *testing.T) {
	a, site := defectBook(t)
	day := func(d int) time.Time { return time.Date(2026, 1, d, 0, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		from, to             time.Time
		open, mended, closed string
	}{
		{day(1), day(4), "fault open, failed test open", "", ""},
		{day(6), day(7), "obstruction open, fault open, damage open", "", "failed test closed"},
		{day(7), day(9), "obstruction open, fault open", "damage mended", ""},
	} {
		r, err := a.Register(context.Background(), site, c.to)
		if err != nil {
			t.Fatal(err)
		}
		span := DefectsIn(r, c.from, c.to)
		if named(span.Open) != c.open || named(span.Mended) != c.mended || named(span.Closed) != c.closed {
			t.Errorf("to %s: open %q, mended %q, closed %q", c.to, named(span.Open), named(span.Mended), named(span.Closed))
		}
	}
}

// TestStepsThatContradict are refused with the reason; handed in twice is once.
func TestStepsThatContradict(t *testing.T) {
	a, site := defectBook(t)
	ctx := context.Background()
	for _, c := range []struct {
		name string
		note Note
		code sootline.Code
	}{
		{"1.002", Note{Body: sootline.Mended{}}, sootline.Conflict},
		{"1.001", Note{Body: sootline.Note{Text: "x"}}, sootline.Invalid},
		{"1.001", Note{At: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), Body: sootline.Mended{}}, sootline.Conflict},
		{"1.001", Note{Body: sootline.Followed{}}, sootline.Invalid},
	} {
		if _, err := a.StepDefect(ctx, site, c.name, c.note); sootline.ErrorCode(err) != c.code {
			t.Errorf("%s %T: %v", c.name, c.note.Body, err)
		}
	}
	id := sootline.NewID(today, a.Random())
	for range 2 {
		if _, err := a.StepDefect(ctx, site, "1.001", Note{ID: id, Body: sootline.Mended{Text: "new base"}}); err != nil {
			t.Fatal(err)
		}
	}
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if d, err := DefectNamed(r, "1.001"); err != nil || d.State != sootline.DefectMended || len(d.Story) != 2 || d.Point == nil || d.MendedBy.Point != d.Point.ID {
		t.Errorf("got %+v, %v", d, err)
	}
}
