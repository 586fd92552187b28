package listing

import (
	"bytes"
	"slices"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// TestMonthOfAFormat: a workbook's first of a month that is shown as a month is that month; any other day stays a day.
func TestMonthOfAFormat(t *testing.T) {
	for day, want := range map[int]string{1: "1.1 2026-05-16 [27] read within 2026-05", 12: "1.1 2026-05-12 [27]"} {
		f := excelize.NewFile()
		sheetOf(t, f, "Sheet1", []any{"Point", time.Date(2026, 5, day, 0, 0, 0, 0, time.UTC), time.Date(2026, 11, day, 0, 0, 0, 0, time.UTC)}, []any{"1.001", 27, 28})
		must(t, f.SetCellStyle("Sheet1", "B1", "C1", style(t, f, "mmm-yy")))
		var b bytes.Buffer
		must(t, f.Write(&b))
		if got := readingsOf(t, "a.xlsx", b.String(), Profile{}); !slices.Contains(got, want) {
			t.Errorf("on day %d: %q", day, got)
		}
	}
}
