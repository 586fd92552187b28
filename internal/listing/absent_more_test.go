package listing

import (
	"fmt"
	"testing"
)

// TestPlannedOrderedCancelled: a type, a status and a remark of a schedule are read by the same words for what is not fitted.
func TestPlannedOrderedCancelled(t *testing.T) {
	for _, word := range []string{
		"ordered", "to be ordered", "cancelled", "wiring only", "do not fit", "bestellt", "storniert", "nicht montieren", "commandé", "annulé", "ne pas poser",
		"anulado", "no montar", "pedido", "scorta", "annullato", "da ordinare", "vervallen", "besteld", "niet plaatsen",
	} {
		for _, row := range []string{"1,30,%s,Stairs,,\n", "1,30,Larch,Stairs,%s,\n", "1,30,Larch,Stairs,,%s\n"} {
			list := "loop,address,type,location,status,remark\n1,29,Larch,Hall,in service,\n" + fmt.Sprintf(row, word) + "1,31,Larch,Loft,in service,clean\n"
			table := openBytes(t, "x.csv", []byte(list)).All()[0]
			u, err := Understand(table, Profile{})
			must(t, err)
			for r, bad := range u.Records(table) {
				if bad == nil && r.Schedule != nil && r.Schedule.Ref.Address == 30 && r.Schedule.Vacant == "" {
					t.Errorf("%q: fitted", fmt.Sprintf(row, word))
				}
			}
		}
	}
}

// TestYearBetweenRows: a title between rows that says another year than their days is asked.
func TestYearBetweenRows(t *testing.T) {
	for title, want := range map[string]string{
		"values below are from 2024": AskTitle, "Werte von 2024": AskTitle, "valeurs de 2024": AskTitle, "valores de 2024": AskTitle, "valori del 2024": AskTitle, "waarden van 2024": AskTitle,
		"values below are from 2025": "", "Readings 2025": "",
	} {
		list := "Point,Date,Value\n1.001,2025-05-12,27\n" + title + "\n1.002,2025-05-12,30\n"
		if got := blockedBy(t, nil, "a.csv", list, Profile{}); got != want {
			t.Errorf("%s: asked %q", title, got)
		}
	}
}

// TestOpenNumberOfASheet: 1.000 may be one or a thousand, however another type's figures are written.
func TestOpenNumberOfASheet(t *testing.T) {
	const list = "Type;Kind;Low;High\nAlder;optical smoke;20;44\nElm;heat;10,5;30,5\nOak;CO;%s;%s\n"
	if got := blockedBy(t, nil, "a.csv", fmt.Sprintf(list, "1.000", "1.500"), Profile{}); got != AskDecimal {
		t.Errorf("asked %q", got)
	}
	if got := blockedBy(t, nil, "a.csv", fmt.Sprintf(list, "1,5", "2,5"), Profile{}); got != "" {
		t.Errorf("asked %q", got)
	}
}

// TestSettingBesideATest: an outcome under the name of a setting is asked beside that of the test.
func TestSettingBesideATest(t *testing.T) {
	for _, list := range []string{
		"Point,Date,Test,LED\n1.001,2025-04-13,✓,✗\n", "Point,Date,Test,LED\n1.001,2025-04-13,✓,fail\n", "Point,Date,Result,Sensitivity\n1.001,2025-04-13,ok,not ok\n", "Point,Date,Test,Mode\n1.001,2025-04-13,pass,faulty\n",
		"Punkt,Datum,Ergebnis,Betriebsart\n1.001,13.04.2025,bestanden,defekt\n", "Punto,Fecha,Resultado,Modo\n1.001,2025-04-13,ok,averiado\n", "Point,Date,Résultat,Sensibilité\n1.001,2025-04-13,ok,échec\n",
		"Punto,Data,Esito,Modalità\n1.001,2025-04-13,ok,guasto\n", "Punt,Datum,Resultaat,Gevoeligheid\n1.001,2025-04-13,ok,defect\n",
	} {
		if u, got := eventsOf(t, nil, list, Profile{}); got != "!" || len(u.Questions) == 0 {
			t.Errorf("%q: %s %v", list, got, u.Questions)
		}
	}
}
