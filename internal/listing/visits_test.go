package listing

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

// TestWideWorkbook: headings that are dates of the workbook, shown as days or as months, beside a
// merged loop.
func TestWideWorkbook(t *testing.T) {
	f := excelize.NewFile()
	first, second := time.Date(2024, 1, 12, 0, 0, 0, 0, time.UTC), time.Date(2024, 7, 1, 0, 0, 0, 0, time.UTC)
	sheetOf(t, f, "Sheet1", []any{"Loop", "Addr", "Location", first, second, "14.01.2025"},
		[]any{"B", 1, "Hall", 20, 21.5, 20}, []any{nil, 2, "Store", 22, "n/a", nil})
	must(t, f.MergeCell("Sheet1", "A2", "A3"))
	must(t, f.SetCellStyle("Sheet1", "D1", "D1", style(t, f, "dd/mm/yyyy")))
	must(t, f.SetCellStyle("Sheet1", "E1", "E1", style(t, f, "mmm yy")))
	checkGolden(t, filepath.Join("testdata", "wide_workbook"), "book.xlsx", workbookBytes(t, f))
}

// TestVisitDate: what is a day of a visit in a heading, and what is not.
func TestVisitDate(t *testing.T) {
	lx := newLexicon()
	for heading, want := range map[string]string{
		"12.01.2024": "2024-01-12", "12. Januar 2024": "2024-01-12", "2024-01-12 08:30": "2024-01-12 08:30:00", "20240112": "2024-01-12",
		"Wert 12.1.24 (%)": "2024-01-12", "Jan 2024": "2024-01-31", "2024-02": "2024-02-29", "02/2023": "2023-02-28", "juil. '24": "2024-07-31",
		"Reading Jan-24": "2024-01-31", "Resting value (%) 12.01.2024": "2024-01-12", "2024 March": "2024-03-31",
		"": "", "Value": "", "Value 2": "", "2024": "2024-07-02", "Q2 2024": "2024-05-16", "2024 T3": "2024-08-16", "Q5 2024": "", "1889": "", "12.2024.1": "", "13/2024": "", "1/73": "", "L1-2024": "", "30.02.2024": "", "Set 2": "",
		"12.01.2024 2": "", "Room 12.01.2024": "", "12/24": "",
	} {
		got := ""
		if text := lx.visitDate(heading); text != "" {
			day, err := (&Understanding{lx: lx, profile: Profile{DayOfMonth: "31"}}).visitDay(text, DMY)
			if got = day.text(); err != nil {
				got = err.Error()
			}
		}
		if got != want {
			t.Errorf("%q is %q, want %q", heading, got, want)
		}
	}
}

// TestWideAnswers: what the headings leave open is asked once for the table, and the answer gives every
// reading.
func TestWideAnswers(t *testing.T) {
	for _, c := range []struct{ list, id, answer, want string }{
		{"point,12/01/2024,11/07/2024\n1/1,20,21\n", AskOrder, "mdy", ".1.1 2024-12-01 [20] .1.1 2024-11-07 [21]"},
		{"where,2024-01-12,2024-07-11\n12,20,21\n13,22,23\n", AskKind, "readings", ""},
	} {
		table := openBytes(t, "x.csv", []byte(c.list)).Tables()[0]
		before := accountOf(t, table, Profile{})
		if len(before.Questions) != 1 || before.Questions[0].ID != c.id || len(before.Records) != 0 {
			t.Errorf("before: %+v", before)
		}
		var p Profile
		must(t, p.Answer(c.id, c.answer))
		after := accountOf(t, table, p)
		if c.id == AskKind {
			must(t, p.Answer(AskPoint, "1"))
			after, c.want = accountOf(t, table, p), "..12 2024-01-12 [20] ..12 2024-07-11 [21] ..13 2024-01-12 [22] ..13 2024-07-11 [23]"
		}
		if got := strings.Join(after.Records, " "); got != c.want || len(after.Questions) > 0 {
			t.Errorf("after: %+v", after)
		}
	}
	for _, day := range []string{"0", "32", "x", "-1"} {
		if p := (Profile{DayOfMonth: day}); p.check() == nil {
			t.Errorf("day %q was taken", day)
		}
	}
}

// TestWideProfile: the profile of a wide list fits it again, and the next list with other visits; it
// keeps what people said of a visit.
func TestWideProfile(t *testing.T) {
	const list = "Stelle;Zahl;12/01/2024;13/07/2024;14/01/2025\n1/1;7;20;21;22\n1/2;7;1,5;;24\n"
	table := openBytes(t, "x.csv", []byte(list)).Tables()[0]
	given := Profile{Columns: map[string]Field{"Stelle": Point, "14/01/2025": Unused}}
	first := accountOf(t, table, given)
	u, err := Understand(table, given)
	must(t, err)
	p := u.Profile()
	want := Profile{Kind: KindReadings, Columns: given.Columns, DateOrder: DMY, Decimal: "comma"}
	if diff := cmp.Diff(want, p); diff != "" {
		t.Error(diff)
	}
	if again := accountOf(t, table, p); !slices.Equal(again.Records, first.Records) || len(first.Records) != 3 {
		t.Errorf("first %q, again %q", first.Records, again.Records)
	}
	p.Columns = map[string]Field{"Stelle": Point}
	next := accountOf(t, openBytes(t, "y.csv", []byte("Stelle;Zahl;02/03/2026;04/05/2026\n1/1;7;20;defekt\n")).Tables()[0], p)
	if got := strings.Join(next.Records, " "); got != ".1.1 2026-03-02 [20]" || len(next.Questions) > 0 || len(next.Troubles) != 1 {
		t.Errorf("%+v", next)
	}
	one := accountOf(t, openBytes(t, "z.csv", []byte("Melder;12.01.2024\n1/1;20\n")).Tables()[0],
		Profile{HeaderLine: 1, Columns: map[string]Field{"12.01.2024": Value}})
	if got := strings.Join(one.Records, " "); got != ".1.1 2024-01-12 [20]" || len(one.Questions) > 0 {
		t.Errorf("one visit, named by the profile: %+v", one)
	}
}

