package listing

import "testing"

// TestValuesThatMayNotHold: a column that speaks against values beside it is asked, and its rows are left as answered.
func TestValuesThatMayNotHold(t *testing.T) {
	for _, c := range [][2]string{
		{"Status", "void"},
		{"Status", "not valid"},
		{"Status", "not read"},
		{"Status", "estimated"},
		{"Status", "copied from last year"},
		{"Status", "no reply"},
		{"Status", "storniert"},
		{"Status", "missing"},
		{"Valid", "no"},
		{"Deleted", "yes"},
		{"Ignore", "x"},
		{"Corrected value", "39"},
		{"Zustand", "ungültig"},
		{"Gültig", "nein"},
		{"Gelöscht", "ja"},
		{"État", "annulé"},
		{"Valide", "non"},
		{"Estado", "anulado"},
		{"Stato", "non letto"},
		{"Geldig", "nee"},
		{"Ongeldig", "ja"},
		{"Frobnication", "estimated"},
	} {
		list := "Point;Date;Value;" + c[0] + "\n1.001;2025-09-16;31;" + c[1] + "\n1.002;2025-09-16;29;\n"
		if u, said := saidIn(t, "a.csv", list, Profile{Kind: KindReadings}); len(u.Questions) == 0 || u.Questions[0].ID != AskHolds {
			t.Errorf("%s %s: %s %+v", c[0], c[1], said, u.Questions)
		}
		if _, said := saidIn(t, "a.csv", list, Profile{Kind: KindReadings, Holds: HoldsTaken}); said != "1 2025-09-16 [31]|2 2025-09-16 [29]" {
			t.Errorf("%s %s, taken: %s", c[0], c[1], said)
		}
		if _, said := saidIn(t, "a.csv", list, Profile{Kind: KindReadings, Holds: HoldsLeft}); said != "!|2 2025-09-16 [29]" {
			t.Errorf("%s %s, left: %s", c[0], c[1], said)
		}
	}
	for _, c := range [][2]string{{"Status", "normal"}, {"Status", "OK"}, {"Valid", "yes"}, {"Deleted", "no"}, {"Zustand", "i.O."}, {"Etat", "normal"}, {"Room code", "B12"}} {
		list := "Point;Date;Value;" + c[0] + "\n1.001;2025-09-16;31;" + c[1] + "\n1.002;2025-09-16;29;\n"
		if u, said := saidIn(t, "a.csv", list, Profile{Kind: KindReadings}); len(u.Questions) > 0 || said != "1 2025-09-16 [31]|2 2025-09-16 [29]" {
			t.Errorf("%s %s: %s %+v", c[0], c[1], said, u.Questions)
		}
	}
}
