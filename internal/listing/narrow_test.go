package listing

import (
	"fmt"
	"strings"
	"testing"
)

// TestNarrowColumns: columns that one space parts are cut where their headings bear that out, and places of several words are
// left whole.
func TestNarrowColumns(t *testing.T) {
	for _, text := range []string{
		"LP ADR DATE       VALUE\n1  001 2025-09-16    31\n1  002 2025-09-16    29\n2  001 2025-09-16    30\n",
		"RING ADR DATUM      WERT\n1    001 2025-09-16   31\n1    002 2025-09-16   29\n2    001 2025-09-16   30\n",
	} {
		u, readings := understood(t, "a.txt", text, Profile{})
		if strings.Join(readings, " ") != "1 [31] 2 [29] 1 [30]" || len(u.Questions) > 0 {
			t.Errorf("%q: %v %v", text, readings, u.Questions)
		}
	}
	if got := narrowGutters([]string{"POINT PLACE VALUE", "1.001 LAB 1 31", "1.002 LAB 2 29", "1.003 HALL  30"}); got != nil {
		t.Errorf("a place is cut: %v", got)
	}
}

// TestHeadsOfPages: the heads of the pages of a print do not hide its columns, and its sections say the loop.
func TestHeadsOfPages(t *testing.T) {
	const text = `DETECTION PANEL                 16/09/2025 10:12   PAGE 1
LOOP 1
ADDR  TYPE        LOCATION              VALUE
001   LARCH O     WEIGHBRIDGE OFFICE       31
002   LARCH O     LOADING BAY NORTH        29
003   LARCH O     LOADING BAY SOUTH        33
DETECTION PANEL                 16/09/2025 10:12   PAGE 2
LOOP 2
ADDR  TYPE        LOCATION              VALUE
001   LARCH O     LAB 1                    30
002   LARCH O     LAB 2                    28
END OF REPORT   5 DEVICES
`
	f, err := Open("a.txt", strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	parts, err := NewKnown().Parts(f.All()[0], Profile{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range parts {
		if q, open := p.Blocking(); !open || q.ID != AskDate || p.Kind != KindReadings {
			t.Errorf("%s: %v", p.Kind, p.Questions)
		}
		answered, err := NewKnown().Understand(p.Table, Profile{Constants: map[Field]string{Date: "2025-09-16"}})
		if err != nil {
			t.Fatal(err)
		}
		for r, bad := range answered.Records(p.Table) {
			if bad != nil {
				got = append(got, "!")
				continue
			}
			got = append(got, fmt.Sprintf("%s.%d", r.Reading.Ref.Loop, r.Reading.Ref.Address))
		}
	}
	if strings.Join(got, " ") != "1.1 1.2 1.3 2.1 2.2 !" {
		t.Errorf("%v", got)
	}
}

// TestNarrowPages: columns that one space parts are cut in a print of pages too, whose heads say the loop and the day.
func TestNarrowPages(t *testing.T) {
	for _, c := range []struct{ head, day, loop string }{
		{"ADR TYPE        VALUE", "12-MAY-26 10:42", "LOOP"}, {"ADR TYP         WERT", "12.05.2026 10:42", "RING"}, {"DIR TIPO        VALOR", "13/05/2026 10:42", "LAZO"},
	} {
		text := fmt.Sprintf("PRINT OF PANEL     PAGE 1\n%[2]s   %[3]s 1\n%[1]s\n001 HAZEL        27\n002 HAZEL        30\n003 HAZEL        28\nPRINT OF PANEL     PAGE 2\n%[2]s   %[3]s 2\n%[1]s\n001 HAZEL        29\n002 HAZEL        33\n", c.head, c.day, c.loop)
		parts, err := NewKnown().Parts(openBytes(t, "a.txt", []byte(text)).All()[0], Profile{})
		must(t, err)
		var got []string
		for _, p := range parts {
			for r, bad := range p.Records(p.Table) {
				if bad != nil || len(p.Questions) > 0 {
					t.Fatalf("%s: %v %v", c.head, bad, p.Questions)
				}
				got = append(got, fmt.Sprintf("%s.%d %d-%d-%d", r.Reading.Ref.Loop, r.Reading.Ref.Address, r.Reading.When.Year, r.Reading.When.Month, r.Reading.When.Day))
			}
		}
		day := " 2026-5-12"
		if strings.HasPrefix(c.day, "13") {
			day = " 2026-5-13"
		}
		if want := strings.Join([]string{"1.1", "1.2", "1.3", "2.1", "2.2"}, day+" ") + day; strings.Join(got, " ") != want {
			t.Errorf("%s: %v", c.head, got)
		}
	}
}

// TestWideGapsAreNotNarrow: a heading of two words over cells of one, beside places of two words, has as many words as its rows
// have, and columns that wide gaps part.
func TestWideGapsAreNotNarrow(t *testing.T) {
	for name, text := range map[string]string{
		"cable": `Loop  Address  Type     Zone  Place       Cable (m)
1     001      Larchom  1     Store 1     19.5
1     002      Elderic  1     Stairs 2    20.5
1     003      Larchom  1     Hall 3      11.0
`,
		"title of as many words": `List of devices, made for owners
Schleife  Adresse  Typ      Ort           Kabel (m)
1         1        Larchom  Halle 1       10,5
1         3        Medlarn  Technikraum 2  9,5
1         5        Larchom  Treppe 3      16,5
`,
		"setting": `Dir/Lazo  Tipo     Zona  Lugar       Parpadeo LED
004/1     Quincor  1     Taller 1    no
005/1     Larchom  1     Escalera 2  no
007/1     Larchom  1     Cocina 5    no
`,
	} {
		if got := narrowGutters(strings.Split(strings.TrimSpace(text), "\n")); got != nil {
			t.Errorf("%s: columns that one space parts at %v", name, got)
		}
	}
}
