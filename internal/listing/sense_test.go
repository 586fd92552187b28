package listing

import (
	"fmt"
	"strings"
	"testing"
)

// TestNoValueUnasked: a lone column of numbers is the value only if its heading says so, whole or beside harmless words;
// any other is asked about, and either answer is heeded.
func TestNoValueUnasked(t *testing.T) {
	list := func(heading string) string {
		return "point;date;" + heading + "\n1.001;13.11.2026;26\n1.002;13.11.2026;27\n1.003;13.11.2026;27\n"
	}
	for _, heading := range []string{
		"old value", "value in hall", "former value", "planned value", "target value", "next value", "assumed value", "limit value", "default value", "drift value", "peak value", "delta", "deviation", "score", "price", "battery", "count", "alarms count", "value (simulated)", "setpoint", "mV", "humidity", "dust %", "temp",
		"wert vorher", "alter Wert", "Grenzwert", "Sollwert", "Differenz", "Hausnummer", "valeur précédente", "valeur limite", "valeur attendue", "écart", "valor anterior", "valor esperado", "valore precedente", "valore atteso", "vorige waarde", "verwachte waarde",
	} {
		u, readings := understood(t, "a.csv", list(heading), Profile{})
		q, open := u.Blocking()
		if !open || u.Kind != KindReadings || q.ID != AskValue || len(q.Choices) != 2 || !strings.Contains(q.Text, heading) {
			t.Errorf("%s: %s %v, with %v", heading, u.Kind, u.Questions, readings)
			continue
		}
		for _, choice := range q.Choices {
			var p Profile
			if err := p.Answer(q.ID, choice.Value); err != nil {
				t.Fatal(err)
			}
			u, readings = understood(t, "a.csv", list(heading), p)
			yes := !strings.Contains(choice.Value, "=")
			if got := strings.Join(readings, " "); (got == "1 [26] 2 [27] 3 [27]") != yes {
				t.Errorf("%s, answered %q: %s, %s", heading, choice.Value, u.Kind, got)
			}
		}
	}
	for _, heading := range []string{"value", "Wert", "valeur", "lectura", "analogue value", "reading 1", "Messwert", "Vlaue", ""} {
		if u, readings := understood(t, "a.csv", list(heading), Profile{}); len(readings) != 3 || len(u.Questions) > 0 {
			t.Errorf("%q: %v %v %s", heading, u.Questions, readings, u.KindWhy)
		}
	}
}

// A known value beside one of another sense is the value, and the other is said to be left out.
func TestValueBesideAnotherSense(t *testing.T) {
	for _, heading := range []string{"old value", "expected value", "Grenzwert", "valeur précédente", "drift"} {
		u, readings := understood(t, "a.csv", "point,date,value,"+heading+"\n1.001,2026-11-13,26,11\n1.002,2026-11-13,27,12\n", Profile{})
		if got := strings.Join(readings, " "); got != "1 [26] 2 [27]" || len(u.Questions) > 0 || u.Columns[3].Field != Unused {
			t.Errorf("%s: %s %v %v", heading, got, u.Questions, u.Columns[3])
		}
	}
}

// scheduleField gives what a column of a schedule is taken for, beside the usual ones.
func scheduleField(t *testing.T, heading, cells string) (Field, string) {
	t.Helper()
	var rows strings.Builder
	for i, cell := range strings.Fields(cells) {
		fmt.Fprintf(&rows, "1,%d,Larch,R%d,%s\n", 30+i, 30+i, cell)
	}
	u, _ := understood(t, "a.csv", "loop,address,type,area,"+heading+"\n"+rows.String(), Profile{})
	if _, open := u.Blocking(); open || u.Kind != KindSchedule {
		t.Errorf("%s: %s %v", heading, u.Kind, u.Questions)
	}
	return u.Columns[4].Field, u.Columns[4].Why
}

// TestLengthsAreFromThePointBefore: a length that is another one, or in another unit, is left out.
func TestLengthsAreFromThePointBefore(t *testing.T) {
	for _, heading := range []string{"total cable (m)", "cable (planned)", "cumulative cable", "cable to next (m)", "cable (ft)", "cable [feet]", "distance to panel", "Kabel gesamt (m)", "Kabel zum nächsten", "câble cumulé", "longueur totale de câble", "cable hasta el siguiente", "cavo totale (m)", "kabel totaal", "length (km)", "planned cable length"} {
		if f, why := scheduleField(t, heading, "5 12 20"); f != Unused || why == "" {
			t.Errorf("%s: %s, %s", heading, f, why)
		}
	}
	for _, heading := range []string{"cable (m)", "Cable from previous (m)", "cable length from previous device", "Kabellänge (m)", "longueur de câble depuis le précédent", "cable desde el anterior", "length of cable", "cable (mm)"} {
		if f, why := scheduleField(t, heading, "5 12 20"); f != Metres {
			t.Errorf("%s: %s, %s", heading, f, why)
		}
	}
}

// TestPositionIsNoPlace: numbers under a word for a position are no place; names are.
func TestPositionIsNoPlace(t *testing.T) {
	for _, heading := range []string{"Position", "posición", "posizione", "positie"} {
		if f, why := scheduleField(t, heading, "1 2 3"); f != Unused || why == "" {
			t.Errorf("%s: %s, %s", heading, f, why)
		}
	}
	if f, why := scheduleField(t, "Position", "Hall Stairs Loft"); f != Location {
		t.Errorf("names: %s, %s", f, why)
	}
	if f, why := scheduleField(t, "Room", "104 105 106"); f != Location {
		t.Errorf("rooms: %s, %s", f, why)
	}
}

// A length of cable in a unit that is not metres is refused.
func TestCableInMetres(t *testing.T) {
	for cell, taken := range map[string]bool{"12": true, "12 m": true, "12,5": true, "50 ft": false, "12 ms": false, "12 %": false} {
		table := openBytes(t, "x.csv", []byte("loop;address;type;cable\n1;1;Larch;"+cell+"\n1;2;Larch;3,5\n")).All()[0]
		u, err := Understand(table, Profile{})
		must(t, err)
		for _, bad := range u.Records(table) {
			if (bad == nil) != taken {
				t.Errorf("%s: %v", cell, bad)
			}
			break
		}
	}
}

// A schedule with a value that is wanted is a schedule, and the value is left out.
func TestScheduleWithWantedValue(t *testing.T) {
	for _, heading := range []string{"expected value", "Messwert Soll", "valeur attendue", "valor esperado"} {
		if f, why := scheduleField(t, heading, "25 26 27"); f != Unused || why == "" {
			t.Errorf("%s: %s, %s", heading, f, why)
		}
	}
}
