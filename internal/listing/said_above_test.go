package listing

import "testing"

// TestWhoStandsAbove: who did what is listed may stand above the headings, in two cells or behind a colon.
func TestWhoStandsAbove(t *testing.T) {
	for above, want := range map[string]string{
		"Engineer;A. Tech;\n": "A. Tech", "Engineer: A. Tech;;\n": "A. Tech", "Techniker;A. Tech;\n": "A. Tech", "Prüfer: A. Tech;;\n": "A. Tech", "Technicien : A. Tech;;\n": "A. Tech",
		"Técnico;A. Tech;\n": "A. Tech", "Operatore;A. Tech;\n": "A. Tech", "Monteur;A. Tech;\n": "A. Tech", "Engineer;;\n": "", "Engineer;2026;\n": "",
	} {
		table := openBytes(t, "a.csv", []byte(above+"Point;Date;Value\n1.001;2026-05-12;27\n1.002;2026-05-12;28\n")).All()[0]
		u, err := Understand(table, Profile{})
		must(t, err)
		rows := 0
		for r, bad := range u.Records(table) {
			if bad != nil || r.Reading.By != want {
				t.Errorf("%q: by %+v, %v", above, r.Reading, bad)
			}
			rows++
		}
		if rows != 2 {
			t.Errorf("%q: %d rows", above, rows)
		}
	}
	const own = "Engineer;A. Tech;;\nPoint;Date;Value;By\n1.001;2026-05-12;27;B. Other\n"
	table := openBytes(t, "a.csv", []byte(own)).All()[0]
	u, err := Understand(table, Profile{})
	must(t, err)
	for r := range u.Records(table) {
		if r.Reading.By != "B. Other" {
			t.Errorf("a column says so too: %q", r.Reading.By)
		}
	}
}