// TestWideLeft: a row with bad cells is left once, whole; mended and taken again it gives the readings
// that it gave before and those that were missing.
func TestWideLeft(t *testing.T) {
	const list = "Melder;12.01.2024;11.07.2024;14.01.2025\nL1-1;20;21;20\nL1-2;kaputt;24;defekt\n"
	table := openBytes(t, "a.csv", []byte(list)).Tables()[0]
	u, err := Understand(table, Profile{})
	must(t, err)
	var b bytes.Buffer
	l, err := NewLeft(&b, u)
	must(t, err)
	for rec, bad := range u.Records(table) {
		if bad != nil {
			must(t, l.Add(rec.Cells, bad.Trouble()))
			must(t, l.Add(rec.Cells, "refused once more")) // as for another reading of the row
		}
	}
	must(t, l.Close())
	want := "\ufeffMelder,12.01.2024,11.07.2024,14.01.2025,trouble\n" +
		"L1-2,kaputt,24,defekt,\"expected a number, found \"\"kaputt\"\", and \"\"defekt\"\" under \"\"14.01.2025\"\"\"\n"
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Fatal(diff)
	}
	below := strings.Replace(list, "Melder;12.01.2024;11.07.2024;14.01.2025", ";12.01.2024;11.07.2024;14.01.2025\nMelder;Wert;Wert;Wert", 1)
	bu, err := Understand(openBytes(t, "b.csv", []byte(below)).Tables()[0], Profile{})
	must(t, err)
	b2 := bytes.Buffer{}
	l, err = NewLeft(&b2, bu)
	must(t, errors.Join(err, l.Close()))
	if b2.String() != "\ufeffMelder,Wert 12.01.2024,Wert 11.07.2024,Wert 14.01.2025,trouble\n" {
		t.Errorf("headings of two rows: %q", b2.String())
	}
	as := func(text string) account {
		return accountOf(t, openBytes(t, "a.left.csv", []byte(text)).Tables()[0], Profile{})
	}
	if again := as(b.String()); len(again.Records) != 1 || len(again.Troubles) != 1 || len(again.Questions) > 0 {
		t.Errorf("taken again as it is: %+v", again)
	}
	got := as(strings.NewReplacer("L1-2,kaputt", "L1-2,23", ",defekt,", ",,").Replace(b.String()))
	if diff := cmp.Diff([]string{".1.2 2024-01-12 [23]", ".1.2 2024-07-11 [24]"}, got.Records); diff != "" || len(got.Troubles) > 0 {
		t.Error(diff, got.Troubles)
	}
}

// TestLongAndWide writes the same readings long and wide and wants the same set from both.
func TestLongAndWide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := []string{"31.01.2024"}
		for m := range rapid.IntRange(1, 30).Draw(t, "visits") {
			days = append(days, fmt.Sprintf("%02d.%02d.%d", rapid.IntRange(1, 28).Draw(t, "day"), m%12+1, 2025+m/12))
		}
		long, wide := []string{"Melder;Datum;Wert"}, []string{"Melder;" + strings.Join(days, ";")}
		for i := range rapid.IntRange(2, 20).Draw(t, "points") {
			row := fmt.Sprintf("1.2.%03d", i+1)
			for _, day := range days {
				cell := ""
				if day == days[0] || rapid.IntRange(0, 2).Draw(t, "read") == 0 {
					cell = strings.Replace(fmt.Sprint(float64(rapid.IntRange(0, 999).Draw(t, "value"))/10), ".", ",", 1)
					long = append(long, fmt.Sprintf("1.2.%03d;%s;%s", i+1, day, cell))
				}
				row += ";" + cell
			}
			wide = append(wide, row)
		}
		var got [2][]string
		for i, lines := range [][]string{long, wide} {
			data := []byte(strings.Join(lines, "\n") + "\n")
			table := rapidTable(t, data)
			u, err := Understand(table, Profile{})
			if err != nil || len(u.Questions) > 0 || u.Rows != len(lines)-1 {
				t.Fatalf("%v, %+v, %d rows in\n%s", err, u.Questions, u.Rows, data)
			}
			for rec, bad := range u.Records(table) {
				if bad != nil {
					t.Fatalf("%v in\n%s", bad, data)
				}
				got[i] = append(got[i], rowText(rec))
			}
			slices.Sort(got[i])
		}
		if diff := cmp.Diff(got[0], got[1]); diff != "" || len(got[0]) != len(long)-1 {
			t.Fatalf("%s in\n%s", diff, strings.Join(wide, "\n"))
		}
	})
}

func rapidTable(t *rapid.T, data []byte) *Table {
	f, err := Open("x.csv", bytes.NewReader(data), int64(len(data)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f.Tables()[0]
}
