package listing

import (
	"fmt"
	"strings"
	"testing"
)

// TestHappeningOfHeading: where a heading alone lets think what happened it is asked, and the answer helps.
func TestHappeningOfHeading(t *testing.T) {
	for _, c := range []struct{ list, asked, answer, want string }{
		{"Point,Date,Cleaned by\n1.001,2026-05-12,A. Tech\n1.002,2026-05-12,A. Tech\n", AskWhat, "cleaned", "1 cleaned A. Tech, 2 cleaned A. Tech"},
		{"Melder;Datum;Gereinigt von\n1.001;12.05.2026;A. Tech\n1.002;12.05.2026;A. Tech\n", AskWhat, "cleaned", "1 cleaned A. Tech, 2 cleaned A. Tech"},
		{"Repère;Date;Nettoyé par\n1.001;13/05/2026;A. Tech\n1.002;13/05/2026;A. Tech\n", AskWhat, "cleaned", "1 cleaned A. Tech, 2 cleaned A. Tech"},
		{"Punto;Fecha;Limpiado por\n1.001;13/05/2026;A. Tech\n1.002;13/05/2026;A. Tech\n", AskWhat, "cleaned", "1 cleaned A. Tech, 2 cleaned A. Tech"},
		{"Punto;Data;Pulito da\n1.001;13/05/2026;A. Tech\n1.002;13/05/2026;A. Tech\n", AskWhat, "cleaned", "1 cleaned A. Tech, 2 cleaned A. Tech"},
		{"Punt;Datum;Gereinigd door\n1.001;13-05-2026;A. Tech\n1.002;13-05-2026;A. Tech\n", AskWhat, "cleaned", "1 cleaned A. Tech, 2 cleaned A. Tech"},
		{"Point,Date,Old serial,New serial\n1.001,2026-05-12,SN1001,S99\n1.002,2026-05-12,SN1002,S98\n", AskWhat, "replaced", "1 replaced , 2 replaced "},
		{"Point,Last test,Result\n1.001,2026-05-12,ok\n1.002,2026-05-12,failed\n", AskDate, "2", "1 tested , 2 tested "},
		{"Melder;Letzte Prüfung;Ergebnis\n1.001;12.05.2026;bestanden\n1.002;12.05.2026;bestanden\n", AskDate, "2", "1 tested , 2 tested "},
		{"Repère;Dernier essai;Résultat\n1.001;13/05/2026;conforme\n1.002;13/05/2026;conforme\n", AskDate, "2", "1 tested , 2 tested "},
	} {
		var p Profile
		for _, answer := range []string{"", c.answer} {
			if answer != "" {
				must(t, p.Answer(c.asked, answer))
			}
			table := openBytes(t, "x.csv", []byte(c.list)).All()[0]
			u, err := eightPoints().Understand(table, p)
			must(t, err)
			if answer == "" {
				if q, open := u.Blocking(); !open || q.ID != c.asked || u.Kind != KindEvents {
					t.Errorf("%q: %s, asked %v", c.list, u.Kind, u.Questions)
				}
				continue
			}
			var got []string
			for r, bad := range u.Records(table) {
				if bad != nil {
					t.Errorf("%q: %v", c.list, bad)
					continue
				}
				got = append(got, fmt.Sprintf("%d %s %s", r.Event.Ref.Address, r.Event.What, r.Event.By))
			}
			if strings.Join(got, ", ") != c.want || len(u.Questions) > 0 {
				t.Errorf("%q: %v %v", c.list, got, u.Questions)
			}
		}
	}
}

// TestLettersOfTests: letters under the word for a test are asked about, one by one.
func TestLettersOfTests(t *testing.T) {
	for _, head := range []string{"Point,Date,Test", "Melder,Datum,Funktionstest", "Repère,Date,Essai", "Punto,Fecha,Prueba", "Punto,Data,Prova", "Punt,Datum,Functietest"} {
		list := head + "\n1.001,2026-05-12,P\n1.002,2026-05-12,F\n1.003,2026-05-12,N/A\n1.004,2026-05-12,P\n"
		u, err := eightPoints().Understand(openBytes(t, "x.csv", []byte(list)).All()[0], Profile{})
		must(t, err)
		if len(u.Questions) != 3 || !strings.HasPrefix(u.Questions[0].ID, AskOutcome) {
			t.Errorf("%s: %s %v", head, u.Kind, u.Questions)
		}
	}
}
