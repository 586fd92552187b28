package listing

import "testing"

// A sum in a column of its own says nothing of the rows above it: the list is of alarms, and none of them is lost.
func TestSumInAColumnOfItsOwn(t *testing.T) {
	for _, word := range []string{"Summe", "Total", "Totale", "Totaal"} {
		text := "Datum;Punkt;Kategorie;Ursache;Feuerwehr kam;\n18.01.2024;1.1.025;unerwünscht;Staub;nein;\n03.02.2024;1.1.014;unerwünscht;Staub;ja;\n" + word + ";;;;;2\n"
		if u, said := saidIn(t, "a.csv", text, Profile{}); u.Kind != KindEvents || said != "25 2024-01-18 alarm|14 2024-02-03 alarm" {
			t.Errorf("%s: a list of %s, %s\n%+v", word, u.Kind, said, u.Questions)
		}
	}
}
