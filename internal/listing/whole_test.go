package listing

import (
	"fmt"
	"strings"
	"testing"
)

// TestOutcomeHeadingsAreReadWhole: cells that look like outcomes are those of a test only where the heading says so; else
// it is asked, and either answer is heeded.
func TestOutcomeHeadingsAreReadWhole(t *testing.T) {
	list := func(heading string) string {
		return "Point;Date;" + heading + "\n1.001;2025-09-16;ok\n1.002;2025-09-16;ok\n1.003;2025-09-16;ok\n"
	}
	for _, heading := range []string{
		"Photo taken", "Photo", "Paid", "Invoice ok", "Ordered", "Access ok", "Battery test", "Battery", "Base ok", "Test planned", "Needs test", "Not tested", "Skipped", "Fault", "Disabled", "Result 2024", "Sounder test", "Replacement ordered", "Old result", "Expected result",
		"Bezahlt", "Zugang", "Batterie", "Prüfung geplant", "Zu prüfen", "Prüfung fällig", "Nicht geprüft", "Foto", "Payé", "À tester", "Essai prévu", "Non testé", "Pagado", "Prueba prevista", "Sin probar", "Pagato", "Prova prevista", "Da provare", "Te testen", "Test gepland", "Niet getest", "Betaald",
	} {
		u, _ := understood(t, "a.csv", list(heading), Profile{})
		q, open := u.Blocking()
		if !open || q.ID != AskResult || len(q.Choices) != 2 || !strings.Contains(q.Text, heading) {
			t.Errorf("%s: %s %v", heading, u.Kind, u.Questions)
			continue
		}
		var p Profile
		if err := p.Answer(q.ID, q.Choices[0].Value); err != nil {
			t.Fatal(err)
		}
		if u, _ = understood(t, "a.csv", list(heading), p); u.Kind != KindEvents || !u.has(Result, What) {
			t.Errorf("%s, answered yes: %s %v", heading, u.Kind, u.Questions)
		}
		p = Profile{}
		if err := p.Answer(q.ID, q.Choices[1].Value); err != nil {
			t.Fatal(err)
		}
		if u, _ = understood(t, "a.csv", list(heading), p); u.has(Result, What) {
			t.Errorf("%s, answered no: %s %v", heading, u.Kind, u.Columns[2])
		}
	}
	for _, heading := range []string{
		"", "Result", "Test result", "Result of the test", "Test", "Functional test", "Passed", "OK", "Test ok", "Outcome", "Annual test", "Result 1", "Function test", "Smoke test result", "Visit result",
		"Ergebnis", "Prüfergebnis", "Funktionsprüfung", "Prüfung", "in Ordnung", "Résultat", "Résultat de l'essai", "Essai", "Resultado de la prueba", "Prueba", "Esito della prova", "Prova", "Testresultaat", "Functietest", "Uitslag",
	} {
		if u, _ := understood(t, "a.csv", list(heading), Profile{}); u.Kind != KindEvents || len(u.Questions) > 0 || !u.has(Result, What) {
			t.Errorf("%q: %s %v", heading, u.Kind, u.Questions)
		}
	}
}

