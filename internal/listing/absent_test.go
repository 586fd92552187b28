package listing

import (
	"fmt"
	"testing"
)

// TestNothingIsFitted: words that say that no device is there make no point, and what may say so beside a type, or is no
// name of a type, is refused.
func TestNothingIsFitted(t *testing.T) {
	ends := func(kind, status string) string {
		list := fmt.Sprintf("loop,address,type,location,status\n1,29,Larch,Hall,in service\n1,30,%s,Stairs,%s\n1,31,Larch,Loft,in service\n", quoted(kind), quoted(status))
		table := openBytes(t, "x.csv", []byte(list)).All()[0]
		u, err := Understand(table, Profile{})
		must(t, err)
		rows := 0
		for r, bad := range u.Records(table) {
			switch {
			case bad != nil:
				return "refused"
			case r.Schedule.Vacant != "":
				return "vacant"
			}
			rows++
		}
		if rows == 2 {
			return "vacant"
		}
		return "fitted"
	}
	for want, cells := range map[string][]string{
		"vacant": {
			"SPARE", "Spare 2", "Vacant", "blank", "future", "No device", "Disused", "gone", "Missing", "TBC", "Allow for future", "Blanking plate", "to be fitted", "not yet fitted",
			"Reserve 3", "kein Melder", "Blindplatte", "noch nicht montiert", "fehlt", "aucun appareil", "à poser", "manquant", "sin equipo", "por instalar", "falta", "nessun dispositivo", "da installare", "mancante", "geen melder", "nog te plaatsen", "ontbreekt",
		},
		"refused": {"?", "x", "0", "??", "Larch - not yet fitted", "Larch (removed)", "Larch, demontiert", "Larch à poser", "Larch (da installare)", "Larch vacante", "Larch, nog te plaatsen"},
		"fitted":  {"Larch", "Larch 2", "optical", "A1", "601", "Rauchmelder"},
	} {
		for _, cell := range cells {
			if got := ends(cell, "in service"); got != want {
				t.Errorf("type %q: %s, want %s", cell, got, want)
			}
		}
	}
	for status, want := range map[string]string{
		"removed": "vacant", "planned": "vacant", "ausgebaut": "vacant", "déposé": "vacant", "no instalado": "vacant", "rimosso": "vacant", "verwijderd": "vacant", "removed in 2024": "refused",
		"in service": "fitted", "isolated": "fitted", "": "fitted", "-": "fitted", "ok": "fitted",
	} {
		if got := ends("Larch", status); got != want {
			t.Errorf("status %q: %s, want %s", status, got, want)
		}
	}
}
