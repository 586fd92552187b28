package listing

import (
	"fmt"
	"strings"
	"testing"
)

// TestFittedMarks: a yes or a no under "fitted" is no day: with a no, nothing is fitted there.
func TestFittedMarks(t *testing.T) {
	for _, c := range []struct{ list, rows string }{
		{"Loop;Address;Type;Fitted\n1;1;Larch;yes\n1;9;Larch;no\n1;10;Larch;yes\n", "1 10"},
		{"Loop;Address;Type;Installed?\n1;1;Larch;✓\n1;9;Larch;✗\n1;10;Larch;✓\n", "1 10"},
		{"Loop;Address;Type;Fitted (yes/no)\n1;1;Larch;Y\n1;9;Larch;N\n1;10;Larch;Y\n", "1 10"},
		{"Schleife;Adresse;Typ;Montiert\n1;1;Larch;ja\n1;9;Larch;nein\n1;10;Larch;ja\n", "1 10"},
		{"Boucle;Adresse;Type;Posé\n1;1;Larch;oui\n1;9;Larch;non\n1;10;Larch;oui\n", "1 10"},
		{"Lazo;Dirección;Tipo;Instalado\n1;1;Larch;sí\n1;9;Larch;no\n1;10;Larch;sí\n", "1 10"},
		{"Anello;Indirizzo;Tipo;Montato\n1;1;Larch;sì\n1;9;Larch;no\n1;10;Larch;sì\n", "1 10"},
		{"Lus;Adres;Type;Geplaatst\n1;1;Larch;ja\n1;9;Larch;nee\n1;10;Larch;ja\n", "1 10"},
		{"Loop;Address;Type;Fitted\n1;1;Larch;✓\n1;9;Larch;\n1;10;Larch;✓\n", "1 ! 10"},
		{"Loop;Address;Type;Fitted\n1;1;Larch;2020-01-02\n1;9;Larch;2020-01-02\n", "1 9"},
	} {
		asked, rows := against(t, eightPoints(), "x.csv", c.list, Profile{})
		for i, row := range rows {
			if strings.Contains(row, "whether the device is fitted") {
				rows[i] = "!"
			}
		}
		if got := strings.Join(rows, " "); asked != "" || got != c.rows {
			t.Errorf("%q: asked %q, %s", c.list, asked, got)
		}
	}
	table := openBytes(t, "x.csv", []byte("Loop;Address;Type;Fitted\n1;1;Larch;yes\n1;2;Larch;no\n")).All()[0]
	u, err := eightPoints().Understand(table, Profile{})
	must(t, err)
	said := []string{}
	for r := range u.Records(table) {
		said = append(said, fmt.Sprintf("%d%s", r.Schedule.Ref.Address, r.Schedule.Vacant))
	}
	if got := strings.Join(said, ", "); got != "1, 2Fitted: no" {
		t.Errorf("a device that the register has: %s", got)
	}
}
