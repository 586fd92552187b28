package listing

import "testing"

// blockedBy gives the id of the question that holds a table back; empty: none.
func blockedBy(t *testing.T, k *Known, name, text string, p Profile) string {
	t.Helper()
	u, err := k.Understand(openBytes(t, name, []byte(text)).All()[0], p)
	must(t, err)
	q, _ := u.Blocking()
	return q.ID
}

// siteOf is a register of one site with two loops.
func siteOf(name string) *Known {
	k := NewKnown()
	k.AddSite(name)
	for n := range 9 {
		k.AddPoint(Ref{Panel: "1", Loop: "1", Address: n + 1}, ScheduleRow{Type: "Larch", Location: "Hall " + string(rune('A'+n))})
	}
	return k
}

// TestTitlesThatTurnRows: a title that may make another thing of its rows is asked; one that speaks of them as they are, or is
// no more than the name of a paper, is not.
func TestTitlesThatTurnRows(t *testing.T) {
	const schedule = "\nLoop;Address;Type;Location\n1;20;Larch;Mezz\n1;21;Larch;Ramp\n"
	const readings = "\nPoint;Date;Value\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n"
	for _, title := range []string{
		"Removed devices", "Planned extension 2027", "Ausgebaut", "Not yet installed", "Quotation", "Cancelled", "DRAFT", "Déposés", "Desmontados", "Rimossi", "Verwijderde melders", "Geplante Melder", "Devis", "Loop voltages in V",
		"Alarm thresholds", "Expected values", "Costs in EUR", "Number of alarms: count", "Temperatures", "Values are tenths", "Frobnicated detectors", "Sollwerte", "Valeurs attendues", "Valores esperados", "Valori attesi", "Verwachte waarden",
	} {
		for _, list := range []string{schedule, readings} {
			if got := blockedBy(t, siteOf("Quarry Works"), "a.csv", title+list, Profile{}); got != AskTitle {
				t.Errorf("%s over %q: asked %q", title, list[1:6], got)
			}
			if got := blockedBy(t, siteOf("Quarry Works"), "a.csv", title+list, Profile{TitleMeans: TitleTaken}); got != "" {
				t.Errorf("%s, answered: asked %q", title, got)
			}
		}
	}
	for _, title := range []string{
		"Quarry Works", "Schedule of points", "Device list", "Readings", "Messwerte", "Relevé des valeurs", "Smoke detectors, ground floor", "Prepared for the owner of the building", "Detectors of Quarry Works", "Rev. B", "Tested by Q. Strange", "Melderliste Schleife 1",
	} {
		for _, list := range []string{schedule, readings} {
			if got := blockedBy(t, siteOf("Quarry Works"), "a.csv", title+list, Profile{}); got != "" {
				t.Errorf("%s over %q: asked %q", title, list[1:6], got)
			}
		}
	}
}

// TestTitleAgainstRows: a title that says another loop or year than all rows is asked.
func TestTitleAgainstRows(t *testing.T) {
	for text, want := range map[string]string{
		"Loop 2\nLoop;Address;Type;Location\n1;20;Larch;Mezz\n1;21;Larch;Ramp\n":       AskContrary,
		"Schleife 2\nLoop;Address;Type;Location\n1;20;Larch;Mezz\n1;21;Larch;Ramp\n":   AskContrary,
		"Loop 1\nLoop;Address;Type;Location\n1;20;Larch;Mezz\n1;21;Larch;Ramp\n":       "",
		"Readings 2024\nPoint;Date;Value\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n":  AskTitle,
		"Messwerte 2024\nPoint;Date;Value\n1.001;16.09.2025;31\n1.002;16.09.2025;29\n": AskTitle,
		"Readings 2025\nPoint;Date;Value\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n":  "",
	} {
		if got := blockedBy(t, siteOf("Quarry Works"), "a.csv", text, Profile{}); got != want {
			t.Errorf("%s: asked %q", text, got)
		}
	}
}
