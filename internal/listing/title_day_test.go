package listing

import "testing"

// TestTitlesOfOtherDays: the day of a title counts where its other words are known; else it is asked, and offered.
func TestTitlesOfOtherDays(t *testing.T) {
	list := "\npoint,value\n1.001,26\n1.002,27\n"
	for _, title := range []string{"Birthday 13.11.2026", "Sommerfest 13.11.2026", "Fête du personnel 13.11.2026", "Fiesta 13.11.2026", "Trasloco 13.11.2026", "Verbouwing 13.11.2026"} {
		u, _ := saidIn(t, "a.csv", title+list, Profile{})
		if q, open := u.Blocking(); !open || q.ID != AskDate || title != "Birthday 13.11.2026" && (len(q.Choices) != 1 || q.Choices[0].Value != "2026-11-13") {
			t.Errorf("%s: %+v", title, u.Questions)
		}
	}
	for _, title := range []string{
		"Commissioned 2019-05-11", "Inbetriebnahme 2019-05-11", "Instalado el 16/05/2019", "Installed 16.05.2019", "Panel fitted 16.05.2019", "Replaces list of 2024-10-30", "Ersetzt Liste vom 30.10.2024", "Remplace la liste du 30.10.2024",
		"Detectors replaced 2025-10-30", "Clock set 2025-10-30 02:00", "Uhr gestellt 30.10.2025", "Power failure 2025-10-30", "(c) 2025-10-30", "Printed: 2025-10-30 08:12", "Posé le 30.10.2024", "Installato il 30.10.2024", "Geplaatst op 30.10.2024",
	} {
		u, said := saidIn(t, "a.csv", title+list, Profile{})
		if q, open := u.Blocking(); !open || q.ID != AskDate && q.ID != AskTitle {
			t.Errorf("%s: %s %+v", title, said, u.Questions)
		}
	}
	for _, title := range []string{"Tested by Q. Strange 13.11.2026", "Readings 13.11.2026", "Values of loop 1, 13.11.2026", "Messwerte vom Freitag, 13.11.2026", "Relevé du 13.11.2026", "Lecturas 13.11.2026", "Visita del 13.11.2026", "Annual inspection 13 November 2026"} {
		if u, said := saidIn(t, "a.csv", title+list, Profile{}); said != "1 2026-11-13 [26]|2 2026-11-13 [27]" || len(u.Questions) > 0 {
			t.Errorf("%s: %s %+v", title, said, u.Questions)
		}
	}
	k := NewKnown()
	k.AddName("Quarry Works")
	table := openBytes(t, "a.csv", []byte("Quarry Works 13.11.2026"+list)).All()[0]
	u, err := k.Understand(table, Profile{})
	must(t, err)
	if len(u.Questions) > 0 && u.Questions[0].ID == AskDate {
		t.Errorf("a name of the site: %+v", u.Questions)
	}
}

// TestValuesByDayAndNight: in either order of the words.
func TestValuesByDayAndNight(t *testing.T) {
	for _, heads := range []string{"value day,value night", "day value,night value", "reading at day,reading at night", "Wert Tag,Wert Nacht", "Tag,Nacht", "valeur jour,valeur nuit", "valor dia,valor noche", "valore giorno,valore notte", "waarde dag,waarde nacht"} {
		u, said := saidIn(t, "a.csv", "point,date,"+heads+"\n1.001,2026-11-10,28,25\n1.002,2026-11-10,27,26\n", Profile{})
		if want := "1 2026-11-10 [28] by day|1 2026-11-10 [25] by night|2 2026-11-10 [27] by day|2 2026-11-10 [26] by night"; said != want || len(u.Questions) > 0 {
			t.Errorf("%s: %s %+v", heads, said, u.Questions)
		}
	}
}
