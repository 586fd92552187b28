package listing

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
)

// packed wraps parts, packed as well as deflate can, beside the sheets that the workbook names.
func packed(t testing.TB, sheets int, parts map[string]func(io.Writer)) []byte {
	t.Helper()
	var b, list, rels bytes.Buffer
	for i := range sheets {
		fmt.Fprintf(&list, `<sheet name="S%d" r:id="r"/>`, i)
	}
	rels.WriteString(`<Relationships><Relationship Id="r" Target="worksheets/sheet1.xml"/></Relationships>`)
	all := map[string]func(io.Writer){
		"xl/workbook.xml":            func(w io.Writer) { fmt.Fprintf(w, `<workbook xmlns:r="r"><sheets>%s</sheets></workbook>`, &list) },
		"xl/_rels/workbook.xml.rels": func(w io.Writer) { rels.WriteTo(w) },
		"xl/worksheets/sheet1.xml": func(w io.Writer) {
			io.WriteString(w, `<worksheet><sheetData><row><c><v>1</v></c></row></sheetData></worksheet>`)
		},
	}
	for name, write := range parts {
		all[name] = write
	}
	z := zip.NewWriter(&b)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, 9) })
	for name, write := range all {
		w, err := z.Create(name)
		must(t, err)
		write(w)
	}
	must(t, z.Close())
	return b.Bytes()
}

func repeated(open, piece string, n int) func(io.Writer) {
	return func(w io.Writer) {
		io.WriteString(w, open)
		io.WriteString(w, strings.Repeat(piece, n))
	}
}

// wholly reads a workbook to its end, and gives the first error.
func wholly(data []byte) error {
	f, err := Open("a.xlsx", bytes.NewReader(data), int64(len(data)), Limits{})
	if err != nil {
		return err
	}
	for _, table := range f.Tables() {
		u, err := Understand(table, Profile{})
		if err != nil {
			return err
		}
		for range u.Records(table) {
		}
	}
	return nil
}

// allocated gives how many bytes were allocated in all, freed or not, while something was done.
func allocated(do func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	do()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// TestWorkbookBounds: what costs more than its file is worth is refused in a sentence, before much of it is
// unpacked: no more is allocated than 64 times the file and 64 MB, counting what is freed again; where a
// million rows are read before it shows, and each is forgotten at once, 512 MB.
func TestWorkbookBounds(t *testing.T) {
	const sheet, head = "xl/worksheets/sheet1.xml", "<worksheet><sheetData>"
	filled := `<row><c t="str"><v>x</v></c></row>` + strings.Repeat("<row/>", 5000)
	for name, c := range map[string]struct {
		sheets int
		parts  map[string]func(io.Writer)
		says   string
	}{
		"unpacks to much":  {1, map[string]func(io.Writer){sheet: repeated(head, "<row><c><v>1</v></c></row>", 1<<20)}, "too large once unpacked"},
		"one sheet often":  {200, map[string]func(io.Writer){sheet: repeated(head, "<row><c><v>1</v></c></row>", 1<<15)}, "too large once unpacked"},
		"empty rows":       {1, map[string]func(io.Writer){sheet: repeated(head, "<row/>", mostRows+1)}, "more than 1048576 rows"},
		"deep":             {1, map[string]func(io.Writer){sheet: repeated(head, "<row>", 1000)}, "more than 64 deep"},
		"deep in strings":  {1, map[string]func(io.Writer){"xl/sharedStrings.xml": repeated("<sst><si>", "<r>", 1000)}, "more than 64 deep"},
		"many strings":     {1, map[string]func(io.Writer){"xl/sharedStrings.xml": repeated("<sst>", "<si><t>a</t></si>", 400_000)}, "too large once unpacked"},
		"many relations":   {1, map[string]func(io.Writer){"xl/_rels/workbook.xml.rels": repeated("<Relationships>", `<Relationship Id="a" Target="b"/>`, 200_000)}, "too large once unpacked"},
		"long formats":     {1, map[string]func(io.Writer){"xl/styles.xml": repeated("<styleSheet>", `<numFmt numFmtId="1" formatCode="`+strings.Repeat("0", 100_000)+`"/>`, 120)}, "too large once unpacked"},
		"many merges":      {1, map[string]func(io.Writer){sheet: repeated(head+"</sheetData>", `<mergeCell ref="A1:A2"/>`, 100_001)}, "more than 100000 merged ranges"},
		"merges over rows": {1, map[string]func(io.Writer){sheet: repeated(head+filled+`</sheetData><mergeCell ref="A1:XFD1048576"/>`, "", 0)}, "fill more than 4194304 cells"},
	} {
		t.Run(name, func(t *testing.T) {
			data := packed(t, c.sheets, c.parts)
			var err error
			took := allocated(func() { err = wholly(data) })
			if err == nil || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
				t.Errorf("expected a sentence with %q, found: %v", c.says, err)
			}
			t.Logf("%d bytes, %d MB allocated", len(data), took>>20)
			spare := 64 << 20
			if strings.Contains(name, "rows") {
				spare = 512 << 20
			}
			if most := uint64(64*len(data) + spare); took > most {
				t.Errorf("%d bytes took %d MB, more than %d", len(data), took>>20, most>>20)
			}
		})
	}
}

