package demo_test

import (
	"bytes"
	"encoding/csv"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"sootline"
	"sootline/internal/demo"
)

// until is the last day of the stories that the tests tell.
func until() time.Time { return time.Date(2026, 11, 25, 15, 4, 5, 0, time.UTC) }

// cells reads a file with the library of its format.
func cells(t *testing.T, f demo.File) [][]string {
	t.Helper()
	if filepath.Ext(f.Name) == ".xlsx" {
		return workbookCells(t, f)
	}
	text := bytes.TrimPrefix(f.Content, []byte("\ufeff"))
	in := csv.NewReader(bytes.NewReader(text))
	in.FieldsPerRecord = -1
	if first, _, _ := bytes.Cut(text, []byte("\n")); bytes.Contains(first, []byte(";")) {
		in.Comma = ';'
	}
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	return rows
}

func workbookCells(t *testing.T, f demo.File) [][]string {
	t.Helper()
	book, err := excelize.OpenReader(bytes.NewReader(f.Content))
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	defer book.Close()
	rows, err := book.GetRows(book.GetSheetName(0))
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	return rows
}

// records reads a file as one map a row, by heading; rows above the headings,
// which are the first row with more than one cell, are left out.
func records(t *testing.T, f demo.File) []map[string]string {
	t.Helper()
	rows := cells(t, f)
	head := slices.IndexFunc(rows, func(row []string) bool { return len(row) > 1 })
	if head < 0 {
		t.Fatalf("%s has no headings", f.Name)
	}
	var all []map[string]string
	for _, row := range rows[head+1:] {
		record := map[string]string{}
		for i, cell := range row {
			record[english(rows[head][i])] = cell
		}
		all = append(all, record)
	}
	return all
}

func english(heading string) string {
	german := map[string]string{"Schleife": "loop", "Adresse": "address", "Datum": "date", "Wert": "value", "Bemerkung": "remark", "Techniker": "by"}
	if word, ok := german[heading]; ok {
		return word
	}
	return heading
}

// read is one row of a readings file.
type read struct {
	point   string
	day     time.Time
	samples []float64
}

// readingsOf reads every readings file.
func readingsOf(t *testing.T, s demo.Scenario) []read {
	t.Helper()
	var all []read
	for _, f := range s.Files {
		if strings.HasPrefix(f.Name, "readings-") {
			for _, record := range records(t, f) {
				all = append(all, read{pointOf(t, record), dayOf(t, record), samplesOf(t, record)})
			}
		}
	}
	return all
}

// pointOf finds the reference of a row, in one column or in several.
func pointOf(t *testing.T, record map[string]string) string {
	t.Helper()
	text := record["point"]
	if text == "" {
		text = record["loop"] + "." + record["address"]
		if panel := record["panel"]; panel != "" {
			text = panel + "." + text
		}
	}
	ref, err := sootline.ParseRef(text)
	if err != nil {
		t.Fatal(err)
	}
	if ref.Panel == "" {
		ref.Panel = "1"
	}
	return ref.String()
}

func dayOf(t *testing.T, record map[string]string) time.Time {
	t.Helper()
	for _, layout := range []string{time.DateOnly, "02.01.2006"} {
		if day, err := time.Parse(layout, record["date"]); err == nil {
			return day
		}
	}
	t.Fatalf("%q is not a date", record["date"])
	return time.Time{}
}

func samplesOf(t *testing.T, record map[string]string) []float64 {
	t.Helper()
	all := []string{record["value"]}
	for _, column := range []string{"v1", "v2", "v3", "v4", "v5"} {
		all = append(all, record[column])
	}
	var samples []float64
	for _, text := range strings.FieldsFunc(strings.Join(all, " "), func(r rune) bool { return r == ' ' || r == '/' }) {
		sample, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if err != nil {
			t.Fatal(err)
		}
		samples = append(samples, sample)
	}
	if len(samples) == 0 {
		t.Fatalf("a reading of %s has no value", record["point"])
	}
	return samples
}

// file finds a file by its name.
func file(t *testing.T, s demo.Scenario, name string) demo.File {
	t.Helper()
	for _, f := range s.Files {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("there is no file %s", name)
	return demo.File{}
}