// TestReferenceHeadingsAreReadWhole: numbers are those of the points only where the heading says so and nothing else.
func TestReferenceHeadingsAreReadWhole(t *testing.T) {
	list := func(heading string) string {
		return "Loop;" + heading + ";Date;Value\n1;1;2025-09-16;31\n1;2;2025-09-16;29\n1;13;2025-09-16;33\n"
	}
	for _, heading := range []string{
		"Old address", "MAC address", "Isolator address", "Next address", "Address of sounder", "Spare address", "Wanted address", "New address", "Former address", "Old point", "Address (hex)", "IP address",
		"Alte Adresse", "Neue Adresse", "Adresse des Trenners", "Ancienne adresse", "Adresse du socle", "Nouvelle adresse", "Dirección antigua", "Nueva dirección", "Dirección del aislador", "Vecchio indirizzo", "Nuovo indirizzo", "Indirizzo dell'isolatore", "Oud adres", "Nieuw adres", "Adres van de sirene",
	} {
		u, readings := understood(t, "a.csv", list(heading), Profile{})
		q, open := u.Blocking()
		if !open || q.ID != AskPoint || len(q.Choices) != 2 || !strings.Contains(q.Text, heading) {
			t.Errorf("%s: %s %v %v", heading, u.Kind, u.Questions, readings)
			continue
		}
		var p Profile
		if err := p.Answer(q.ID, q.Choices[0].Value); err != nil {
			t.Fatal(err)
		}
		if u, readings = understood(t, "a.csv", list(heading), p); strings.Join(readings, " ") != "1 [31] 2 [29] 13 [33]" {
			t.Errorf("%s, answered yes: %v %v", heading, u.Questions, readings)
		}
	}
	for _, heading := range []string{
		"Address", "Loop address", "Device address", "Address of the detector", "Detector no.", "Point number", "Address no.", "Current address", "Address (1-127)", "Address (decimal)", "Analogue address",
		"Melderadresse", "Adresse des Melders", "Adresse actuelle", "Adresse du détecteur", "Dirección actual", "Dirección del detector", "Indirizzo del rivelatore", "Huidig adres", "Adres van de melder",
	} {
		if u, readings := understood(t, "a.csv", list(heading), Profile{}); strings.Join(readings, " ") != "1 [31] 2 [29] 13 [33]" || len(u.Questions) > 0 {
			t.Errorf("%s: %v %v", heading, u.Questions, readings)
		}
	}
}

// Old and new numbers side by side are no point until somebody says which it is; beside a sure one they are left out.
func TestFormerNumbersBeside(t *testing.T) {
	for _, pair := range [][2]string{{"Old address", "New address"}, {"New address", "Old address"}, {"Alte Adresse", "Neue Adresse"}, {"Nouvelle adresse", "Ancienne adresse"}, {"Oud adres", "Nieuw adres"}} {
		u, _ := understood(t, "a.csv", "Loop;"+pair[0]+";"+pair[1]+";Date;Value\n1;1;5;2025-09-16;31\n1;2;6;2025-09-16;29\n", Profile{})
		if q, open := u.Blocking(); !open || q.ID != AskPoint || len(q.Choices) != 2 {
			t.Errorf("%v: %v", pair, u.Questions)
		}
		u, readings := understood(t, "a.csv", "Loop;"+pair[0]+";Address;Date;Value\n1;1;5;2025-09-16;31\n1;2;6;2025-09-16;29\n", Profile{})
		if strings.Join(readings, " ") != "5 [31] 6 [29]" || len(u.Questions) > 0 {
			t.Errorf("%v beside an address: %v %v", pair, u.Questions, readings)
		}
	}
	if u, _ := understood(t, "a.csv", "Loop;Spare address;Type;Location\n1;20;Juniper H;Hall\n1;21;Juniper H;Ramp\n", Profile{}); len(u.Questions) == 0 {
		t.Errorf("a schedule of spare addresses: %v", u.Columns)
	}
	if u, _ := understood(t, "a.csv", "Loop;Old address;New address;Type\n1;20;30;Juniper H\n1;21;31;Juniper H\n", Profile{}); len(u.Questions) > 0 || !u.has(Wanted) {
		t.Errorf("a schedule to renumber by: %v %v", u.Questions, u.Columns)
	}
}