// TestManyParts: a list of parts is not read without end.
func TestManyParts(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := range 60_000 {
		_, err := z.CreateRaw(&zip.FileHeader{Name: fmt.Sprintf("xl/worksheets/a-part-of-no-use-%d.xml", i)})
		must(t, err)
	}
	must(t, z.Close())
	if err := wholly(b.Bytes()); err == nil || !strings.Contains(err.Error(), "too many parts") {
		t.Errorf("60,000 parts: %v", err)
	}
}

// TestWorkbookLies: a part that goes on beyond what the archive says of it is stopped there.
func TestWorkbookLies(t *testing.T) {
	const sheet = "xl/worksheets/sheet1.xml"
	data := packed(t, 1, map[string]func(io.Writer){sheet: repeated("<worksheet><sheetData>", "<row/>", 1<<19)})
	at := bytes.LastIndex(data, []byte(sheet)) - 46 // the part's place in the list (APPNOTE 4.3.12)
	if string(data[at:at+4]) != "PK\x01\x02" {
		t.Fatal("the list of parts is elsewhere")
	}
	copy(data[at+24:at+28], []byte{0, 1, 0, 0}) // uncompressed size: 256
	if err := wholly(data); err == nil {
		t.Error("a part that lies of its size was read to its end")
	}
}

// TestHonestWorkbooks: sheets as programs write them pass, also where their cells have no names and
// say the same again and again.
func TestHonestWorkbooks(t *testing.T) {
	for name, row := range map[string]string{
		"readings without names": `<row><c t="inlineStr"><is><t>1.%03d</t></is></c><c s="1"><v>45678</v></c><c><v>%d</v></c></row>`,
		"empty cells with style": `<row r="%d"><c s="1"/><c s="1"/><c s="1"/><c s="1"/><c s="1"><v>%d</v></c></row>`,
	} {
		t.Run(name, func(t *testing.T) {
			const rows = 60_000
			data := packed(t, 1, map[string]func(io.Writer){"xl/worksheets/sheet1.xml": func(w io.Writer) {
				io.WriteString(w, "<worksheet><sheetData>")
				for i := range rows {
					n := i%126 + 1
					if strings.Contains(row, "r=") {
						n = i + 1
					}
					fmt.Fprintf(w, row, n, 20+i*7919%13)
				}
				io.WriteString(w, "</sheetData></worksheet>")
			}})
			f, err := Open("a.xlsx", bytes.NewReader(data), int64(len(data)), Limits{})
			must(t, err)
			n := 0
			for _, err := range f.Tables()[0].Rows() {
				must(t, err)
				n++
			}
			if n != rows {
				t.Errorf("%d rows of %d", n, rows)
			}
			t.Logf("%d rows in %d kB", rows, len(data)>>10) // of some 75 bytes each once unpacked
		})
	}
}
