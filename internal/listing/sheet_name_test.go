package listing

import (
	"bytes"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"
)

// readingsUnder is a workbook of one sheet with a name.
func readingsUnder(t *testing.T, name string) string {
	t.Helper()
	f := excelize.NewFile()
	if err := f.SetSheetName("Sheet1", name); err != nil {
		t.Fatal(err)
	}
	for i, row := range [][]any{{"Point", "Date", "Value"}, {"1.001", "2026-11-13", 26}} {
		if err := f.SetSheetRow(name, "A"+string(rune('1'+i)), &row); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// A sheet whose name speaks against its rows is asked about.
func TestDraftSheets(t *testing.T) {
	read := []string{"1.1 2026-11-13 [26]"}
	for name, want := range map[string][]string{
		"Draft": {"asked sheet"}, "old": {"asked sheet"}, "Loop 1 (2)": {"asked sheet"}, "Entwurf": {"asked sheet"}, "Loop 1 alt": {"asked sheet"}, "copie": {"asked sheet"},
		"borrador 1": {"asked sheet"}, "bozza": {"asked sheet"}, "oud": {"asked sheet"}, "Loop 1": read, "Readings": read, "Altbau": read, "Goldfinch": read,
	} {
		text := readingsUnder(t, name)
		if got := readingsOf(t, "x.xlsx", text, Profile{}); !slices.Equal(got, want) {
			t.Errorf("%s: %q", name, got)
		}
		if got := readingsOf(t, "x.xlsx", text, Profile{DraftSheet: SheetTaken}); !slices.Equal(got, read) {
			t.Errorf("%s, taken: %q", name, got)
		}
	}
	if got := readingsOf(t, "x.xlsx", readingsUnder(t, "Draft"), Profile{DraftSheet: SheetLeft}); !slices.Equal(got, []string{"nothing"}) {
		t.Errorf("left out: %q", got)
	}
}

// All days on the same day of many months may be days of one month.
func TestOneDayOfManyMonths(t *testing.T) {
	const list = "point,date,value\n1.1,2026-01-03,26\n1.2,2026-02-03,27\n1.3,2026-10-03,28\n1.4,2026-05-03,29\n"
	if got := readingsOf(t, "x.csv", list, Profile{}); !slices.Equal(got, []string{"asked swapped_days"}) {
		t.Errorf("%q", got)
	}
	if got := readingsOf(t, "x.csv", list, Profile{Swapped: DaysExchanged}); got[0] != "1.1 2026-03-01 [26]" {
		t.Errorf("exchanged: %q", got)
	}
	const spread = "point,date,value\n1.1,2026-01-03,26\n1.2,2026-02-03,27\n1.3,2026-10-04,28\n1.4,2026-05-03,29\n"
	if got := readingsOf(t, "x.csv", spread, Profile{}); got[0] != "1.1 2026-01-03 [26]" {
		t.Errorf("%q", got)
	}
}

// A word for a visit may stand before its day.
func TestNumberedVisits(t *testing.T) {
	for _, heads := range []string{"V1 13.05.2026,V2 13.11.2026", "Visit 1 13.05.2026,Visit 2 13.11.2026", "Besuch 13.05.2026,Besuch 13.11.2026", "visite 1 13.05.2026,visite 2 13.11.2026", "ronda 13.05.2026,ronda 13.11.2026", "bezoek 1 13.05.2026,bezoek 2 13.11.2026"} {
		if got := readingsOf(t, "x.csv", "Point,"+heads+"\n1.001,26,27\n1.002,26,28\n", Profile{}); !slices.Equal(got, []string{"1.1 2026-05-13 [26]", "1.1 2026-11-13 [27]", "1.2 2026-05-13 [26]", "1.2 2026-11-13 [28]"}) {
			t.Errorf("under %s: %q", heads, got)
		}
	}
}
