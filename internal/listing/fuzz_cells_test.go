package listing

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"sootline/internal/fuzzing"
)

// FuzzProfiles: a map file that is taken is taken again as it is written.
func FuzzProfiles(f *testing.F) {
	f.Add([]byte(`{"kind":"readings","columns":{"Date":"date","2":"value"},"date_order":"dmy","decimal":"comma","header_line":-1}`))
	f.Add([]byte(`[{"sheet":"A","constants":{"loop":"1"},"outcomes":{"ok":"passed"}},{"separator":"tab","encoding":"cp850"}]`))
	f.Fuzz(func(t *testing.T, data []byte) {
		fuzzing.Within(t, len(data), func() {
			all, err := ParseProfiles(data)
			if err != nil {
				return
			}
			once, err := json.Marshal(all)
			if err != nil {
				t.Fatal(err)
			}
			again, err := ParseProfiles(once)
			if err != nil {
				t.Fatalf("what was taken is refused: %v\n%s", err, once)
			}
			if twice, err := json.Marshal(again); err != nil || !bytes.Equal(once, twice) {
				t.Fatalf("%s, then %s: %v", once, twice, err)
			}
		})
	})
}

// FuzzCell: whatever stands in a cell is looked at in every way that columns are.
func FuzzCell(f *testing.F) {
	for _, cell := range []string{"1.234,5 mA", "L1-073", "31.12.2025 8h05", "25 / 26;27", "not ok, no access", "Clean air (%/ft)", "1er mars", "OK?"} {
		f.Add(cell)
	}
	lx := newLexicon()
	f.Fuzz(func(t *testing.T, cell string) {
		fuzzing.Within(t, len(cell), func() {
			numbersIn(t, cell)
			seen := content{distinct: map[string]bool{}}
			for _, kind := range []cellKind{0, cellNumber, cellDate} {
				seen.look(cell, kind, lx, nil)
			}
			lx.verdict(cell)
			lx.heading(cell)
			lx.polarity(cell)
			AgainstPass(cell)
			splitSamples(cell)
			splitMonth(cell)
			if rest, unit := splitUnit(cell); len(rest)+len(unit) > len(cell)+utf8.UTFMax {
				t.Fatalf("%q: %q and %q", cell, rest, unit)
			}
		})
	})
}

// numbersIn holds what reads as a number against its own writing.
func numbersIn(t *testing.T, cell string) {
	t.Helper()
	for _, decimal := range []byte{'.', ','} {
		v, _, ok := parseNumber(cell, decimal)
		if ok && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Fatalf("%q is read as %v", cell, v)
		}
	}
	if mark := decimalMark(cell); mark > markBroken {
		t.Fatalf("%q has the mark %v", cell, mark)
	}
}

// FuzzRange: a range of merged cells is one that lies on a sheet.
func FuzzRange(f *testing.F) {
	f.Add("A1:B2")
	f.Add("ZZ:A-1")
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			if m, ok := parseRange(text); ok && (m.left < 1 || m.right < m.left || m.top < 1) {
				t.Fatalf("%q: %+v", text, m)
			}
		})
	})
}

// partsOfBook are the parts of a workbook that are read, and a sound content of each.
var partsOfBook = [][2]string{
	{"xl/workbook.xml", `<workbook xmlns:r="r"><workbookPr date1904="1"/><sheets><sheet name="S" r:id="rId1"/></sheets></workbook>`},
	{"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="rId1" Target="worksheets/sheet1.xml"/></Relationships>`},
	{"xl/sharedStrings.xml", `<sst><si><t>Point</t></si><si><r><t>Va</t></r><r><t>lue</t></r></si></sst>`},
	{"xl/styles.xml", `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="dd.mm.yyyy"/></numFmts><cellXfs><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs></styleSheet>`},
	{"xl/worksheets/sheet1.xml", `<worksheet><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row><row r="2"><c r="A2" s="1"><v>45000</v></c></row></sheetData></worksheet>`},
}

// FuzzWorkbookPart puts any bytes in the place of one part of a sound workbook.
func FuzzWorkbookPart(f *testing.F) {
	for i, part := range partsOfBook {
		f.Add(byte(i), []byte(part[1]))
	}
	f.Fuzz(func(t *testing.T, n byte, content []byte) {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for i, part := range partsOfBook {
			w, err := z.CreateHeader(&zip.FileHeader{Name: part[0], Method: zip.Store})
			must(t, err)
			if i != int(n)%len(partsOfBook) {
				_, err = w.Write([]byte(part[1]))
			} else {
				_, err = w.Write(content)
			}
			must(t, err)
		}
		must(t, z.Close())
		readAll(t, "x.xlsx", b.Bytes())
	})
}

// FuzzEncoded: text of any encoding, named or found, is read to its end.
func FuzzEncoded(f *testing.F) {
	for i := range 8 {
		f.Add(byte(i), []byte("Punkt;Wert\n1.1;3,5 \xb5A\n"))
	}
	names := []string{"utf-8", "windows-1252", "cp850", "utf-16le", "utf-16be", "iso-8859-15", "macintosh", "nonsense"}
	f.Fuzz(func(t *testing.T, n byte, data []byte) {
		fuzzing.Within(t, len(data), func() {
			file, err := Open("x.csv", bytes.NewReader(data), int64(len(data)), Limits{MaxLine: 1 << 12, MaxCols: 64})
			if err != nil {
				return
			}
			for _, table := range file.Tables() {
				u, err := Understand(table, Profile{Encoding: names[int(n)%len(names)], Separator: ";"})
				if err != nil {
					continue
				}
				for record := range u.Records(table) {
					if cells := strings.Join(record.Cells, ""); !utf8.ValidString(cells) {
						t.Fatalf("%q is no UTF-8", cells)
					}
				}
			}
		})
	})
}
