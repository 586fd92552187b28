package listing

import (
	"slices"
	"testing"
)

// A column of days is that of the rows only where its heading says so and nothing else.
func TestDaysOfAnotherKind(t *testing.T) {
	headings := []string{
		"ordered", "delivered", "print date", "Druckdatum", "report date", "invoice date", "birthday", "battery changed", "modified", "approved", "updated", "calibrated",
		"manufacture date", "Bestelldatum", "Datum der Lieferung", "date d'impression", "date de fabrication", "fecha de impresión", "fecha del pedido", "data di stampa", "data di consegna",
		"datum bestelling", "drukdatum", "Date (ordered)", "Datum (Rechnung)", "quux", "quux date",
	}
	for _, heading := range headings {
		list := "point;" + heading + ";value\n1.001;13.11.2026;26\n1.002;14.11.2026;27\n"
		if got := readingsOf(t, "x.csv", list, Profile{}); !slices.Equal(got, []string{"asked date"}) {
			t.Errorf("under %q: %q", heading, got)
		}
		if got := readingsOf(t, "x.csv", list, Profile{Columns: map[string]Field{"2": Date}}); !slices.Equal(got, []string{"1.1 2026-11-13 [26]", "1.2 2026-11-14 [27]"}) {
			t.Errorf("under %q, answered: %q", heading, got)
		}
	}
	for _, heading := range []string{"date", "Date of reading", "Datum der Ablesung", "date du relevé", "fecha de la lectura", "data della lettura", "datum meting", "Date (dd.mm.yyyy)", "value date", "Dtae", ""} {
		list := "point;" + heading + ";value\n1.001;13.11.2026;26\n1.002;14.11.2026;27\n"
		if got := readingsOf(t, "x.csv", list, Profile{}); !slices.Equal(got, []string{"1.1 2026-11-13 [26]", "1.2 2026-11-14 [27]"}) {
			t.Errorf("under %q: %q", heading, got)
		}
	}
}

// The day of a title is that of the rows unless the title is of the paper.
func TestDaysOfPapers(t *testing.T) {
	for title, want := range map[string]string{
		"Rev. B 13.11.2026": "asked date", "Printed 20/11/2026": "asked date", "Gedruckt am 13.11.2026": "asked date", "Stand: 13.11.2026": "asked date", "Ausgabe 13.11.2026": "asked date",
		"Version du 13.11.2026": "asked date", "Imprimé le 13.11.2026": "asked date", "Edición 13.11.2026": "asked date", "Stampato il 13.11.2026": "asked date", "Versie 13.11.2026": "asked date",
		"Readings of 13.11.2026": ".1 2026-11-13 [26]", "Messwerte vom 13.11.2026": ".1 2026-11-13 [26]", "13.11.2026": ".1 2026-11-13 [26]", "Printed 13.11.2026 09:41": "asked date", "Page 1\nPrinted 13.11.2026 09:41": ".1 2026-11-13 [26]",
	} {
		if got := readingsOf(t, "x.csv", title+"\naddress,value\n1,26\n", Profile{}); !slices.Equal(got, []string{want}) {
			t.Errorf("under %q: %q", title, got)
		}
	}
}

// The days of a schedule are those of fitting where its heading says so; days alone are asked about.
func TestDaysOfFitting(t *testing.T) {
	for heading, want := range map[string]string{
		"date": "asked fitted", "Datum": "asked fitted", "fecha": "asked fitted", "fitted": "2026-11-10", "Einbaudatum": "2026-11-10", "manufacture date": "", "surveyed": "", "date de fabrication": "", "Herstelldatum": "",
	} {
		list := "loop,address,type,location," + heading + "\n1,1,Larch,Hall,2026-11-10\n1,2,Larch,Stair,2026-11-10\n"
		if got := fittedOn(t, list, Profile{}); got != want {
			t.Errorf("under %q: %q", heading, got)
		}
	}
	for answer, want := range map[string]string{"fitted 5": "2026-11-10", "unused 5": ""} {
		var p Profile
		if err := p.Answer(AskFitted, answer); err != nil {
			t.Fatal(err)
		}
		if got := fittedOn(t, "loop,address,type,location,date\n1,1,Larch,Hall,2026-11-10\n1,2,Larch,Stair,2026-11-10\n", p); got != want {
			t.Errorf("answered %q: %q", answer, got)
		}
	}
	var p Profile
	if p.Answer(AskFitted, "value 5") == nil {
		t.Error("an answer that means nothing is taken")
	}
}

// fittedOn gives the day on which the first device of a schedule was fitted, or the question.
func fittedOn(t testing.TB, list string, p Profile) string {
	t.Helper()
	table := openBytes(t, "x.csv", []byte(list)).Tables()[0]
	u, err := Understand(table, p)
	if err != nil {
		t.Fatal(err)
	}
	if q, open := u.Blocking(); open {
		return "asked " + q.ID
	}
	for r, bad := range u.Records(table) {
		if bad != nil || r.Schedule == nil {
			return "no schedule"
		}
		if r.Schedule.Fitted == (Civil{}) {
			return ""
		}
		return r.Schedule.Fitted.text()
	}
	return "nothing"
}