// TestValueHeadingsAreReadWhole: a value of another year, of another part or in another way of writing is asked about.
func TestValueHeadingsAreReadWhole(t *testing.T) {
	list := func(heading string) string {
		return "Point;Date;" + heading + "\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n1.003;2025-09-16;33\n"
	}
	for _, heading := range []string{
		"Max. Wert", "Set value", "Value 2024", "No. of readings", "Reading no.", "Value count", "Value zone", "Value of base", "Heat value", "CO value", "Value (hex)", "Value (x10)", "Number of readings", "Peak reading",
		"Anzahl Messwerte", "Wert 2024", "Wert (hex)", "Valeur du socle", "Valeur 2024", "Valor de la base", "Número de lecturas", "Valore della base", "Numero di letture", "Waarde van de sokkel", "Aantal metingen",
	} {
		u, readings := understood(t, "a.csv", list(heading), Profile{})
		if q, open := u.Blocking(); !open || q.ID != AskValue || !strings.Contains(q.Text, heading) {
			t.Errorf("%s: %s %v %v", heading, u.Kind, u.Questions, readings)
		}
	}
	for _, heading := range []string{"Value 1", "Reading no. 1", "Measured value", "Value of the detector", "Analogue value of detector", "Value read", "Gemessener Wert", "Valeur mesurée", "Valor medido", "Valore misurato", "Gemeten waarde", "Value (now)"} {
		if u, readings := understood(t, "a.csv", list(heading), Profile{}); len(readings) != 3 || len(u.Questions) > 0 {
			t.Errorf("%s: %v %v", heading, u.Questions, readings)
		}
	}
}

// TestForeignPartsOfSchedules: what is of a base, a sounder or a panel is left out of what is said of the device, and said.
func TestForeignPartsOfSchedules(t *testing.T) {
	for heading, cells := range map[string]string{
		"Base serial": "B01 B02", "Serial of isolator": "B01 B02", "Panel serial": "B01 B02", "N° série socle": "B01 B02", "Sockel Seriennummer": "B01 B02", "Número de serie de la base": "B01 B02", "Matricola base": "B01 B02", "Serienummer sokkel": "B01 B02",
		"Sounder zone": "7 8", "Sprinkler zone": "7 8", "Output group": "7 8", "Ex zone": "7 8", "Zone d'extinction": "7 8", "Löschgruppe Zone": "7 8", "Zona de sirenas": "7 8", "Zona di spegnimento": "7 8", "Sirene zone": "7 8",
		"Key location": "Porter Guard", "Location of panel": "Porter Guard", "Room of isolator": "Porter Guard", "Ort der Zentrale": "Porter Guard", "Emplacement de la clé": "Porter Guard", "Ubicación de la llave": "Porter Guard", "Posizione chiave": "Porter Guard", "Plaats sleutel": "Porter Guard", "Text at panel": "Porter Guard",
		"Type of sounder": "Quill Quoll", "Base type": "Quill Quoll", "Typ Sockel": "Quill Quoll", "Type de socle": "Quill Quoll", "Tipo de base": "Quill Quoll", "Tipo base": "Quill Quoll", "Kabel [m] bis Zentrale": "4.5 12",
	} {
		if f, why := scheduleField(t, heading, cells); f != Unused || why == "" {
			t.Errorf("%s: %s, %s", heading, f, why)
		}
	}
	for heading, field := range map[string]Field{"Serial number of detector": Serial, "Serial no. (device)": Serial, "Detection zone no.": Zone, "Zone text": Unused, "Room number": Location, "Location of the detector": Location, "Room / place": Location} {
		cells := "7 8"
		if field == Location {
			cells = "Porter Guard"
		}
		if f, why := scheduleField(t, heading, cells); f != field && field != Unused {
			t.Errorf("%s: %s, %s", heading, f, why)
		}
	}
}

// Names of the site and its areas belong to a heading.
func TestNamesOfTheSiteInHeadings(t *testing.T) {
	k := NewKnown()
	for n := 1; n <= 3; n++ {
		k.AddPoint(Ref{Panel: "1", Loop: "1", Address: n}, ScheduleRow{Type: "Larch"})
	}
	k.AddName("Tanyard")
	for name, asked := range map[string]bool{"Tanyard": false, "Brickworks": true} {
		list := fmt.Sprintf("Point;Date;Value %s\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n", name)
		if u, _ := understoodBy(t, k, "a.csv", list, Profile{}); (len(u.Questions) > 0) != asked {
			t.Errorf("%s: %v", name, u.Questions)
		}
	}
}
