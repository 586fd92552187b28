package listing

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"
)

// packedAs packs one part as well as deflate can.
func packedAs(t testing.TB, name string, write func(io.Writer)) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create(name)
	must(t, err)
	write(w)
	must(t, z.Close())
	return b.Bytes()
}

// nested packs a file into archives that lie in each other.
func nested(t testing.TB, deep int) []byte {
	data := []byte("a,b\n1,2\n")
	for i := range deep {
		name := "a.zip"
		if i == 0 {
			name = "a.csv"
		}
		data = zipOf(t, name, string(data))
	}
	return data
}

func gzipped(t testing.TB, n int) []byte {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := io.WriteString(w, strings.Repeat("1,2\n", n))
	must(t, err)
	must(t, w.Close())
	return b.Bytes()
}

// looped is a container whose sectors follow each other in a circle.
func looped() []byte {
	data := compoundOf("Workbook", make([]byte, 8192))
	for i := range 20 {
		binary.LittleEndian.PutUint32(data[512+4*i:], uint32((i+1)%20))
	}
	return data
}

// manyMerges is an old workbook with more merged ranges than are read.
func manyMerges() []byte {
	var one bytes.Buffer
	for range 1000 {
		one.Write([]byte{1, 0, 2, 0, 0, 0, 1, 0})
	}
	var all [][]byte
	for range 101 {
		all = append(all, record(recMerged, uint16(1000), one.Bytes()))
	}
	m := &xlsMaker{}
	m.sheet("S", 0, append([][]byte{xlsNumber(0, 0, 0, 1)}, all...)...)
	return m.file()
}

func lockedXLS() []byte {
	return compoundOf("Workbook", append(record(recBOF, uint16(biff8), uint16(5), [12]byte{}), record(recPassword, uint16(1))...))
}

