package listing

import (
	"archive/zip"
	"bytes"
	"strings"
	"testing"
)

// stored packs one file without packing it, so that what is mutated is what is read.
func stored(t testing.TB, name string, data []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
	must(t, err)
	_, err = w.Write(data)
	must(t, err)
	must(t, z.Close())
	return b.Bytes()
}

// FuzzODS mutates the sheets of a sound spreadsheet.
func FuzzODS(f *testing.F) {
	f.Add([]byte(odsHead + odsSheet))
	f.Add([]byte(`<table:table table:name="a"><table:table-row table:number-rows-repeated="3"><table:table-cell table:number-columns-repeated="9" office:value-type="percentage" office:value="1e-3"><text:p>0,1 %</text:p></table:table-cell></table:table-row>`))
	f.Fuzz(func(t *testing.T, data []byte) { readAll(t, "x.ods", stored(t, odsContent, data)) })
}

// FuzzXLS mutates an old workbook: its container, or the records in a sound one.
func FuzzXLS(f *testing.F) {
	m := &xlsMaker{formats: []string{"0%", "dd.mm.yyyy"}}
	m.sheet("S", 0, m.shared(0, 0, "Point"), xlsNumber(1, 0, 1, 0.5), record(recManyRK, uint16(2), uint16(0), uint16(1), uint32(5), uint16(0)),
		record(recRow, uint16(2), [10]byte{}, byte(0x20), [3]byte{}), record(recMerged, uint16(1), uint16(1), uint16(2), uint16(0), uint16(0)))
	f.Add(m.stream(), true)
	f.Add(m.file(), false)
	f.Fuzz(func(t *testing.T, data []byte, wrap bool) {
		if wrap {
			if len(data) > 40_000 {
				t.Skip() // more than the container of the test holds
			}
			data = compoundOf("Workbook", data)
		}
		readAll(t, "x.xls", data)
	})
}

func FuzzHTML(f *testing.F) {
	f.Add([]byte("<html><table><col style='display:none'><tr><td rowspan=2 colspan=3>1.1<td>25<tr hidden><td>x</table><table><tr><td>a<table><tr><td>b<td>c"))
	f.Add([]byte("<!doctype html><meta charset=iso-8859-2><table><td>\xb1<script><td></script><td>2"))
	f.Fuzz(func(t *testing.T, data []byte) { readAll(t, "x.html", append([]byte("<html>"), data...)) })
}

func FuzzJSON(f *testing.F) {
	f.Add([]byte(`[{"point":"1.1","value":25,"at":{"day":"2025-01-31"},"n":[1,2]},{"point":"1.2"}]`))
	f.Add([]byte("[\"point\",\"value\"]\n[\"1.1\",2.5e1]\n"))
	f.Add([]byte(`{"site":{"a":[1]},"points":[[1,2],["a",null]],"x":[{}]}`))
	f.Fuzz(func(t *testing.T, data []byte) { readAll(t, "x.json", data) })
}

func FuzzSYLK(f *testing.F) {
	f.Add([]byte("ID;PA\nP;P0%\nF;P0;Y1;X2\nC;Y1;X2;K0.5\nC;X3;K\"a;;b\"\nC;Y2;X1;KTRUE\nE\n"))
	f.Fuzz(func(t *testing.T, data []byte) { readAll(t, "x.slk", append([]byte("ID;P"), data...)) })
}

func FuzzDIF(f *testing.F) {
	f.Add([]byte("\"x\"\nDATA\n0,0\n\"\"\n-1,0\nBOT\n1,0\n\"a\"\n0,2.5\nV\n-1,0\nEOD\n"))
	f.Fuzz(func(t *testing.T, data []byte) { readAll(t, "x.dif", append([]byte("TABLE\n0,1\n"), data...)) })
}

// FuzzZip mutates an archive of listings, and what lies in a sound one.
func FuzzZip(f *testing.F) {
	f.Add(zipOf(f, "a.csv", "a,b\n1,2\n", "b/c.json", `[[1]]`), "a.csv", false)
	f.Add([]byte("a;b\n1;2\n"), "x/y.csv", true)
	f.Add([]byte("\x1f\x8b\x08"), "", false)
	f.Fuzz(func(t *testing.T, data []byte, name string, wrap bool) {
		if wrap && !strings.HasSuffix(name, "/") { // a folder holds nothing itself
			data = stored(t, name, data)
		}
		readAll(t, "x.zip", data)
	})
}
