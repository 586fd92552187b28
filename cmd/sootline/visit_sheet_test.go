package main

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestRoundSheet fills in the workbook of a round as people do, and takes it in:
// what was filled in arrives, rows left empty say nothing, and a second time adds
// nothing.
func TestRoundSheet(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("SOOTLINE_NOW", "2026-01-20T10:00:00Z")
	t.Setenv("SOOTLINE_BOOK", "book.db")
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	for name, text := range map[string]string{
		"types.csv":    "name,kind,low,high\nLarch,optical smoke,20,40\nPull,call point,,\n",
		"schedule.csv": "loop,address,type,zone,location\n1,1,Larch,1,Hall\n1,2,Larch,1,Store\n1,3,Pull,1,Door\n",
	} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	play(t, "sootline site add Works --loop 1")
	play(t, "sootline take types.csv schedule.csv --yes")
	play(t, "sootline visit plan --minutes 240 --sheet round.xlsx")

	before := play(t, "sootline take round.xlsx --yes")
	if !strings.Contains(before, "Values: added nothing") || !strings.Contains(before, "Work: added nothing") {
		t.Errorf("an empty sheet:\n%s", before)
	}
	fill(t, map[string]map[string]any{
		"Values": {"G4": 25, "H4": 26, "I4": 25.5},
		"Work":   {"F4": "tested", "F6": "tested", "H6": "B. Mate"},
	})
	var out bytes.Buffer
	if code := run(context.Background(), []string{"take", "round.xlsx", "--yes"}, strings.NewReader(""), &out, &out); code != exitDone {
		t.Fatalf("exit code %d:\n%s", code, out.String())
	}
	for _, want := range []string{"sheet Values: added 1 reading", "sheet Work: added 2 function tests"} {
		if !strings.Contains(out.String(), want) || strings.Contains(out.String(), "cannot be used") {
			t.Errorf("want %q in:\n%s", want, out.String())
		}
	}
	log := play(t, "sootline log --json")
	for _, want := range []string{`"samples":[25,26,25.5]`, "B. Mate"} {
		if !strings.Contains(strings.ReplaceAll(log, " ", ""), strings.ReplaceAll(want, " ", "")) {
			t.Errorf("want %s in the log:\n%s", want, log)
		}
	}
	if again := play(t, "sootline take round.xlsx --yes"); !strings.Contains(again, "Work: added nothing") {
		t.Errorf("taken again:\n%s", again)
	}
}

func fill(t *testing.T, sheets map[string]map[string]any) {
	t.Helper()
	f, err := excelize.OpenFile("round.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	for sheet, cells := range sheets {
		for cell, value := range cells {
			if err := f.SetCellValue(sheet, cell, value); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := f.SaveAs("round.xlsx"); err != nil {
		t.Fatal(err)
	}
}
