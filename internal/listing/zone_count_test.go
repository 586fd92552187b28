package listing

import "testing"

// TestNumbersWithinZones: numbers that begin again with each zone of a loop are asked about; two devices that share a
// number are not.
func TestNumbersWithinZones(t *testing.T) {
	for _, c := range []struct{ list, asked string }{
		{"Schleife;Nr.;Meldertyp;Meldergruppe;Melder-Nr.;Klartext\n1;1;Larch;1;1;Eingang\n1;2;Larch;1;2;Flur\n1;3;Elder;2;1;Heizung\n", AskPoint},
		{"loop,zone,device,type\n1,1,1,Larch\n1,1,2,Larch\n1,2,1,Larch\n1,2,2,Elder\n", AskRefOrder},
		{"boucle,zone,adresse,type\n1,1,1,Larch\n1,2,1,Larch\n1,3,1,Larch\n", AskRefOrder},
		{"loop,zone,address,type\n1,1,1,Larch\n1,1,2,Larch\n1,2,2,Elder\n1,2,3,Elder\n", ""},
		{"loop,zone,address,type\n1,1,1,Larch\n2,2,1,Larch\n", ""},
	} {
		table := openBytes(t, "x.csv", []byte(c.list)).All()[0]
		u, err := Understand(table, Profile{})
		must(t, err)
		if q, _ := u.Blocking(); q.ID != c.asked {
			t.Errorf("%s: asked %q, %v", c.list, q.ID, u.Columns)
		}
	}
}
