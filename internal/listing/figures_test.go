package listing

import (
	"fmt"
	"strings"
	"testing"
)

// TestTagsOfFigures: how tags of figures are made up is asked, with what the register has; answered, they name their points.
func TestTagsOfFigures(t *testing.T) {
	site := NewKnown()
	for loop := 1; loop <= 2; loop++ {
		for n := 1; n <= 3; n++ {
			site.AddPoint(Ref{Panel: "1", Loop: fmt.Sprint(loop), Address: n}, ScheduleRow{Type: "Juniper O"})
		}
	}
	for _, c := range []struct {
		text    string
		answer  RefOrder
		choices int
		refs    string
	}{
		{"Point;Date;Value\n101001;2025-09-16;31\n102002;2025-09-16;29\n", FiguresPanelLoop, 1, "1/1.1 1/2.2"},
		{"Punkt;Datum;Wert\n201001;2025-09-16;31\n101002;2025-09-16;29\n", FiguresLoopZone, 1, "/2.1 /1.2"},
		{"Point;Date;Valeur\n2001;2025-09-16;31\n1002;2025-09-16;29\n", FiguresLoop, 1, "/2.1 /1.2"},
		{"Point;Date;Value\n907801;2025-09-16;31\n907802;2025-09-16;29\n", FiguresLoop, 3, "/907.801 /907.802"},
	} {
		u, _ := understoodBy(t, site, "a.csv", c.text, Profile{})
		q, open := u.Blocking()
		if !open || q.ID != AskRefOrder || len(q.Choices) < c.choices || len(u.Questions) != 1 {
			t.Errorf("%q: %v", c.text, u.Questions)
			continue
		}
		var p Profile
		if err := p.Answer(AskRefOrder, string(c.answer)); err != nil {
			t.Fatal(err)
		}
		got := ""
		u, _ = understoodBy(t, site, "a.csv", c.text, p)
		f := tableOf(t, c.text)
		for r, bad := range u.Records(f) {
			if bad != nil {
				t.Fatal(bad)
			}
			got += fmt.Sprintf(" %s/%s.%d", r.Reading.Ref.Panel, r.Reading.Ref.Loop, r.Reading.Ref.Address)
		}
		if got != " "+c.refs || len(u.Questions) > 0 {
			t.Errorf("%q, answered: %s %v", c.text, got, u.Questions)
		}
	}
}

func tableOf(t *testing.T, text string) *Table {
	t.Helper()
	f, err := Open("a.csv", strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f.All()[0]
}
