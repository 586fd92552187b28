package listing

import (
	"strings"
	"testing"
)

// TestNewNumbersFitNothing: new numbers of devices that the register has are no devices beside them, whatever a person mapped.
func TestNewNumbersFitNothing(t *testing.T) {
	for _, c := range []struct{ list, column, rows string }{
		{"Loop,Old address,New address,Type\n1,1,41,Larch\n1,9,42,Larch\n", "New address", "! 42"},
		{"Schleife;Alte Adresse;Neue Adresse;Typ\n1;1;41;Larch\n", "Neue Adresse", "!"},
		{"Boucle;Ancienne adresse;Nouvelle adresse;Type\n1;1;41;Larch\n", "Nouvelle adresse", "!"},
		{"Lazo;Dirección antigua;Nueva dirección;Tipo\n1;1;41;Larch\n", "Nueva dirección", "!"},
		{"Anello;Vecchio indirizzo;Nuovo indirizzo;Tipo\n1;1;41;Larch\n", "Nuovo indirizzo", "!"},
		{"Lus;Oud adres;Nieuw adres;Type\n1;1;41;Larch\n", "Nieuw adres", "!"},
		{"Loop,New address,Serial,Type\n1,41,SN1001,Larch\n1,42,SN2000,Larch\n", "New address", "! 42"},
		{"Loop,New address,Location,Type\n1,41,Room 101,Larch\n1,42,Store,Larch\n", "New address", "! 42"},
		{"Loop,Old address,Number,Type\n1,1,41,Larch\n", "Number", "!"},
	} {
		asked, rows := against(t, eightPoints(), "x.csv", c.list, Profile{Columns: map[string]Field{c.column: Address}})
		for i, row := range rows {
			if strings.Contains(row, "it would stand there twice") {
				rows[i] = "!"
			}
		}
		if got := strings.Join(rows, " "); asked != "" || got != c.rows {
			t.Errorf("%q: asked %q, rows %s", c.list, asked, got)
		}
	}
}
