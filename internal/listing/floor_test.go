package listing

import "testing"

// A column of floors is the floor of a place, in each language, and never its area.
func TestFloorHeadings(t *testing.T) {
	lx := newLexicon()
	for _, heading := range []string{
		"Floor", "Storey", "Level", "Stockwerk", "Etage", "Geschoss", "Ebene", "Niveau", "Étage", "Planta", "Piso", "Nivel", "Piano", "Livello", "Verdieping", "Bouwlaag",
	} {
		if got := lx.headings[fold(heading)]; got != Floor {
			t.Errorf("a column %q holds the %s, want the floor", heading, got)
		}
	}
	for _, heading := range []string{"Area", "Area or floor", "Bereich", "Gebäude", "Bâtiment", "Edificio", "Gebouw"} {
		if got := lx.headings[fold(heading)]; got != Area {
			t.Errorf("a column %q holds the %s, want the area", heading, got)
		}
	}
}
