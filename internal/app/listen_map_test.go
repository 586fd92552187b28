package app

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"sootline/internal/ear"
)

// TestMapIsTakenInLikeAListing: which value is of which point is read from a workbook or a CSV by its headings, wherever they stand
// and in which order, with scales as people write them; what is left is told, and what it would do; what is kept is read the same.
func TestMapIsTakenInLikeAListing(t *testing.T) {
	a, site, _ := panelSite(t)
	table := [][]any{
		{"Interface list of the works"},
		{},
		{"Remark", "Units", "Loop", "Address", "Slave", "Function", "Register", "Factor"},
		{"west", "%", 1, 3, 3, "input registers", 0, "0,1"},
		{"", "mV", 1, 4, 3, 4, 1, "1/10"},
		{"nothing here"},
		{"", "", 1, 5, 3, "04", 2, "x 0.5"},
		{"spare", "", 1, 6},
	}
	book := excelize.NewFile()
	var text strings.Builder
	for i, row := range table {
		for k, cell := range row {
			name, err := excelize.CoordinatesToCellName(k+1, i+1)
			if err == nil {
				err = book.SetCellValue("Sheet1", name, cell)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	var file bytes.Buffer
	if err := book.Write(&file); err != nil {
		t.Fatal(err)
	}
	text.WriteString("\xef\xbb\xbfReference;Units;Tag;Factor\r\n1.1.003;%;3:4:0;0,1\r\n1.1.004;mV;3:4:1;1/10\r\n1.1.005;;3:4:2;×0,5\r\n")
	for name, content := range map[string][]byte{"a workbook": file.Bytes(), "a CSV": []byte(text.String())} {
		m, err := a.ReadMap(context.Background(), site.ID, "modbus", "map", bytes.NewReader(content), int64(len(content)))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var got []string
		for _, v := range m.Values {
			got = append(got, v.Point+" "+v.Source+" "+v.Unit)
		}
		if len(m.Values) != 3 || m.Values[0].Scale != 0.1 || m.Values[1].Scale != 0.1 || m.Values[2].Scale != 0.5 || m.Values[0].Source != "3:4:0" || m.Values[1].Unit != "mV" || m.Values[2].Location != "Room 5" {
			t.Errorf("%s: %v", name, got)
		}
		if name == "a workbook" && len(m.Left) != 3 {
			t.Errorf("%s: left are %q", name, m.Left)
		}
		if m.Lacks != 27 {
			t.Errorf("%s: %d lack", name, m.Lacks)
		}
		if again, err := a.ReadMapText(context.Background(), site.ID, "modbus", m.Places); err != nil || again.Places != m.Places {
			t.Errorf("%s: kept and read again: %v", name, err)
		}
		if places, err := ear.ReadPlaces("modbus", m.Places); err != nil || len(places) != 3 {
			t.Errorf("%s: %v", name, err)
		}
	}
	for wrong, says := range map[string]string{
		"point,source\n1.1.003,3:9:0\n":                   "row 2",
		"point,source\n1.1.003,3:4:0\n1.1.003,3:4:1\n":    "two values",
		"point,source,scale\n1.1.003,3:4:0,five\n":        "scale",
		"point,unit\n1.1.003,%\n":                         "no table",
		"title\n\npoint,source\n,\n1.1.099,3:4:0\n":       "no point",
		"point,source,least,most\n1.1.003,3:4:0,50,20\n":  "least",
		"point,source,holds\n1.1.003,3:4:0,seventeen\n\n": "hold",
	} {
		if _, err := a.ReadMapText(context.Background(), site.ID, "modbus", wrong); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", wrong, err)
		}
	}
}
