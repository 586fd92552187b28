package listing

import (
	"fmt"
	"strings"
	"testing"
)

// benchRows reads a listing of 100,000 readings to its end, as [BenchmarkWorkbook] does.
func benchRows(b *testing.B, name string, data []byte) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		t := openBytes(b, name, data).Tables()[0]
		u, err := Understand(t, Profile{})
		must(b, err)
		n := 0
		for _, bad := range u.Records(t) {
			if bad != nil {
				b.Fatal(bad)
			}
			n++
		}
		if n != 100_000 {
			b.Fatalf("%d rows", n)
		}
	}
}

func BenchmarkOpenSpreadsheet(b *testing.B) {
	var s strings.Builder
	text := func(t string) {
		fmt.Fprintf(&s, `<table:table-cell office:value-type="string"><text:p>%s</text:p></table:table-cell>`, t)
	}
	s.WriteString(`<table:table table:name="S"><table:table-row>`)
	for _, h := range []string{"Point", "Date", "Value", "By", "Remark"} {
		text(h)
	}
	s.WriteString(`</table:table-row>`)
	for i := range 100_000 {
		s.WriteString(`<table:table-row>`)
		text(fmt.Sprintf("1.%03d", i%126+1))
		text("2025-01-31 14:05")
		fmt.Fprintf(&s, `<table:table-cell office:value-type="float" office:value="%d"><text:p>%[1]d</text:p></table:table-cell>`, 20+i%17)
		text("A. Field")
		text("a remark")
		s.WriteString(`</table:table-row>`)
	}
	benchRows(b, "a.ods", odsOf(b, s.String()+`</table:table>`))
}

func BenchmarkOldWorkbook(b *testing.B) {
	const rows = 50_000 // a sheet of this kind has at most 65,536; two of them
	m := &xlsMaker{texts: []string{"Point", "Date", "Value", "By", "Remark", "2025-01-31 14:05", "A. Field", "a remark"}}
	at := func(row, column, text int) []byte {
		return record(recShared, uint16(row), uint16(column), uint16(0), uint32(text))
	}
	for i := range 126 {
		m.texts = append(m.texts, fmt.Sprintf("1.%03d", i+1))
	}
	for sheet := range 2 {
		var records [][]byte
		for column := range 5 {
			records = append(records, at(0, column, column))
		}
		for i := range rows {
			records = append(records, at(i+1, 0, 8+i%126), at(i+1, 1, 5), xlsNumber(uint16(i+1), 2, 0, float64(20+i%17)), at(i+1, 3, 6), at(i+1, 4, 7))
		}
		m.sheet(fmt.Sprint("S", sheet), 0, records...)
	}
	data := m.file()
	b.ReportAllocs()
	for b.Loop() {
		n := 0
		for _, t := range openBytes(b, "a.xls", data).Tables() {
			u, err := Understand(t, Profile{})
			must(b, err)
			for _, bad := range u.Records(t) {
				if bad != nil {
					b.Fatal(bad)
				}
				n++
			}
		}
		if n != 2*rows {
			b.Fatalf("%d rows", n)
		}
	}
}
