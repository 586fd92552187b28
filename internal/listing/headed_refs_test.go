package listing

import (
	"strings"
	"testing"
)

// TestPointsUnderOtherHeadings: points stand under the heading of their panel, or under one that names its own row.
func TestPointsUnderOtherHeadings(t *testing.T) {
	for _, c := range []struct{ list, rows string }{
		{"Panel ref,Chamber value,Date\nL1D001,27,2026-05-12\nL1D002,30,2026-05-12\n", "1 2"},
		{"Zentrale;Messwert;Datum\n1.001;27;2026-05-12\n1.002;30;2026-05-12\n", "1 2"},
		{"Boucle;Valeur;Date\n1/1;27;2026-05-12\n1/2;30;2026-05-12\n", "1 2"},
		{"Date of visit,12.05.2026,13.11.2026\n1.001,27,28\n1.002,30,31\n", "1 1 2 2"},
		{"Datum;12.05.2026;13.11.2026\n1.001;27;28\n1.002;30;31\n", "1 1 2 2"},
		{"Fecha de lectura;12.05.2026;13.11.2026\n1.001;27;28\n1.002;30;31\n", "1 1 2 2"},
	} {
		asked, rows := against(t, eightPoints(), "x.csv", c.list, Profile{})
		if got := strings.Join(rows, " "); asked != "" || got != c.rows {
			t.Errorf("%q: asked %q, %s", c.list, asked, got)
		}
	}
	asked, _ := against(t, eightPoints(), "x.csv", "Thing,Chamber value,Taken on\nx7,27,12 May 2026\nx8,30,12 May 2026\n", Profile{})
	u, err := eightPoints().Understand(openBytes(t, "x.csv", []byte("Thing,Chamber value,Taken on\nx7,27,12 May 2026\nx8,30,12 May 2026\n")).All()[0], Profile{})
	must(t, err)
	for _, q := range u.Questions {
		for _, choice := range q.Choices {
			if q.ID == AskPoint && strings.Contains(choice.Text, "Taken on") {
				t.Errorf("asked %s, a column of days is offered as the point: %v", asked, q)
			}
		}
	}
}

// TestPointsMadeDays: a point that a program made a day of is said to be one, and its row is refused.
func TestPointsMadeDays(t *testing.T) {
	for _, day := range []string{"2026-01-01", "01/01/2026", "1.1.2026"} {
		asked, rows := against(t, eightPoints(), "x.csv", "Point;Date;Value\n1.001;2026-05-12;27\n1.003;2026-05-12;28\n1.004;2026-05-12;28\n"+day+";2026-05-12;30\n", Profile{})
		if asked != "" || len(rows) != 4 || !strings.Contains(rows[3], "which a spreadsheet made of it") {
			t.Errorf("%s: asked %q, %v", day, asked, rows)
		}
	}
}
