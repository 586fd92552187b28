package listing

import "testing"

// TestPassedAndFailedColumns: a mark in one of two columns chooses it, whatever mark it is; two marks, or a word against it,
// choose nothing.
func TestPassedAndFailedColumns(t *testing.T) {
	for _, heads := range []string{"Pass;Fail", "OK;Not OK", "Bestanden;Nicht bestanden", "Réussi;Échoué", "Superado;Fallido", "Superato;Fallito", "Geslaagd;Mislukt"} {
		for _, mark := range []string{"x", "X", "✓", "✗", "1", "ja"} {
			text := "Loop;Address;Date;" + heads + "\n1;1;2025-09-16;" + mark + ";\n1;2;2025-09-16;;" + mark + "\n1;3;2025-09-16;" + mark + ";\n"
			if u, got := eventsOf(t, nil, text, Profile{}); got != "1,tested,passed 2,tested,failed 3,tested,passed" || len(u.Questions) > 0 {
				t.Errorf("%s with %s: %s %v", heads, mark, got, u.Questions)
			}
		}
	}
	if _, got := eventsOf(t, nil, "Loop;Address;Date;Passed;Wurst\n1;1;2025-09-16;yes;\n1;2;2025-09-16;;x\n1;3;2025-09-16;yes;\n", Profile{}); got != "1,tested,passed ! 3,tested,passed" {
		t.Errorf("a mark in a column that nobody knows: %s", got)
	}
	if u, got := eventsOf(t, nil, "Loop;Address;Date;Fail;Pass\n1;1;2025-09-16;x;x\n1;2;2025-09-16;;x\n1;3;2025-09-16;;broken\n", Profile{}); got != "! 2,tested,passed 3,tested,failed" || len(u.Questions) == 0 {
		t.Errorf("two marks: %s %v", got, u.Questions)
	}
}

// TestOneColumnToTick: one column with marks under a word for what happened is asked about, and read once that was answered.
func TestOneColumnToTick(t *testing.T) {
	for text, want := range map[string]string{
		"Point;Date;Tested\n1.001;2025-09-16;x\n1.002;2025-09-16;ja\n":                         "1,tested,passed 2,tested,passed",
		"Punkt;Datum;Geprüft\n1.001;2025-09-16;ja\n1.002;2025-09-16;nein\n1.003;2025-09-16;\n": "1,tested,passed",
		"Point;Date;Nettoyé\n1.001;2025-09-16;oui\n1.002;2025-09-16;\n1.003;2025-09-16;oui\n":  "1,cleaned 3,cleaned",
		"Punto;Fecha;Sustituido\n1.001;2025-09-16;x\n1.002;2025-09-16;\n1.003;2025-09-16;\n":   "1,replaced",
		"Punto;Data;Pulito\n1.001;2025-09-16;x\n1.002;2025-09-16;\n":                           "1,cleaned",
		"Punt;Datum;Gereinigd\n1.001;2025-09-16;x\n1.002;2025-09-16;x\n1.003;2025-09-16;\n":    "1,cleaned 2,cleaned",
	} {
		u, _ := eventsOf(t, nil, text, Profile{})
		q, open := u.Blocking()
		if !open || q.ID != AskResult || len(q.Choices) != 2 {
			t.Errorf("%q: %v", text, u.Questions)
			continue
		}
		var p Profile
		if err := p.Answer(q.ID, q.Choices[0].Value); err != nil {
			t.Fatal(err)
		}
		if u, got := eventsOf(t, nil, text, p); got != want {
			t.Errorf("%q, answered: %s %v", text, got, u.Questions)
		}
	}
}

// TestValuesThatAreNone: a column headed as the value is that, whatever some of its cells are; those are refused by row.
func TestValuesThatAreNone(t *testing.T) {
	for _, head := range []string{"Value", "Wert", "Valeur", "Valor", "Valore", "Waarde"} {
		u, readings := understood(t, "a.csv", "Point;Date;"+head+"\n1.001;2025-09-16;3O\n1.002;2025-09-16;~31\n1.003;2025-09-16;(29)\n1.004;2025-09-16;29\n", Profile{})
		if u.Kind != KindReadings || len(u.Questions) > 0 || len(readings) != 4 || readings[0] != "!" || readings[1] != "!" || readings[3] != "4 [29]" {
			t.Errorf("%s: %s %v %v", head, u.Kind, u.Questions, readings)
		}
	}
	u, _ := understood(t, "a.csv", "Point;Last year;This year\n1.001;31;32\n1.002;30;31\n", Profile{Kind: KindReadings, Constants: map[Field]string{Date: "2025-09-16"}})
	if q, open := u.Blocking(); !open || q.ID != AskValue || len(q.Choices) != 2 {
		t.Errorf("%v", u.Questions)
	}
	u, _ = understood(t, "a.csv", "Point;Place\n1.001;Hall\n1.002;Ramp\n", Profile{Kind: KindReadings, Constants: map[Field]string{Date: "2025-09-16"}})
	if !u.Refused || len(u.Questions) > 0 {
		t.Errorf("no numbers: %v, %v", u.Refused, u.Questions)
	}
}

// TestBareLinesWithValues: numbers that may be values beside types, without headings, are asked about.
func TestBareLinesWithValues(t *testing.T) {
	site := NewKnown()
	for n := 1; n <= 6; n++ {
		site.AddPoint(Ref{Panel: "1", Loop: "1", Address: n}, ScheduleRow{Type: "Juniper O"})
	}
	for _, text := range []string{
		"1.001  Juniper O  031  NORMAL\n1.002  Juniper O  029  NORMAL\n1.003  Juniper O  033  NORMAL\n",
		"1.001;Juniper O;31\n1.002;Juniper O;29\n1.003;Juniper O;33\n1.004;Juniper O;30\n", "L1D001 Juniper O;31;NORMAL\nL1D002 Juniper O;29;NORMAL\n",
	} {
		u, _ := understoodBy(t, site, "a.txt", text, Profile{})
		if _, open := u.Blocking(); !open && !u.Refused {
			t.Errorf("%q is taken for %s", text, u.Kind)
		}
	}
	if u, _ := understoodBy(t, site, "a.csv", "1.001;Juniper O;1;Hall\n1.002;Juniper O;1;Ramp\n1.003;Juniper O;2;Dock\n1.004;Juniper O;2;Store\n", Profile{}); u.Kind != KindSchedule {
		t.Errorf("zones are taken for values: %v", u.Questions)
	}
}
