package listing

import (
	"bytes"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"
)

// A year that stands over its months is that of each of them.
func TestYearsOverMonths(t *testing.T) {
	for _, list := range []string{
		"Point;2025;;2026;\n;Mai;Nov;Mai;Nov\n1.001;25;26;26;27\n1.002;26;26;27;28\n",
		"Point,2025,,2026,\n,May,November,May,November\n1.001,25,26,26,27\n1.002,26,26,27,28\n",
		"Repère;2025;;2026;\n;mai;novembre;mai;novembre\n1.001;25;26;26;27\n1.002;26;26;27;28\n",
	} {
		got := readingsOf(t, "x.csv", list, Profile{DayOfMonth: "1"})
		want := []string{
			"1.1 2025-05-01 [25]", "1.1 2025-11-01 [26]", "1.1 2026-05-01 [26]", "1.1 2026-11-01 [27]",
			"1.2 2025-05-01 [26]", "1.2 2025-11-01 [26]", "1.2 2026-05-01 [27]", "1.2 2026-11-01 [28]",
		}
		if !slices.Equal(got, want) {
			t.Errorf("%q: %q", list, got)
		}
	}
}

// A day that is merged over two columns of values is that of both; how they differ is asked.
func TestDayOverSeveralColumns(t *testing.T) {
	f := excelize.NewFile()
	var errs []error
	for i, row := range [][]any{{"Point", "13.04.2026", nil, "13.11.2026"}, {"1.001", 38, 25, 26, 26}, {"1.002", 26, 26, 27, 27}} {
		errs = append(errs, f.SetSheetRow("Sheet1", "A"+string(rune('1'+i)), &row))
	}
	errs = append(errs, f.MergeCell("Sheet1", "B1", "C1"), f.MergeCell("Sheet1", "D1", "E1"))
	var b bytes.Buffer
	for _, err := range append(errs, f.Write(&b)) {
		if err != nil {
			t.Fatal(err)
		}
	}
	if got := readingsOf(t, "x.xlsx", b.String(), Profile{}); !slices.Equal(got, []string{"asked value"}) {
		t.Errorf("%q", got)
	}
	for answer, want := range map[string]string{"2,4": "1.1 2026-04-13 [38]", "2,3,4,5": "1.1 2026-04-13 [38 25]"} {
		var p Profile
		if err := p.Answer(AskValue, answer); err != nil {
			t.Fatal(err)
		}
		if got := readingsOf(t, "x.xlsx", b.String(), p); len(got) != 4 || got[0] != want {
			t.Errorf("answered %s: %q", answer, got)
		}
	}
}
