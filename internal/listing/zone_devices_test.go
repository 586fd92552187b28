package listing

import (
	"fmt"
	"strings"
	"testing"
)

// TestDevicesOfZones: a zone and a device within it are asked about, with what the register makes of the count; answered, they
// are its points.
func TestDevicesOfZones(t *testing.T) {
	known := NewKnown()
	for n := 1; n <= 6; n++ {
		kind := "Larch"
		if n == 2 || n == 5 {
			kind = "Thorn"
		}
		known.AddPoint(Ref{Panel: "1", Loop: "1", Address: 10 + n}, ScheduleRow{Type: kind, Zone: fmt.Sprint(1 + n/4)})
	}
	known.AddRead("Larch")
	for _, head := range []string{"Zone/Device,Date,Value", "Meldergruppe/Melder,Datum,Messwert", "Groupe/Détecteur,Date,Valeur", "Zona/Detector,Fecha,Valor", "Zona/Rivelatore,Data,Valore", "Groep/Melder,Datum,Waarde"} {
		list := head + "\n1/1,2026-11-10,26\n1/2,2026-11-10,27\n2/1,2026-11-10,28\n2/2,2026-11-10,29\n"
		for answer, want := range map[RefOrder]string{"": "", ZoneReadDevice: "11 13 14 16", ZoneDevice: "11 12 14 15"} {
			asked, rows := against(t, known, "x.csv", list, Profile{RefOrder: answer})
			if got := strings.Join(rows, " "); answer == "" && asked != AskRefOrder || answer != "" && (asked != "" || got != want) {
				t.Errorf("%s, answered %q: asked %q, %s", head, answer, asked, got)
			}
		}
		if _, rows := against(t, known, "x.csv", list+"2/4,2026-11-10,29\n", Profile{RefOrder: ZoneReadDevice}); !strings.Contains(rows[4], "a device of a zone of the register") {
			t.Errorf("%s: a device beyond those of the zone: %v", head, rows)
		}
	}
	more := "Zone/Device,Date,Value\n1/1,2026-11-10,26\n1/9,2026-11-10,27\n"
	u, err := known.Understand(openBytes(t, "x.csv", []byte(more)).All()[0], Profile{})
	must(t, err)
	if !u.Refused {
		t.Errorf("a count that the register does not bear out: %v", u.Questions)
	}
}
