package listing

import "testing"

// TestScheduleSaysGone: a remark or a column of removals says that a device is not there.
func TestScheduleSaysGone(t *testing.T) {
	for _, c := range [][2]string{
		{"Remark", "not fitted"}, {"Remarks", "removed"}, {"Bemerkung", "ausgebaut"}, {"Remarque", "déposé"}, {"Nota", "rimosso"}, {"Opmerking", "verwijderd"}, {"Removed on", "2020-02-02"}, {"Ausgebaut am", "02.02.2020"}, {"Déposé le", "02/02/2020"}, {"Removed", "yes"},
	} {
		table := openBytes(t, "a.csv", []byte("Loop;Address;Type;Location;"+c[0]+"\n1;20;Larch;Mezz;"+c[1]+"\n1;21;Larch;Ramp;\n1;22;Larch;Yard;\n")).All()[0]
		u, err := Understand(table, Profile{})
		must(t, err)
		var fitted []int
		for r, bad := range u.Records(table) {
			if bad == nil && r.Schedule.Vacant == "" {
				fitted = append(fitted, r.Schedule.Ref.Address)
			}
		}
		if len(fitted) != 2 || fitted[0] != 21 {
			t.Errorf("%s: %s: fitted %v, %+v", c[0], c[1], fitted, u.Questions)
		}
	}
}
