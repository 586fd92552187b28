package listing

import (
	"fmt"
	"strings"
	"testing"
)

// understood opens a text and gives what its first table was understood as, with its readings.
func understood(t *testing.T, name, text string, p Profile) (u *Understanding, readings []string) {
	t.Helper()
	return understoodBy(t, nil, name, text, p)
}

func understoodBy(t *testing.T, k *Known, name, text string, p Profile) (u *Understanding, readings []string) {
	t.Helper()
	f, err := Open(name, strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	table := f.All()[0]
	if u, err = k.Understand(table, p); err != nil {
		t.Fatal(err)
	}
	for r, bad := range u.Records(table) {
		switch {
		case bad != nil:
			readings = append(readings, "!")
		case r.Reading != nil:
			readings = append(readings, strings.TrimSpace(fmt.Sprintf("%d %v %s", r.Reading.Ref.Address, r.Reading.Samples, r.Reading.Remark)))
		}
	}
	return u, readings
}

// What columns are taken for, where headings and cells tell different things.
func TestEvidence(t *testing.T) {
	for _, c := range []struct{ name, file, text, want string }{
		{"a running number that breaks", "a.csv", "No.,Point,Date,Value\n1,1-005,2025-03-01,20\n2,1-007,2025-03-01,21\n2,1-007,2025-03-01,21\n3,1-009,2025-03-01,22\n", "readings unused point date value"},
		{"names under a word for points", "a.csv", "Loop,Device address,Device,Where fitted\n1,002,Larchom,Plant room 1\n1,003,Larchom,Hall 2\n2,005,Quincor,Stairs 3\n", "schedule loop address type location"},
		{"days in three columns, one misspelled", "a.csv", "Punto,Girono,Mese,Anno,Valore\n1-001,13,10,2024,30\n1-003,13,10,2024,50\n", "readings point day month year value"},
		{"why alarms were given, misspelled", "a.csv", "Date,Point,Catgeory,Cause\n2024-11-14,1-007,equipment,\n2024-11-26,1-008,unwanted,dust\n2024-11-27,1-009,good intent,dust\n", "events date point category cause"},
		{"a misspelled zone and detector", "a.csv", "Zoen/Detectro,Date,Value\n1/2,2025-03-01,20\n1/3,2025-03-01,21\n2/1,2025-03-01,21\n", " unused unused unused"},
		{"values that are mostly not there", "a.csv", "L1D002,2025-03-01,-\nL1D003,2025-03-01,n/a\nL1D004,2025-03-01,22\nL1D005,2025-03-01,not fitted\nL1D006,2025-03-01,23\n", "readings point date value"},
		{"decimal commas of aligned columns", "a.txt", "Serial   Value  Date\nK40019   0,21   17.11.2024\nK40050   0,18   17.11.2024\nK40074   0,12   17.11.2024\nK40177   0,21   17.11.2024\n", "readings serial value date"},
		{"a reference under no known heading beside addresses", "a.csv", "Kennwort,Loop,Address,Date,Value\n1/001,1,1,2025-03-01,20\n1/002,1,2,2025-03-01,21\n1/001,1,3,2025-03-01,21\n", "readings point loop address date value"},
		{"a misspelled word for points over names", "a.csv", "Loop,Device address,Deivce,Place\n1,002,Larchom,Plant room 1\n1,003,Larchom,Hall 2\n2,005,Quincor,Stairs 3\n", "schedule loop address type location"},
		{"a length misspelled towards a label", "a.csv", "Point,Type,Cabel (m)\n1-001,Larchom,10\n1-003,Larchom,12\n", "schedule point type metres"},
		{"a running number over a total", "a.csv", "Lfd. Nr.,Schleife.Adresse.Unteradresse,Datum,Ergebnis\n1,1.3.1,18.6.2024,i.O.\n2,1.5.1,18.6.2024,i.O.\n3,1.6.1,18.6.2024,i.O.\n4,1.8.1,18.6.2024,i.O.\nSumme,,,4\n", "events unused point date result"},
		{"a running number without a known heading beside why alarms were given", "a.csv", "Pos,Date,Point,Category\n1,2024-03-17,L3D007,unwanted\n2,2024-04-05,L1D005,unwanted\n2,2024-04-05,L1D005,unwanted\n3,2024-04-26,L1D003,good intent\nTotal,,3,\n", "events unused date point category"},
		{"a length misspelled, with its unit", "a.csv", "Punto,Tipo,Caov (m)\n1-001,Larchom,10\n1-003,Larchom,12\n", "schedule point type metres"},
	} {
		u, _ := understood(t, c.file, c.text, Profile{})
		got := string(u.Kind)
		for _, column := range u.Columns {
			got += " " + string(column.Field)
		}
		if got != c.want {
			t.Errorf("%s: %s, expected %s; %s %v", c.name, got, c.want, u.KindWhy, u.Questions)
		}
	}
}

// A value beyond a number is asked about, and the others are taken meanwhile.
func TestBeyond(t *testing.T) {
	const list = "Point,Date,Value\n1-005,2025-03-01,20\n1-007,2025-03-01,>50\n1-008,2025-03-01,21\n"
	for answer, want := range map[BeyondMeant]string{"": "5 [20] ! 8 [21]", BeyondLeft: "5 [20] ! 8 [21]", BeyondNumber: "5 [20] 7 [50] >50 8 [21]"} {
		var p Profile
		if answer != "" {
			if err := p.Answer(AskBeyond, string(answer)); err != nil {
				t.Fatal(err)
			}
		}
		u, readings := understood(t, "a.csv", list, p)
		if got := strings.Join(readings, " "); got != want {
			t.Errorf("%q: %q, expected %q", answer, got, want)
		}
		asked := len(u.Questions) == 1 && u.Questions[0].ID == AskBeyond && u.Questions[0].Aside
		if asked != (answer == "") {
			t.Errorf("%q: questions %v", answer, u.Questions)
		}
	}
	var p Profile
	if err := p.Answer(AskBeyond, "perhaps"); err == nil {
		t.Error("any answer is taken")
	}
}

// A number that is wider than all others of its column stands in its column; text over two columns is told of.
func TestWideInColumn(t *testing.T) {
	var lines strings.Builder
	lines.WriteString("Point    20 mai 2024  21 juin 2024  22 nov 2024\n")
	for n := range 60 {
		fmt.Fprintf(&lines, "1-1-%03d  20           21            22\n", n+1)
	}
	lines.WriteString("1-1-061  106          19\n1-1-062  10600000000000019           22\n")
	u, readings := understood(t, "a.txt", lines.String(), Profile{})
	if got := strings.Join(readings, " "); !strings.HasSuffix(got, "61 [106] 61 [19] !") {
		t.Error(got, u.KindWhy, u.Questions)
	}
}
