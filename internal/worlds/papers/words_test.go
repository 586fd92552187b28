package papers

import (
	"slices"
	"testing"
)

// sound are texts such as a paper could hold, whole in their language (ours, from memory of the languages).
var sound = map[string]string{
	"de": `Bericht über den Besuch vom 20. Januar 2026
An zwölf Punkten konnte nicht geprüft werden: der Raum war verschlossen. Die Anlage ist nicht im Normalbetrieb.
Bis zum 27. Januar ist das Regal wegzuräumen. Wir kommen im Juli wieder. Fünf Ruhewerte liegen außerhalb ihres Bandes.
Unterschrift der verantwortlichen Person, Seite 1 von 9, Hall of Mirrors`,
	"fr": `Rapport de la visite du 20 janvier 2026
Douze points n'ont pas pu être essayés : le local était fermé à clé. L'installation n'est pas en service normal.
Il faut dégager le rayonnage avant le 27 janvier. Nous revenons en juillet. Page 1 sur 9
Cinq valeurs de repos sont hors de leur plage. Signature de la personne responsable, Hall of Mirrors`,
	"es": `Informe de la visita del 20 de enero de 2026
Doce puntos no se pudieron probar: el local estaba cerrado con llave. El sistema no queda en servicio normal.
Hay que despejar la estantería antes del 27 de enero. Volvemos en julio. Página 1 de 9
Cinco valores de reposo están fuera de su banda. Firma de la persona responsable, Hall of Mirrors`,
}

func words(all []Leftover) []string {
	var out []string
	for _, l := range all {
		out = append(out, l.Word)
	}
	return out
}

func TestLeftovers(t *testing.T) {
	written := []string{"Hall", "Hall of Mirrors"}
	if _, err := Leftovers("x", "la", nil, nil); err == nil {
		t.Error("a language that is not known is taken")
	}
	for language, text := range sound {
		found, err := Leftovers(text, language, nil, written)
		if err != nil || len(found) > 0 {
			t.Errorf("%s: a sound text has %v, %v", language, found, err)
		}
		for line, want := range map[string]string{
			"\nstill out of use: Sirenen":   "still",
			"\n12 points NOT reached":       "reached",
			"\nvisit.report.title":          "visit.report.title",
			"\nfield_next_due  2026-07-20":  "field_next_due",
			"\n%!d(MISSING) Punkte":         "%!d(",
			"\nHall of Mirrors, the cellar": "the",
		} {
			found, _ := Leftovers(text+line, language, nil, written)
			if !slices.Contains(words(found), want) {
				t.Errorf("%s: %q is not found in %q: %v", language, want, line, found)
			}
		}
		if found, _ := Leftovers(text+"\nnextdue", language, []string{"nextdue"}, written); !slices.Equal(words(found), []string{"nextdue"}) {
			t.Errorf("%s: the key: %v", language, found)
		}
		if found, _ := Leftovers(text, language, nil, nil); len(found) == 0 {
			t.Errorf("%s: what was written counts though nobody said that it was written", language)
		}
	}
	for language := range sound {
		if found, _ := Leftovers("BMA 1.1.001 44", language, nil, nil); len(found) != 1 {
			t.Errorf("%s: a text of no language: %v", language, found)
		}
	}
}

// What the house's own English says is found in every language.
func TestLeftoversOfEnglish(t *testing.T) {
	const page = "Still out of use: smoke doors. What must be done: clear the racking by 2026-01-27. 12 points could not be reached."
	for language := range sound {
		if found, _ := Leftovers(page, language, nil, nil); len(found) < 8 {
			t.Errorf("%s: only %v", language, words(found))
		}
	}
}