// TestHostileFiles: what no honest program writes ends in one sentence, soon, and without more memory than
// 64 times the file and 64 MB, counting what is freed again; where many rows are read before it shows, and
// each is forgotten at once, 512 MB.
func TestHostileFiles(t *testing.T) {
	row := `<table:table-row table:number-rows-repeated="%d"><table:table-cell table:number-columns-repeated="%d" office:value-type="string"><text:p>x</text:p></table:table-cell></table:table-row>`
	sheet := func(rows string) []byte { return odsOf(t, `<table:table table:name="S">`+rows+`</table:table>`) }
	m := &xlsMaker{}
	m.sheet("S", 0, xlsNumber(5, 0, 0, 1), xlsNumber(2, 0, 0, 1))
	spans := "<table>" + "<tr><td rowspan=65534 colspan=1000>x</td></tr>" + strings.Repeat("<tr></tr>", 9000) + "</table>"
	dif := "TABLE\n0,1\n\"\"\nDATA\n0,0\n\"\"\n"
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"ods repeated row":     {sheet(fmt.Sprintf(row, 1<<20, 1)), "row 1 of sheet \"S\" is repeated 1048576 times"},
		"ods repeated rows":    {sheet(strings.Repeat(fmt.Sprintf(row, 1000, 1000), 5)), "fill more than 4194304 cells"},
		"ods far right":        {sheet(fmt.Sprintf(row, 1, 1<<20)), "at most 1024 cells"},
		"ods deep":             {sheet("<table:table-row>" + strings.Repeat("<text:span>", 100)), "more than 64 deep"},
		"ods bomb":             {packedAs(t, odsContent, repeated(odsHead+`<table:table table:name="S">`, fmt.Sprintf(row, 1, 1), 1<<19)), "too large once unpacked"},
		"ods many rows":        {sheet(fmt.Sprintf(`<table:table-row table:number-rows-repeated="%d"/>`, 1<<20) + fmt.Sprintf(row, 1, 1)), "more than 1048576 rows"},
		"ods many sheets":      {odsOf(t, strings.Repeat(`<table:table table:name="S"></table:table>`, 300)), "more than 256 sheets"},
		"xls circle":           {looped(), "its parts do not fit together"},
		"xls cut":              {xlsExample()[:2000], "damaged"},
		"xls merges":           {manyMerges(), "more than 100000 merged ranges"},
		"xls locked":           {lockedXLS(), "locked by a password"},
		"xls locked, new":      {compoundOf("EncryptedPackage", nil), "locked by a password"},
		"xls document":         {compoundOf("WordDocument", nil), "holds no workbook"},
		"xls old":              {compoundOf("Book", record(recBOF, uint16(0x500), uint16(5))), "older than 1997"},
		"xls rows":             {m.file(), "row 3 stands behind row 6"},
		"html spans":           {[]byte(spans), "fill more than 4194304 cells"},
		"html tables":          {[]byte("<html>" + strings.Repeat("<table><tr><td>a<td>b</table>", 300)), "too many tables"},
		"html text":            {[]byte("<table><tr><td>" + strings.Repeat("a", 3<<20)), "a text of more than 1048576 bytes"},
		"html no table":        {[]byte("<html><p>Site</p></html>"), "holds no table"},
		"json deep":            {[]byte(`{"a":` + strings.Repeat("[", 100_000)), "too deep"},
		"json long":            {[]byte(`[{"a":"` + strings.Repeat("a", 3<<20) + `"}]`), "a row of more than 1048576 bytes"},
		"json names":           {[]byte("[{" + manyNames(2000) + "}]"), "more than 1024 names"},
		"json cut":             {[]byte(`[{"a":1},{"a"`), "no sound JSON from byte"},
		"json without rows":    {[]byte(`[]`), "holds no rows"},
		"sylk backwards":       {[]byte("ID;P\nC;X1;Y5;K1\nC;X1;Y2;K1\nE\n"), "line 3: row 2 stands behind row 5"},
		"sylk far down":        {[]byte("ID;P\nC;X1;Y99999999;K1\nE\n"), "line 2: expected a column or a row"},
		"dif cut":              {[]byte(dif + "-1,0\nBOT\n1,0\n"), "before the mark that ends its values"},
		"dif of nothing":       {[]byte(dif + "7,0\nX\n"), "line 7: expected a value that begins with -1, 0 or 1"},
		"zip in zip in zip":    {nested(t, 3), "more than 2 deep"},
		"zip bomb":             {packedAs(t, "a.csv", repeated("", "1,2\n", 16<<20)), "too large to be read packed"},
		"zip of nothing":       {zipOf(t, "dir/", ""), "holds no listing"},
		"zip of pictures":      {zipOf(t, "a.jpg", "\xff\xd8\xff\xe0"), "a.jpg in it: this is a picture"},
		"gzip bomb":            {gzipped(t, 16<<20), "too large to be read packed"},
		"pdf":                  {[]byte("%PDF-1.7"), "this is a PDF"},
		"photo":                {[]byte("\xff\xd8\xff\xe1"), "this is a picture"},
		"photo of a telephone": {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00"), "this is a picture"},
		"another archive":      {[]byte("7z\xbc\xaf\x27\x1c"), "an archive of a kind that is not read"},
		"xml":                  {[]byte("<?xml version=\"1.0\"?><Workbook/>"), "this is XML"},
	} {
		t.Run(name, func(t *testing.T) {
			var err error
			start := time.Now()
			took := allocated(func() { err = toTheEnd(c.data) })
			if err == nil || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") || len(err.Error()) > 400 {
				t.Errorf("expected a sentence with %q, found: %v", c.says, err)
			}
			spare := uint64(64 << 20)
			if strings.Contains(name, "row") || strings.Contains(name, "spans") {
				spare = 512 << 20
			}
			if most := 64*uint64(len(c.data)) + spare; took > most || time.Since(start) > time.Minute {
				t.Errorf("%d bytes took %d MB and %v", len(c.data), took>>20, time.Since(start))
			}
		})
	}
}

// toTheEnd reads every row of every table, and gives the first error.
func toTheEnd(data []byte) error {
	f, err := Open("a", bytes.NewReader(data), int64(len(data)), Limits{})
	if err != nil {
		return err
	}
	for _, table := range f.All() {
		for _, err := range table.Rows() {
			if err != nil {
				return err
			}
		}
	}
	return nil
}

func manyNames(n int) string {
	var names []string
	for i := range n {
		names = append(names, fmt.Sprintf(`"n%d":1`, i))
	}
	return strings.Join(names, ",")
}
