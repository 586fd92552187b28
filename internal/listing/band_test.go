package listing

import (
	"fmt"
	"testing"
)

// TestBandInOneCell: a column of ranges on a type sheet gives both limits; what is none is refused.
func TestBandInOneCell(t *testing.T) {
	for _, text := range []string{
		"name,kind,range\nGorse,optical,20-40\nBroom,heat,10 to 30\n", "name,kind,normal range\nGorse,optical,20 - 40\nBroom,heat,10..30\n",
		"Typ;Melderart;Normalbereich\nGorse;Rauch;20-40\nBroom;Wärme;10 bis 30\n", "Modèle;Genre;Plage normale\nGorse;optique;20 à 40\nBroom;chaleur;10–30\n",
		"nombre,clase,rango\nGorse,optico,20-40\nBroom,calor,10 a 30\n",
	} {
		table := openBytes(t, "a.csv", []byte(text)).All()[0]
		u, err := Understand(table, Profile{})
		must(t, err)
		got := string(u.Kind)
		for r, bad := range u.Records(table) {
			if bad != nil {
				got += " " + bad.Error()
				continue
			}
			got += fmt.Sprintf(" %s %v-%v", r.Type.Name, r.Type.Low.Value, r.Type.High.Value)
		}
		if want := "types Gorse 20-40 Broom 10-30"; got != want || len(u.Questions) > 0 {
			t.Errorf("%s: %s %+v", text, got, u.Questions)
		}
	}
	for _, cell := range []string{"40-20", "20", "-5-10", "a-b", "20-30-40"} {
		table := openBytes(t, "a.csv", []byte("name,kind,low,range\nGorse,optical,,"+cell+"\n")).All()[0]
		u, err := Understand(table, Profile{Kind: KindTypes})
		must(t, err)
		for r, bad := range u.Records(table) {
			if bad == nil {
				t.Errorf("%s is taken as %v", cell, r.Type)
			}
		}
	}
}

// TestOtherNumbersAreOffered: where numbers may count within zones, the column of numbers on the loop is an answer too.
func TestOtherNumbersAreOffered(t *testing.T) {
	for _, heads := range []string{"Schleife;Nr.;Meldertyp;Meldergruppe;Melder-Nr.;Ort", "Loop;No.;Type;Zone;Device number;Location"} {
		text := heads + "\n1;1;Larch;1;1;Eingang\n1;2;Larch;1;2;Flur\n1;3;Elder;2;1;Heizung\n1;4;Elder;2;2;Keller\n"
		u, _ := saidIn(t, "a.csv", text, Profile{})
		q, open := u.Blocking()
		if !open || q.ID != AskPoint || len(q.Choices) != 2 {
			t.Fatalf("%s: %+v", heads, u.Questions)
		}
		for i, want := range []Field{0: Unused, 1: Address} {
			var p Profile
			must(t, p.Answer(q.ID, q.Choices[i].Value))
			if u, _ := saidIn(t, "a.csv", text, p); len(u.Questions) > 0 || u.Columns[1].Field != want || u.Kind != KindSchedule {
				t.Errorf("%s, %s: %+v %s", heads, q.Choices[i].Value, u.Columns[1], u.Kind)
			}
		}
	}
}
