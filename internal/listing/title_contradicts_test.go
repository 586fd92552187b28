package listing

import "testing"

// TestTitlesThatContradict: a title's loop against the references, its zone against the register, and places that are those
// of another building are asked; answered no, no such row is taken.
func TestTitlesThatContradict(t *testing.T) {
	k := NewKnown()
	k.AddSite("Quarry Works")
	for n, place := range []string{"Server room 101", "Boiler house 102", "Gate lodge 103"} {
		k.AddPoint(Ref{Panel: "1", Loop: "1", Address: n + 1}, ScheduleRow{Type: "Larch", Zone: "1", Location: place})
	}
	const rows = "Point;Date;Value\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n"
	for list, want := range map[string]string{
		"Loop 2\n" + rows: AskContrary, "Schleife 2\n" + rows: AskContrary, "Boucle 2\n" + rows: AskContrary, "Lazo 2\n" + rows: AskContrary, "Anello 2\n" + rows: AskContrary, "Lus 2\n" + rows: AskContrary,
		"Zone 3\n" + rows: AskContrary, "Meldergruppe 3\n" + rows: AskContrary, "Zona 3\n" + rows: AskContrary,
		"Loop 1\n" + rows: "", "Zone 1\n" + rows: "",
		"Point;Location;Date;Value\n1.001;Loft 110;2025-09-16;31\n1.002;Main hall 102;2025-09-16;29\n":           AskContrary,
		"Punkt;Ort;Datum;Wert\n1.001;Dachboden 110;2025-09-16;31\n1.002;Halle 102;2025-09-16;29\n":               AskContrary,
		"Point;Location;Date;Value\n1.001;server rm 101;2025-09-16;31\n1.002;Boilerhouse (102);2025-09-16;29\n":  "",
		"Point;Location;Date;Value\n1.001;Server room 101;2025-09-16;31\n1.002;Boiler house 102;2025-09-16;29\n": "",
	} {
		if got := blockedBy(t, k, "a.csv", list, Profile{}); got != want {
			t.Errorf("%q: asked %q", list, got)
		}
		if want == "" {
			continue
		}
		u, readings := understoodBy(t, k, "a.csv", list, Profile{Contrary: ContraryLeft})
		if len(u.Questions) > 0 || len(readings) != 2 || readings[0] != "!" || readings[1] != "!" {
			t.Errorf("%q, left: %v %v", list, u.Questions, readings)
		}
		if _, readings := understoodBy(t, k, "a.csv", list, Profile{Contrary: ContraryByPoint}); len(readings) != 2 || readings[0] != "1 [31]" {
			t.Errorf("%q, taken: %v", list, readings)
		}
	}
}
