package listing

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"sootline/internal/fuzzing"
)

// readAll takes any bytes to their end: no panic, and no more rows than there are line ends.
func readAll(t *testing.T, name string, data []byte) {
	fuzzing.Within(t, len(data), func() { readEvery(t, name, data) })
}

func readEvery(t *testing.T, name string, data []byte) {
	f, err := Open(name, bytes.NewReader(data), int64(len(data)), Limits{MaxLine: 1 << 12, MaxCols: 64, MaxUnzipped: 1 << 20})
	if err != nil {
		if err.Error() == "" {
			t.Error("an error without words")
		}
		return
	}
	for _, table := range f.Tables() {
		for _, p := range []Profile{{}, {Kind: KindReadings}, {Kind: KindTypes}} {
			u, err := Understand(table, p)
			if err != nil {
				continue
			}
			rows := 0
			for _, bad := range u.Records(table) {
				if bad != nil && bad.Error() == "" {
					t.Error("an error without words")
				}
				rows++
			}
			if rows > len(data)*100+100 {
				t.Errorf("%d rows from %d bytes", rows, len(data))
			}
			if len(u.visits) > 0 {
				if most := u.Rows*(len(u.visits)+1) + u.Unreadable; rows > most {
					t.Errorf("%d records of at most %d", rows, most)
				}
			} else if u.Kind != KindUnknown && rows != u.Rows+u.Unreadable {
				t.Errorf("%d records, %d rows understood, %d unreadable", rows, u.Rows, u.Unreadable)
			}
		}
	}
}

func FuzzCSV(f *testing.F) {
	f.Add([]byte("point,date,value\n1/1,2025-01-31,25\n"))
	f.Add([]byte("sep=;\na;\"b\nc\";d\n\"x\"y;\"\"\"\n"))
	f.Add([]byte("\xff\xfea\x00,\x00b\x00\n\x00"))
	f.Add([]byte("Punkt;12.01.24;11/07/2024 8:00;Jan 25\n1.1;20;n/a;-\n1.2;;1,5;3 4\n"))
	f.Add([]byte("point,date,12/01/2024,value 12/01/2024\nL1-1,,20,21\n"))
	f.Add([]byte("Punkt;Datum;Wert\r\n1.1;1.2.25;3,5\r\nGesamt;1;\r\n"))
	f.Fuzz(func(t *testing.T, data []byte) { readAll(t, "x.csv", data) })
}

func FuzzText(f *testing.F) {
	f.Add("Loop  Addr  Type\n1     001   Optical\n2           Heat\n")
	f.Add("a  b\n-  -\n1  2\n\f\n")
	f.Fuzz(func(t *testing.T, text string) { readAll(t, "x.txt", []byte(text)) })
}

// FuzzXLSX mutates the XML of a sheet inside a sound workbook, and the bytes around it.
func FuzzXLSX(f *testing.F) {
	f.Add([]byte(`<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Point</t></is></c><c t="str"><v>Value</v></c></row><row><c><v>1.1</v></c></row></sheetData><mergeCell ref="A1:B2"/></worksheet>`), true)
	f.Add([]byte("PK\x03\x04"), false)
	f.Fuzz(func(t *testing.T, data []byte, wrap bool) {
		if wrap {
			data = rawWorkbook(t, data)
		}
		readAll(t, "x.xlsx", data)
	})
}

func FuzzLeftRoundTrip(f *testing.F) {
	f.Add("=1", "a\nb", "say \"so\"")
	f.Add("'-", "\r", " x ")
	f.Fuzz(func(t *testing.T, a, b, c string) {
		cells := []string{a, b, c}
		for i, s := range cells {
			if cells[i] = cleanText([]byte(s)); strings.Count(s, "\n") > 100 {
				t.Skip()
			}
		}
		if got, err := throughLeft(cells); err != nil || !slices.Equal(got, cells) {
			t.Errorf("%q came back as %q: %v", cells, got, err)
		}
	})
}

// FuzzRef: what reads as a reference reads the same in its canonical form.
func FuzzRef(f *testing.F) {
	for _, s := range []string{"L1-073", "1/73", "1.2.073", "Loop 1 Addr 073", "P1 L2 A73", "A/73", "FP1.2.3", "#7"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		ref, err := ParseRef(s)
		if err != nil {
			return
		}
		if ref.Address < 0 || (ref.Loop == "" && ref.Panel != "" && !strings.ContainsAny(s, "pPzZcC")) {
			t.Errorf("%q -> %+v", s, ref)
		}
	})
}

// FuzzDate: what reads as a date is a day of the calendar, and reads the same from its ISO form.
func FuzzDate(f *testing.F) {
	for _, s := range []string{"2025-01-31T10:20:30.5+01:00", "31.1.25", "Jan 31, 2025 2 pm", "20250131", "31 de enero de 2025", "1er mars 2024 9h05"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, order := range []DateOrder{"", DMY, MDY, YMD} {
			c, err := ParseDate(s, order)
			if err != nil {
				continue
			}
			if !isDay(c.Year, c.Month, c.Day) || c.Hour > 23 || c.Minute > 59 || c.Second > 59 {
				t.Fatalf("%q -> %+v", s, c)
			}
			c.HasOffset, c.OffsetMinutes, c.Nanosecond = false, 0, 0
			if back, err := ParseDate(c.text(), ""); err != nil || back != c {
				t.Fatalf("%q -> %q -> %+v %v", s, c.text(), back, err)
			}
		}
	})
}
