package listing

import "testing"

// TestEventsAreUnderstoodWhole: a word for what happened is taken with harmless words beside it, and asked about with
// any other; what ends a fault or a disablement is known as such, in all languages.
func TestEventsAreUnderstoodWhole(t *testing.T) {
	for want, cells := range map[string][]string{
		"asked": {
			"to be replaced", "replacement ordered", "should be replaced", "replaced base only", "base replaced", "battery replaced", "exchanged with 1.007", "cleaning due", "clean at next visit",
			"pre-alarm", "alarm simulated", "alarm LED only", "replacement recommended", "fault? no", "test failed to be done", "isolation planned", "un-cleaned",
			"Austausch empfohlen", "Reinigung erforderlich", "Sockel ersetzt", "Alarm simuliert", "Austausch bestellt", "nur gereinigt",
			"nettoyage nécessaire", "remplacement prévu", "alarme simulée", "socle remplacé",
			"pendiente de limpieza", "sustitución recomendada", "alarma simulada", "limpieza necesaria",
			"pulizia da fare", "sostituzione consigliata", "allarme simulato", "da sostituire",
			"te vervangen", "reiniging nodig", "vervanging aanbevolen", "alarm gesimuleerd",
		},
		"restored": {
			"de-isolated", "De-Isolated", "isolation removed", "fault cleared", "end of fault", "Abschaltung aufgehoben", "Störung behoben", "défaut disparu", "fin de défaut", "avería resuelta", "fin de avería",
			"guasto risolto", "fine guasto", "esclusione rimossa", "storing opgelost", "storing verholpen", "uitschakeling opgeheven", "remis en service", "Alarm zurückgestellt",
		},
		"replaced": {"replaced", "replaced faulty head", "Melder ersetzt", "head replaced", "détecteur remplacé", "replaced in room 12"},
		"cleaned":  {"cleaned ok", "Melder gereinigt", "cleaned by technician", "nettoyage annuel"},
		"alarm":    {"fire alarm", "alarm received", "alarm in kitchen", "Alarm Zone 3"},
		"fault":    {"fault", "detector fault", "Störung Melder", "fault: broken"},
		"disabled": {"isolated", "zone isolated", "Melder abgeschaltet"},
	} {
		for _, cell := range cells {
			if got := ends(t, "point,date,event,by\n1.1,2025-01-02,"+quoted(cell)+",x\n"+rest); got != want {
				t.Errorf("%q is %q, want %q", cell, got, want)
			}
		}
	}
}
