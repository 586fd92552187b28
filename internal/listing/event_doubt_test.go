package listing

import (
	"strings"
	"testing"
)

// TestDoubtfulEvents: what happened is asked where its own cell leaves it in doubt.
func TestDoubtfulEvents(t *testing.T) {
	for _, said := range []string{
		"replaced?", "replaced by client?", "(replaced)", "[replaced]", "replaced 2019", "disabled?", "alarm?", "fault?", "cleaned?", "tested?", "restored?", "(disabled)", "ersetzt?", "ausgetauscht (?)", "(ausgetauscht)", "remplacé ?", "¿sustituido?", "sostituito?",
		"vervangen?", "Störung?", "défaut ?", "cleaned 2019", "replaced 2019-05-11", "gereinigt 2019",
	} {
		u, _ := saidIn(t, "a.csv", "Point;Date;Event\n1.001;2025-09-16;"+said+"\n1.002;2025-09-16;replaced\n", Profile{})
		if len(u.Questions) != 1 || !strings.HasPrefix(u.Questions[0].ID, AskOutcome) {
			t.Errorf("%s: %+v", said, u.Questions)
		}
	}
	for _, said := range []string{"replaced", "Disabled", "fault", "cleaned", "ersetzt", "remplacé", "alarm"} {
		if u, _ := saidIn(t, "a.csv", "Point;Date;Event\n1.001;2025-09-16;"+said+"\n", Profile{}); len(u.Questions) > 0 {
			t.Errorf("%s: %+v", said, u.Questions)
		}
	}
}
