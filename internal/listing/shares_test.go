package listing

import "testing"

// TestShares: values in percent are asked about where the register reads none so.
func TestShares(t *testing.T) {
	for _, head := range []string{"Value in %", "Value (%)", "Wert in %", "Valeur en %", "Valor en %", "Valore in %", "Waarde in %"} {
		for unit, asked := range map[string]bool{"": true, "dB/m": true, "%": false, "%/m": false} {
			site := NewKnown()
			site.AddPoint(Ref{Panel: "1", Loop: "1", Address: 1}, ScheduleRow{Type: "Juniper O"})
			site.AddUnit(unit)
			u, _ := understoodBy(t, site, "a.csv", "Point;Date;"+head+"\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n", Profile{})
			if q, open := u.Blocking(); open != asked || asked && q.ID != AskValue {
				t.Errorf("%s beside %q: %v", head, unit, u.Questions)
			}
		}
	}
	if u, _ := understood(t, "a.csv", "Point;Date;Value (%)\n1.001;2025-09-16;31\n", Profile{}); len(u.Questions) > 0 {
		t.Errorf("without a register: %v", u.Questions)
	}
}
