package listing

import (
	"bytes"
	"fmt"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
)

// manyReadings makes a list of n readings, about 40 bytes a row.
func manyReadings(n int) []byte {
	var b bytes.Buffer
	b.WriteString("point,date,value,by\n")
	for i := range n {
		fmt.Fprintf(&b, "%d.%03d,2025-%02d-%02dT%02d:%02d,%d.%d,A. Field\n", i%4+1, i%126+1, i/40000%12+1, i/1500%28+1, i/60%24, i%60, 20+i%17, i%10)
	}
	return b.Bytes()
}

func BenchmarkMillionReadings(b *testing.B) {
	const rows = 1_000_000
	data := manyReadings(rows)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		f := openBytes(b, "readings.csv", data)
		t := f.Tables()[0]
		u, err := Understand(t, Profile{})
		if err != nil {
			b.Fatal(err)
		}
		n := 0
		for _, bad := range u.Records(t) {
			if bad != nil {
				b.Fatal(bad)
			}
			n++
		}
		if n != rows {
			b.Fatalf("%d rows of %d", n, rows)
		}
	}
}

func BenchmarkRows(b *testing.B) {
	data := manyReadings(1_000_000)
	b.SetBytes(int64(len(data)))
	t := openBytes(b, "readings.csv", data).Tables()[0]
	for b.Loop() {
		for _, err := range t.Rows() {
			if err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkUnderstand(b *testing.B) {
	data := manyReadings(1_000_000)
	b.SetBytes(int64(len(data)))
	t := openBytes(b, "readings.csv", data).Tables()[0]
	for b.Loop() {
		if _, err := Understand(t, Profile{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParseRef(b *testing.B) {
	for _, s := range []string{"1.2.073", "L1-073", "Loop 1 Addr 073", "P1 L2 A73"} {
		b.Run(strconv.Quote(s), func(b *testing.B) {
			for b.Loop() {
				if _, err := ParseRef(s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkParseDate(b *testing.B) {
	for _, s := range []string{"2025-01-31T14:05", "31.01.2025 14:05", "31 Jan 2025"} {
		b.Run(strconv.Quote(s), func(b *testing.B) {
			for b.Loop() {
				if _, err := ParseDate(s, DMY); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkWorkbook(b *testing.B) {
	const rows = 100_000
	f := excelize.NewFile()
	w, err := f.NewStreamWriter("Sheet1")
	must(b, err)
	must(b, w.SetRow("A1", []any{"Point", "Date", "Value", "By", "Remark"}))
	for i := range rows {
		must(b, w.SetRow(fmt.Sprintf("A%d", i+2), []any{fmt.Sprintf("1.%03d", i%126+1), "2025-01-31 14:05", 20 + i%17, "A. Field", "a remark"}))
	}
	must(b, w.Flush())
	data := workbookBytes(b, f)
	b.ReportAllocs()
	for b.Loop() {
		t := openBytes(b, "readings.xlsx", data).Tables()[0]
		u, err := Understand(t, Profile{})
		must(b, err)
		for _, bad := range u.Records(t) {
			if bad != nil {
				b.Fatal(bad)
			}
		}
	}
}
