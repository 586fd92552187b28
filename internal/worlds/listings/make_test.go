package listings

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// The same seed gives the same bytes and the same site.
func TestSameSeedSameBytes(t *testing.T) {
	for seed := range uint64(200) {
		a, b := Make(seed), Make(seed)
		if !bytes.Equal(a.Data, b.Data) || a.Name != b.Name || !bytes.Equal(encoded(a.Truth), encoded(b.Truth)) || len(a.Site) != len(b.Site) {
			t.Fatalf("seed %d gives two listings", seed)
		}
		for i := range a.Site {
			if a.Site[i].ID != b.Site[i].ID {
				t.Fatalf("seed %d gives two sites", seed)
			}
		}
	}
}

// Every layout comes in every format and language, every spoiling appears, and each listing states something.
func TestEverythingAppears(t *testing.T) {
	seen, seed := map[string]bool{}, uint64(1)
	for _, layout := range Layouts() {
		for _, format := range Formats() {
			for _, language := range Languages() {
				seed++
				l := MakeOf(seed, layout, format, language)
				if l.Layout != layout || l.Format != format || l.Language != language || len(l.Data) < 40 || l.Truth.Empty() {
					t.Fatalf("%s, %s, %s: a listing of %d bytes, %s", layout, format, language, len(l.Data), l.Layout)
				}
				for _, s := range l.Spoilings {
					seen[s] = true
				}
			}
		}
	}
	for _, s := range Spoilings() {
		if !seen[s] {
			t.Errorf("no listing is spoilt by %q", s)
		}
	}
	if len(Layouts()) < 40 || len(Spoilings()) < 20 || len(Languages()) < 6 || len(Formats()) < 8 {
		t.Errorf("%d layouts, %d spoilings, %d languages, %d formats", len(Layouts()), len(Spoilings()), len(Languages()), len(Formats()))
	}
}

// A clean CSV of readings read again by other code gives the facts of its truth.
func TestTruthOfCleanTables(t *testing.T) {
	compared := 0
	for seed := range uint64(400) {
		l := MakeOf(seed, "readings, loop and address apart", "csv", "English")
		if len(l.Spoilings) > 0 {
			continue
		}
		compared++
		found := readAgain(t, &l)
		var stated []string
		for _, f := range l.Truth.Readings {
			stated = append(stated, fmt.Sprintf("%s %s %g", f.Ref, f.From, f.Value))
		}
		slices.Sort(found)
		slices.Sort(stated)
		if !slices.Equal(found, stated) {
			t.Errorf("seed %d: the file says\n%v\nthe truth\n%v", seed, found, stated)
		}
	}
	if compared < 50 {
		t.Errorf("only %d clean listings", compared)
	}
}

// readAgain reads a clean CSV with encoding/csv and layouts of its own.
func readAgain(t *testing.T, l *Listing) []string {
	t.Helper()
	in := csv.NewReader(bytes.NewReader(l.Data))
	in.FieldsPerRecord = -1
	if first, _, _ := bytes.Cut(l.Data, []byte("\n")); bytes.Contains(first, []byte(";")) {
		in.Comma = ';'
	} else if bytes.Contains(first, []byte("\t")) {
		in.Comma = '\t'
	}
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := func(name string) int { return slices.Index(rows[0], name) }
	days := dayLayout(rows[1:], at("Date"))
	var all []string
	for _, r := range rows[1:] {
		panel := "1"
		if at("Panel") >= 0 {
			panel = r[at("Panel")]
		}
		number, err1 := strconv.Atoi(r[at("Address")])
		day, err2 := time.Parse(days, r[at("Date")])
		value, err3 := strconv.ParseFloat(r[at("Value")], 64)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(l.Seed, r, err1, err2, err3)
		}
		all = append(all, fmt.Sprintf("%s.%s.%03d %s %g", panel, r[at("Loop")], number, day.Format(time.DateOnly), value))
	}
	return all
}

// dayLayout finds the one way of writing days that fits all rows.
func dayLayout(rows [][]string, at int) string {
	for _, layout := range []string{"2006-01-02", "02/01/2006", "01/02/2006", "2 Jan 2006", "02-Jan-2006", "2 January 2006"} {
		if !slices.ContainsFunc(rows, func(r []string) bool { _, err := time.Parse(layout, r[at]); return err != nil }) {
			return layout
		}
	}
	return ""
}

// A workbook of any layout is one that another library opens, with each value and number in the cell that the truth
// names, and with the hidden parts and formulas that were meant.
func TestWorkbooksOpen(t *testing.T) {
	seen := map[string]int{}
	for i, layout := range Layouts() {
		for seed := range uint64(6) {
			l := MakeOf(seed+uint64(100*i), layout, "xlsx", "English")
			f, err := excelize.OpenReader(bytes.NewReader(l.Data))
			if err != nil {
				t.Fatalf("seed %d: %v", l.Seed, err)
			}
			for _, name := range f.GetSheetList() {
				visible, err := f.GetSheetVisible(name)
				if err != nil {
					t.Fatal(err)
				}
				if !visible {
					seen["hidden sheets"]++
				}
			}
			for _, fact := range l.Truth.Readings {
				seen["readings"]++
				compareCell(t, &l, f, fact.Cell, strconv.FormatFloat(fact.Value, 'f', -1, 64), seen)
			}
			for _, fact := range l.Truth.Points {
				seen["points"]++
				number := strings.TrimLeft(fact.Ref[strings.LastIndexByte(fact.Ref, '.')+1:], "0")
				compareCell(t, &l, f, fact.Cell, number, seen)
			}
		}
	}
	for _, what := range []string{"readings", "points", "formulas", "hidden sheets"} {
		if seen[what] == 0 {
			t.Errorf("no %s", what)
		}
	}
}

// compareCell looks for a text in the cell that a fact names.
func compareCell(t *testing.T, l *Listing, f *excelize.File, at Cell, text string, seen map[string]int) {
	t.Helper()
	sheet, place, _ := strings.Cut(string(at), "!")
	shown, err := f.GetCellValue(sheet, place, excelize.Options{RawCellValue: !strings.Contains(l.Layout, "percent")})
	formula, err2 := f.GetCellFormula(sheet, place)
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	if formula != "" {
		seen["formulas"]++
		shown = formula
	}
	if !strings.Contains(shown, text) {
		t.Errorf("seed %d, %s at %s: %q for %s", l.Seed, l.Layout, at, shown, text)
	}
}
