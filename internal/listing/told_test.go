package listing

import (
	"slices"
	"strings"
	"testing"
)

// TestLinesThatTell: lines without columns that say something of points are refused, and mere words are left alone.
func TestLinesThatTell(t *testing.T) {
	for text, refused := range map[string]bool{
		"1.001 2026-11-13 26\n1.002 2026-11-13 27\n":            true,
		"L1D001 026\nL1D002 027\nL1D003 028\n":                  true,
		"Room 101: 26\nRoom 102: 27\n":                          true,
		"Raum 101: 26\nRaum 102: 27\n":                          true,
		"<readings>\n<row/>\n</readings>\n":                     true,
		"Dear all,\nthe visit went well.\nKind regards\n":       false,
		"Sehr geehrte Damen und Herren,\nalles ist in Ordnung.": false,
	} {
		u, _ := understood(t, "x.txt", text, Profile{})
		if u.Refused != refused || u.Kind != KindUnknown || len(u.Questions) > 0 {
			t.Errorf("%q: refused %v, expected %v: %s", text, u.Refused, refused, u.KindWhy)
		}
	}
}

// TestDayBesideNight: columns of numbers headed as the day and the night are the two values of a visit.
func TestDayBesideNight(t *testing.T) {
	for _, heads := range []string{"day,night", "Tag,Nacht", "jour,nuit", "día,noche", "giorno,notte", "dag,nacht"} {
		u, account := understood(t, "x.csv", "point,date,"+heads+"\n1/1,2026-11-10,28,25\n1/2,2026-11-10,27,26\n", Profile{})
		if len(account) != 4 || u.Columns[2].apart != ByDay || u.Columns[3].apart != ByNight {
			t.Errorf("%s: %v, taken as %v and %v", heads, account, u.Columns[2], u.Columns[3])
		}
	}
}

// TestPointIsNotAskedOfOthers: a column that says it is a zone, a place or a day is not offered as the point, and where no
// other is left the table is refused.
func TestPointIsNotAskedOfOthers(t *testing.T) {
	for _, text := range []string{
		"date,time,zone,event\n2026-11-10,14:02,1,alarm\n2026-11-11,03:10,2,alarm\n",
		"Datum,Uhrzeit,Gruppe,Ereignis\n2026-11-10,14:02,1,Alarm\n2026-11-11,03:10,2,Alarm\n",
		"location,date,value\nRoom 104,2026-11-10,26\nRoom 105,2026-11-10,27\n",
		"Gruppe/Melder,Datum,Wert\n1/1,2026-11-13,26\n1/2,2026-11-13,27\n",
	} {
		u, _ := understood(t, "x.csv", text, Profile{})
		if len(u.Questions) > 0 || !u.Refused || !strings.Contains(u.KindWhy, "names a point") {
			t.Errorf("%s: asks %v; %s", text, u.Questions, u.KindWhy)
		}
	}
}

// TestTextOfThePoint: a heading for the text of a point is no heading for the point.
func TestTextOfThePoint(t *testing.T) {
	for _, text := range []string{
		"Zone,Loop,Address,Type,Point text\n1,1,1,Larch,Hall\n1,1,2,Larch,Stair\n",
		"Loop,Addr.,Device Label,Device Type,Zone\n1,1,Hall,Larch,1\n1,2,Stair,Larch,1\n",
		"Schleife,Adresse,Meldertext,Meldertyp\n1,1,Halle,Larch\n1,2,Treppe,Larch\n",
		"Boucle,Adresse,Texte du point,Type\n1,1,Hall,Larch\n1,2,Escalier,Larch\n",
		"Lazo,Dirección,Texto del punto,Tipo\n1,1,Sala,Larch\n1,2,Pasillo,Larch\n",
		"Loop,Indirizzo,Testo punto,Tipo\n1,1,Atrio,Larch\n1,2,Scala,Larch\n",
		"Lus,Adres,Punttekst,Type\n1,1,Hal,Larch\n1,2,Trap,Larch\n",
	} {
		u, _ := understood(t, "x.csv", text, Profile{})
		if u.Kind != KindSchedule || !u.has(Location) || !u.has(Loop) || !u.has(Address) || !u.has(Type) || u.has(Point) || len(u.Questions) > 0 {
			t.Errorf("%s: %s, %v %v", text, u.Kind, u.Questions, u.Columns)
		}
	}
}

