package listing

import (
	"fmt"
	"strings"
	"testing"
)

// eventsOf gives what the rows of a list of events say, "!" for a refused one.
func eventsOf(t *testing.T, k *Known, text string, p Profile) (*Understanding, string) {
	t.Helper()
	f, err := Open("a.csv", strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	u, err := k.Understand(f.All()[0], p)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for r, bad := range u.Records(f.All()[0]) {
		if bad != nil || r.Event == nil {
			out = append(out, "!")
			continue
		}
		e := r.Event
		out = append(out, strings.Join(nonEmpty([]string{fmt.Sprint(e.Ref.Address), string(e.What), string(e.Outcome), e.Serial, e.Category, e.Cause}), ","))
	}
	return u, strings.Join(out, " ")
}

// TestCategoriesOfOwnWords: words for why alarms were given that nobody knows are asked about, and their rows wait.
func TestCategoriesOfOwnWords(t *testing.T) {
	for _, c := range []struct{ text, word, before, after string }{
		{"Date;Point;Category;Cause\n2025-09-16;1.001;phantom;toast\n2025-09-18;1.002;malicious;prank\n", "phantom", "! 2,alarm,malicious,prank", "1,alarm,unwanted,toast 2,alarm,malicious,prank"},
		{"Datum;Punkt;Ereignis;Kategorie\n16.09.2025;1.001;Alarm;Irrläufer\n18.09.2025;1.002;Alarm;Irrläufer\n", "irrlaufer", "! !", "1,alarm,unwanted 2,alarm,unwanted"},
		{"Date;Point;Événement;Catégorie\n16/09/2025;1.001;alarme;farce\n", "farce", "!", "1,alarm,unwanted"},
		{"Date;Point;Alarm category\n2025-09-16;1.001;bogus\n2025-09-18;1.002;equipment\n", "bogus", "! 2,alarm,equipment", "1,alarm,unwanted 2,alarm,equipment"},
	} {
		u, rows := eventsOf(t, nil, c.text, Profile{})
		if len(u.Questions) != 1 || u.Questions[0].ID != AskCategory+c.word || !u.Questions[0].Aside || rows != c.before {
			t.Errorf("%q: %v, %s", c.text, u.Questions, rows)
			continue
		}
		var p Profile
		if err := p.Answer(u.Questions[0].ID, "unwanted"); err != nil {
			t.Fatal(err)
		}
		if u, rows = eventsOf(t, nil, c.text, p); len(u.Questions) > 0 || rows != c.after {
			t.Errorf("%q, answered: %v, %s", c.text, u.Questions, rows)
		}
		if err := p.Answer(AskCategory+c.word, "left"); err != nil {
			t.Fatal(err)
		}
		if u, rows = eventsOf(t, nil, c.text, p); len(u.Questions) > 0 || rows != c.before {
			t.Errorf("%q, left: %v, %s", c.text, u.Questions, rows)
		}
		if p.Answer(AskCategory+c.word, "nonsense") == nil {
			t.Error("a category that is none is taken")
		}
	}
}

// TestNewSerial: the serial number of the unit that replaced another is kept, and only of a replacement.
func TestNewSerial(t *testing.T) {
	site := NewKnown()
	for n := 1; n <= 3; n++ {
		site.AddPoint(Ref{Panel: "1", Loop: "1", Address: n}, ScheduleRow{Type: "Juniper O", Serial: fmt.Sprintf("K100%d", n)})
	}
	for _, head := range []string{"Point;Date;Event;New serial", "Punkt;Datum;Ereignis;Neue Seriennummer", "Point;Date;Événement;Nouveau numéro de série", "Punto;Fecha;Evento;Nuevo número de serie", "Punto;Data;Evento;Nuova matricola", "Punt;Datum;Gebeurtenis;Nieuw serienummer"} {
		rows := "\n1.001;2025-09-16;replaced;K999\n1.002;2025-09-16;replaced;-\n1.003;2025-09-16;cleaned;K998\n1.003;2025-09-17;replaced;K1001\n"
		if u, got := eventsOf(t, site, head+rows, Profile{}); got != "1,replaced,K999 2,replaced ! !" || len(u.Questions) > 0 {
			t.Errorf("%s: %s %v", head, got, u.Questions)
		}
	}
}
