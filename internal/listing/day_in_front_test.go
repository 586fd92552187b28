package listing

import (
	"strings"
	"testing"
)

// TestDaysInFront: the day of a visit may stand before the word of its heading as well as behind it.
func TestDaysInFront(t *testing.T) {
	for _, c := range []struct{ list, want string }{
		{"Point;2026-05-12 vorher;2026-05-12 nachher\n1.001;40;27\n1.002;42;30\n", "1 [40] 1 [27] 2 [42] 2 [30]"},
		{"Point;12.05.2026 found;12.05.2026 left;13.11.2026 found;13.11.2026 left\n1.001;40;27;41;28\n", "1 [40] 1 [27] 1 [41] 1 [28]"},
		{"Repère;12.05.2026 trouvé;12.05.2026 laissé\n1.001;40;27\n1.002;42;30\n", "1 [40] 1 [27] 2 [42] 2 [30]"},
		{"Punto;12.05.2026 antes;12.05.2026 después\n1.001;40;27\n1.002;42;30\n", "1 [40] 1 [27] 2 [42] 2 [30]"},
		{"Punto;12.05.2026 prima;12.05.2026 dopo\n1.001;40;27\n1.002;42;30\n", "1 [40] 1 [27] 2 [42] 2 [30]"},
		{"Punt;12.05.2026 voor;12.05.2026 na\n1.001;40;27\n1.002;42;30\n", "1 [40] 1 [27] 2 [42] 2 [30]"},
		{"Point;2026-05-12 Value;2026-05-12 Remark\n1.001;30;dusty\n1.002;32;\n", "1 [30] dusty 2 [32]"},
		{"Point;2026-05-12 Value;2026-05-12 Remark;2026-11-12 Value;2026-11-12 Remark\n1.001;30;dusty;31;\n1.002;32;;33;\n", "1 [30] dusty 1 [31] 2 [32] 2 [33]"},
	} {
		u, readings := understood(t, "a.csv", c.list, Profile{})
		if got := strings.Join(readings, " "); got != c.want || len(u.Questions) > 0 {
			t.Errorf("%q: %s %v", c.list, got, u.Questions)
		}
	}
}

// TestOneDayAbove: one day merged over the columns of its visit is that of the values below it, and the point stands beside it.
func TestOneDayAbove(t *testing.T) {
	for _, c := range []struct{ list, want string }{
		{"Loop;Addr;12.05.2026;\n;;Value;Remark\n1;1;30;27\n1;2;31;28\n", "1 [30] 27 2 [31] 28"},
		{"Schleife;Adresse;12.05.2026;\n;;Messwert;Bemerkung\n1;1;30;27\n1;2;31;28\n", "1 [30] 27 2 [31] 28"},
		{"Lazo;Dirección;12.05.2026;\n;;Valor;Observaciones\n1;1;30;27\n1;2;31;28\n", "1 [30] 27 2 [31] 28"},
	} {
		u, readings := understood(t, "a.csv", c.list, Profile{})
		if got := strings.Join(readings, " "); got != c.want || len(u.Questions) > 0 {
			t.Errorf("%q: %s %v", c.list, got, u.Questions)
		}
	}
}
