package listing

import (
	"strings"
	"testing"
)

// TestTitlesBetweenRows: a title between rows that may change what those below it mean is asked about; at the end of a list it
// is a note, and one that says a loop or a place asks nothing.
func TestTitlesBetweenRows(t *testing.T) {
	head := "Point;Date;Value\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n"
	below := "1.003;2025-09-16;31\n1.004;2025-09-16;29\n"
	for _, title := range []string{"Removed devices", "Planned extension 2027", "Ausgebaute Melder", "Détecteurs déposés", "Detectores retirados", "Rivelatori rimossi", "Verwijderde melders", "Expected values"} {
		for _, again := range []string{"", "\n", "Point;Date;Value\n"} {
			text := head + title + "\n" + again + below
			u, _ := understood(t, "a.csv", text, Profile{})
			if q, open := u.Blocking(); !open || q.ID != AskTitle || !strings.Contains(q.Text, "in row 4") {
				t.Errorf("%s: %v", title, u.Questions)
				continue
			}
			for answer, want := range map[string]string{"taken": "1 [31] 2 [29] 3 [31] 4 [29]", "left": "1 [31] 2 [29] ! !"} {
				var p Profile
				if err := p.Answer(AskTitle, answer); err != nil {
					t.Fatal(err)
				}
				if u, readings := understood(t, "a.csv", text, p); strings.Join(readings, " ") != want || len(u.Questions) > 0 {
					t.Errorf("%s, %s: %v %v", title, answer, readings, u.Questions)
				}
			}
		}
		if u, _ := understood(t, "a.csv", head+title+"\n", Profile{}); len(u.Questions) > 0 {
			t.Errorf("%s at the end: %v", title, u.Questions)
		}
	}
	for _, title := range []string{"Loop 1", "Ground floor", "Zone 3, stairs"} {
		if u, _ := understood(t, "a.csv", head+title+"\n"+below, Profile{}); len(u.Questions) > 0 {
			t.Errorf("%s: %v", title, u.Questions)
		}
	}
}

// TestTitlesOfUnknownNames: a title of nothing but names that the book does not know may be another site's.
func TestTitlesOfUnknownNames(t *testing.T) {
	rows := "\nPoint;Date;Value\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n"
	for title, asked := range map[string]bool{
		"Kelpwort Tarn": true, "Ziegelei Nordhang": true, "Tanyard": false, "Tanyard Annex": false, "Readings": false, "Messwerte": false, "Relevé annuel": false, "Ground floor": false, "Loop 1": false, "Schedule of devices": false,
	} {
		site := NewKnown()
		site.AddSite("Tanyard")
		site.AddPoint(Ref{Panel: "1", Loop: "1", Address: 1}, ScheduleRow{Type: "Juniper O"})
		u, _ := understoodBy(t, site, "a.csv", title+rows, Profile{})
		if q, open := u.Blocking(); open != asked || asked && q.ID != AskSite {
			t.Errorf("%s: %v", title, u.Questions)
			continue
		}
		if u, readings := understoodBy(t, site, "a.csv", title+rows, Profile{Site: title}); len(u.Questions) > 0 || len(readings) != 2 {
			t.Errorf("%s, answered: %v", title, u.Questions)
		}
	}
}
