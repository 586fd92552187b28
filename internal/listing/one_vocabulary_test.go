package listing

import "testing"

// TestVoidingWordsAnywhere: a word that voids is understood as the heading of a column of marks, as a remark, as a title and as the
// name of a sheet.
func TestVoidingWordsAnywhere(t *testing.T) {
	for _, word := range []string{"Simulated", "Superseded", "Simuliert", "Veraltet", "Simulé", "Périmé", "Simulado", "Obsoleto", "Simulato", "Superato", "Gesimuleerd", "Verouderd"} {
		for where, list := range map[string]string{
			"heading": "Point;Date;Value;" + word + "\n1.001;2026-05-12;27;x\n1.002;2026-05-12;28;\n",
			"remark":  "Point;Date;Value;Remark\n1.001;2026-05-12;27;" + word + "\n1.002;2026-05-12;28;\n",
			"title":   word + ";;\nPoint;Date;Value\n1.001;2026-05-12;27\n1.002;2026-05-12;28\n",
		} {
			if u, readings := understood(t, "a.csv", list, Profile{}); len(u.Questions) == 0 {
				t.Errorf("%s as a %s is not asked: %v", word, where, readings)
			}
		}
		if lx := newLexicon(); !lx.isDraft(word) {
			t.Errorf("%s is no name that speaks against a sheet", word)
		}
	}
	for _, remark := range []string{"wrong", "deleted", "gelöscht", "faux", "borrado", "mancante", "ontbreekt"} {
		if u, _ := understood(t, "a.csv", "Point;Date;Value;Remark\n1.001;2026-05-12;27;"+remark+"\n1.002;2026-05-12;28;\n", Profile{}); len(u.Questions) == 0 {
			t.Errorf("the remark %s is not asked", remark)
		}
	}
}