// TestScheduleWithoutLoop: the register tells the loop of a schedule that names none where it has its rows, else it is asked.
func TestScheduleWithoutLoop(t *testing.T) {
	k := NewKnown()
	for n := 1; n <= 3; n++ {
		k.AddPoint(Ref{Panel: "1", Loop: "4", Address: n}, ScheduleRow{Type: "Larch"})
	}
	for text, loop := range map[string]string{
		"Adr.;Gerät;Text\n1;Larch;Flur\n2;Larch;Lager\n":       "4",
		"address,type,location\n1,Larch,Hall\n2,larch,Stair\n": "4",
		"address,type,location\n1,Elder,Hall\n2,Larch,Stair\n": "",
		"address,type,location\n7,Larch,Hall\n8,Larch,Stair\n": "",
	} {
		table := openBytes(t, "x.csv", []byte(text)).Tables()[0]
		u, err := k.Understand(table, Profile{})
		if err != nil {
			t.Fatal(err)
		}
		asks := slices.ContainsFunc(u.Questions, func(q Question) bool { return q.ID == AskLoop })
		if u.Kind != KindSchedule || u.context[Loop] != loop || asks != (loop == "") {
			t.Errorf("%s: %s on loop %q, asks %v", text, u.Kind, u.context[Loop], u.Questions)
		}
	}
}

// TestTicks: columns headed by what may have happened are ticked where it did, in any of the languages.
func TestTicks(t *testing.T) {
	for _, heads := range []string{
		"point,date,tested,cleaned,replaced", "Melder,Datum,geprüft,gereinigt,ausgetauscht", "point,date,testé,nettoyé,remplacé",
		"punto,fecha,probado,limpiado,sustituido", "punto,data,testato,pulito,sostituito", "punt,datum,getest,gereinigd,vervangen",
	} {
		u, _ := understood(t, "x.csv", heads+"\n1/1,2026-11-10,x,,\n1/2,2026-11-10,x,x,\n1/3,2026-11-10,x,,x\n1/4,2026-11-10,,,\n", Profile{})
		table := openBytes(t, "x.csv", []byte(heads+"\n1/1,2026-11-10,x,,\n1/2,2026-11-10,x,x,\n1/3,2026-11-10,x,,x\n1/4,2026-11-10,,,\n")).Tables()[0]
		got := ""
		for record, bad := range u.Records(table) {
			if bad != nil {
				t.Errorf("%s: %v", heads, bad)
				continue
			}
			got += string(record.Event.What) + " " + string(rune('0'+record.Event.Ref.Address)) + ";"
		}
		if want := "tested 1;tested 2;cleaned 2;tested 3;replaced 3;"; got != want || len(u.Questions) > 0 {
			t.Errorf("%s: %s, expected %s; asks %v, %s", heads, got, want, u.Questions, u.KindWhy)
		}
	}
}

// TestTicksThatAreUnsure: two marks, a remark that speaks against a tick, and a cell that is none are not taken as ticks.
func TestTicksThatAreUnsure(t *testing.T) {
	for _, text := range []string{
		"point,date,tested,cleaned\n1/1,2026-11-10,x,✓\n1/2,2026-11-10,✓,x\n",
		"point,date,tested,cleaned,remark\n1/1,2026-11-10,x,,failed\n1/2,2026-11-10,x,x,could not be reached\n",
		"point,date,tested,cleaned\n1/1,2026-11-10,x,next time\n1/2,2026-11-10,x,x\n",
	} {
		u, _ := understood(t, "x.csv", text, Profile{})
		if len(u.Questions) == 0 {
			t.Errorf("%s: nothing is asked; %s", text, u.KindWhy)
		}
	}
}

// TestErrorsOfSpreadsheets: a cell that a spreadsheet could not reckon is no row that nobody filled in.
func TestErrorsOfSpreadsheets(t *testing.T) {
	for _, cell := range []string{"#N/A", "#NV", "#REF!", "#DIV/0!"} {
		u, _ := understood(t, "x.csv", "point,date,value\n1/1,2026-11-10,26\n1/2,2026-11-10,"+cell+"\n", Profile{})
		if len(u.Skipped) > 0 {
			t.Errorf("%s: passed over as %v", cell, u.Skipped)
		}
	}
}

// TestNormalRange: the limits of a type may stand under its normal range.
func TestNormalRange(t *testing.T) {
	for _, heads := range []string{
		"Normal range (low),Normal range (high)", "Normalbereich (min),Normalbereich (max)", "Plage normale (min),Plage normale (max)",
		"Rango normal (min),Rango normal (max)", "Campo normale (min),Campo normale (max)", "Normaal bereik (min),Normaal bereik (max)",
	} {
		u, _ := understood(t, "x.csv", "Model,"+heads+",Alarm threshold\nGorse,20,40,55\nBroom,10,30,55\n", Profile{})
		if u.Kind != KindTypes || !u.has(Low) || !u.has(High) {
			t.Errorf("%s: %s, %v", heads, u.Kind, u.Columns)
		}
	}
}
