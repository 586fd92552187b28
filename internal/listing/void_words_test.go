package listing

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestVoidWordsEverywhere: what voids a value or a sheet is asked in a remark, in a title, and in the name of a sheet.
func TestVoidWordsEverywhere(t *testing.T) {
	const rows = "\nPoint;Date;Value\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n"
	for _, word := range []string{"void", "ignore", "estimated", "test data", "ungültig", "Testdaten", "annulé", "anulado", "annullato", "ongeldig", "geannuleerd", "cancelled"} {
		if got := blockedBy(t, siteOf("Quarry Works"), "a.csv", word+rows, Profile{}); got != AskTitle {
			t.Errorf("title %s: asked %q", word, got)
		}
		if got := sheetAsks(t, word); got != AskSheet {
			t.Errorf("sheet %s: asked %q", word, got)
		}
	}
	if got := sheetAsks(t, "Oakfield Mill"); got != AskSite {
		t.Errorf("another site's name: asked %q", got)
	}
	for _, name := range []string{"Sheet1", "Loop 1", "Quarry Works", "Readings 2025", "Messwerte"} {
		if got := sheetAsks(t, name); got != "" {
			t.Errorf("sheet %s: asked %q", name, got)
		}
	}
}

func sheetAsks(t *testing.T, name string) string {
	t.Helper()
	f := excelize.NewFile()
	must(t, f.SetSheetName("Sheet1", name))
	for i, row := range [][]any{{"Point", "Date", "Value"}, {"1.001", "2025-09-16", 31}, {"1.002", "2025-09-16", 29}} {
		must(t, f.SetSheetRow(name, "A"+string(rune('1'+i)), &row))
	}
	var b bytes.Buffer
	must(t, f.Write(&b))
	return blockedBy(t, siteOf("Quarry Works"), "a.xlsx", b.String(), Profile{})
}

// TestRemarksThatVoid: a remark that says that its value does not hold puts its row aside; the others are taken.
func TestRemarksThatVoid(t *testing.T) {
	for _, remark := range []string{
		"void", "ignore", "wrong point - was 1.003", "estimated", "simulated", "not read, last year's value", "please ignore this reading",
		"ungültig", "falscher Melder", "nicht gelesen, Wert vom Vorjahr", "annulé", "non lu", "valeur de l'an dernier", "anulado", "no leído", "annullato", "rivelatore sbagliato", "ongeldig", "verkeerde melder",
	} {
		list := "Point;Date;Value;Remark\n1.001;2025-09-16;31;" + remark + "\n1.002;2025-09-16;29;dusty\n"
		u, said := saidIn(t, "a.csv", list, Profile{})
		if len(u.Questions) != 1 || u.Questions[0].ID != AskHolds || !u.Questions[0].Aside || said != "!|2 2025-09-16 [29]" {
			t.Errorf("%s: %s %+v", remark, said, u.Questions)
		}
	}
	for _, remark := range []string{"cleaned the floor void", "in ceiling void 3", "dirty", "read twice", "Zwischendecke", "faux plafond"} {
		if u, said := saidIn(t, "a.csv", "Point;Date;Value;Remark\n1.001;2025-09-16;31;"+remark+"\n1.002;2025-09-16;29;\n", Profile{}); len(u.Questions) > 0 || said != "1 2025-09-16 [31]|2 2025-09-16 [29]" {
			t.Errorf("%s: %s %+v", remark, said, u.Questions)
		}
	}
}

// TestAnsweredNoReply: a word that voids a value is heeded under a heading of which only a part is known.
func TestAnsweredNoReply(t *testing.T) {
	for _, head := range []string{"Panel says", "Zentrale meldet", "Frobnication"} {
		if got := blockedBy(t, nil, "a.csv", "Point;Date;Value;"+head+"\n1.001;2025-09-16;27;ok\n1.002;2025-09-16;0;no reply\n", Profile{}); got != AskHolds {
			t.Errorf("%s: asked %q", head, got)
		}
	}
}
