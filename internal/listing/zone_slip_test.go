package listing

import "testing"

// TestZoneMisspelt: a short heading that is a slip away from the word for a zone is one where its cells bear that out.
func TestZoneMisspelt(t *testing.T) {
	rows := "\n1;1;Larch;1\n1;2;Larch;1\n1;5;Larch;2\n"
	for _, c := range []struct {
		head  string
		known *Known
		want  Field
	}{
		{"Loop;Address;Type;Zoen no.", nil, Zone},
		{"Lazo;Dirección;Tipo;Zoan", nil, Zone},
		{"Lus;Adres;Type;Zoen", nil, Zone},
		{"Loop;Address;Type;Zine", eightPoints(), Zone},
		{"Anello;Indirizzo;Tipo;Zoma", eightPoints(), Zone},
		{"Loop;Address;Type;Zine", nil, Unused},
		{"Loop;Address;Type;Done", nil, Unused},
	} {
		u, err := c.known.Understand(openBytes(t, "x.csv", []byte(c.head+rows)).All()[0], Profile{})
		must(t, err)
		if got := u.Columns[3].Field; got != c.want {
			t.Errorf("%s: %s, %s", c.head, got, u.Columns[3].Why)
		}
	}
	other := "Loop;Address;Type;Zoen\n1;1;Larch;7\n1;2;Larch;7\n1;5;Larch;8\n"
	u, err := eightPoints().Understand(openBytes(t, "x.csv", []byte(other)).All()[0], Profile{})
	must(t, err)
	if u.Columns[3].Field != Unused {
		t.Errorf("zones that the register has otherwise: %s", u.Columns[3].Why)
	}
}
