package listing

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"
)

// rendering is one random way to write the same readings down.
type rendering struct {
	sep, decimal  string
	date          func(Civil) string
	headings      []string // point, date, value, by, remark
	order         []int    // of the columns
	titles, total bool
	repeat        int // headings again after so many rows
	encode        func(string) []byte
}

func drawRendering(t *rapid.T) rendering {
	two := func(f string) func(Civil) string {
		return func(c Civil) string {
			r := strings.NewReplacer("Y", fmt.Sprint(c.Year), "M", fmt.Sprintf("%02d", c.Month), "D", fmt.Sprintf("%02d", c.Day))
			return r.Replace(f)
		}
	}
	plain := func(s string) []byte { return []byte(s) }
	utf16 := func(e unicode.Endianness, bom unicode.BOMPolicy) func(string) []byte {
		return func(s string) []byte {
			b, _ := unicode.UTF16(e, bom).NewEncoder().String(s)
			return []byte(b)
		}
	}
	r := rendering{
		sep:     rapid.SampledFrom([]string{",", ";", "\t", "|"}).Draw(t, "sep"),
		decimal: rapid.SampledFrom([]string{".", ","}).Draw(t, "decimal"),
		date:    two(rapid.SampledFrom([]string{"Y-M-D", "D/M/Y", "M/D/Y", "D.M.Y", "YMD", "D-M-Y"}).Draw(t, "date")),
		headings: rapid.SampledFrom([][]string{
			{"Point", "Date", "Value", "By", "Remark"},
			{"Melder", "Datum", "Messwert", "Techniker", "Bemerkung"},
			{"Repère", "Date", "Valeur", "Opérateur", "Remarques"},
			{"Punto", "Fecha", "Lectura", "Técnico", "Observaciones"},
			{"Punto", "Data", "Lettura", "Tecnico", "Commenti"},
			{"Melder", "Datum", "Meetwaarde", "Monteur", "Opmerking"},
		}).Draw(t, "headings"),
		order:  rapid.Permutation([]int{0, 1, 2, 3, 4}).Draw(t, "order"),
		titles: rapid.Bool().Draw(t, "titles"),
		total:  rapid.Bool().Draw(t, "total"),
		repeat: rapid.IntRange(5, 60).Draw(t, "repeat"),
		encode: rapid.SampledFrom([]func(string) []byte{
			plain, func(s string) []byte { return []byte("\ufeff" + s) },
			func(s string) []byte { b, _ := charmap.Windows1252.NewEncoder().String(s); return []byte(b) },
			utf16(unicode.LittleEndian, unicode.UseBOM), utf16(unicode.BigEndian, unicode.IgnoreBOM), utf16(unicode.LittleEndian, unicode.IgnoreBOM),
		}).Draw(t, "encode"),
	}
	return r
}

func (r rendering) line(cells ...string) string {
	var out []string
	for _, i := range r.order {
		c := cells[i]
		if strings.ContainsAny(c, r.sep+"\"\n") {
			c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
		}
		out = append(out, c)
	}
	return strings.Join(out, r.sep) + "\r\n"
}

func (r rendering) write(rows []ReadingRow) []byte {
	var b strings.Builder
	if r.titles {
		b.WriteString("Liste des relevés de la journée" + strings.Repeat(r.sep, 4) + "\r\n\r\n")
	}
	b.WriteString(r.line(r.headings...))
	for i, row := range rows {
		if i > 0 && i%r.repeat == 0 {
			b.WriteString("\r\n" + r.line(r.headings...))
		}
		value := strings.Replace(fmt.Sprintf("%.1f", row.Samples[0]), ".", r.decimal, 1)
		b.WriteString(r.line(fmt.Sprintf("%s.%s.%03d", row.Ref.Panel, row.Ref.Loop, row.Ref.Address), r.date(row.When), value, row.By, row.Remark))
	}
	if r.total {
		b.WriteString("Total" + strings.Repeat(r.sep, 4) + "\r\n")
	}
	return r.encode(b.String())
}

// TestSameRowsInAnyLayout writes known rows in random layouts and wants them back. One date is the 31st,
// so that every order of day and month can be told.
func TestSameRowsInAnyLayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawReadings(t)
		data := drawRendering(t).write(want)
		f, err := Open("x", bytes.NewReader(data), int64(len(data)), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		u, err := Understand(f.Tables()[0], Profile{})
		if err != nil || len(u.Questions) > 0 {
			t.Fatalf("%v %+v in\n%s", err, u.Questions, data)
		}
		var got []ReadingRow
		for rec, bad := range u.Records(f.Tables()[0]) {
			if bad != nil {
				t.Fatalf("%v in\n%s", bad, data)
			}
			row := *rec.Reading
			row.Samples = slices.Clone(row.Samples)
			got = append(got, row)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("%s in\n%s", diff, data)
		}
	})
}

func drawReadings(t *rapid.T) []ReadingRow {
	var rows []ReadingRow
	for i := range rapid.IntRange(3, 40).Draw(t, "rows") {
		row := ReadingRow{
			Ref:     Ref{Panel: "1", Loop: rapid.SampledFrom([]string{"1", "2", "A"}).Draw(t, "loop"), Address: i + 1},
			When:    Civil{Year: 2024, Month: rapid.IntRange(1, 12).Draw(t, "month"), Day: rapid.IntRange(1, 28).Draw(t, "day")},
			Samples: []float64{float64(rapid.IntRange(0, 999).Draw(t, "value")) / 10},
			By:      rapid.SampledFrom([]string{"A. Field", "Zoë Brook", "M. Grün"}).Draw(t, "by"),
			Remark:  rapid.SampledFrom([]string{"", "", "Staub", "two\nlines; \"quoted\"", "à revoir, bientôt"}).Draw(t, "remark"),
		}
		if i == 0 {
			row.When.Month, row.When.Day = 1, 31
		}
		rows = append(rows, row)
	}
	return rows
}

// TestRefused: what is no listing is refused with one sentence.
func TestRefused(t *testing.T) {
	for name, data := range map[string]string{
		"old.xls": "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a.pdf": "%PDF-1.7", "a.xls": "<html><table>", "none.csv": "",
		"a.xlsx": "PK\x03\x04broken", "a.csv": strings.Repeat("\x01\x02\x03", 1000), "a.xml": "\ufeff<?xml version=\"1.0\"?>",
	} {
		_, err := Open(name, strings.NewReader(data), int64(len(data)), Limits{})
		var fe *FileError
		if !errors.As(err, &fe) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// endless is a file of any size made of one repeated text, after a head.
type endless struct {
	head, body string
	size       int64
}

func (e endless) ReadAt(p []byte, off int64) (int, error) {
	for n := 0; n < len(p); {
		at := off + int64(n)
		if at >= e.size {
			return n, io.EOF
		}
		text := e.body
		if head := int64(len(e.head)); at < head {
			text = e.head[at:]
		} else {
			text = text[(at-head)%int64(len(text)):]
		}
		n += copy(p[n:min(int64(len(p)), int64(n)+e.size-at)], text)
	}
	return len(p), nil
}

// checkHeap: what is in use, garbage not yet collected included, stays far below the size of the files.
func checkHeap(t *testing.T, rows int) {
	t.Helper()
	var m runtime.MemStats
	runtime.GC() // what is held, not what waits to be collected
	runtime.ReadMemStats(&m)
	if m.HeapAlloc > 24<<20 {
		t.Errorf("%d MiB in use after %d rows", m.HeapAlloc>>20, rows)
	}
}

// TestHostileText: lines without end, a file of quotes, endless rows: flat memory and a clear error.
func TestHostileText(t *testing.T) {
	for name, e := range map[string]endless{
		"one long line":     {"point,date,value\n", strings.Repeat("a,", 500), 64 << 20},
		"one long cell":     {"point,date,value\n\"", strings.Repeat("a", 1000), 64 << 20},
		"only quotes":       {"point,date,value\n", "\"a\n", 1 << 20},
		"quotes everywhere": {"point,date,value\n", "x,\"y\"\"\n", 1 << 20},
		"wide rows":         {"point,date,value\n", strings.Repeat(",", 5000) + "\n", 20 << 20},
		"good rows":         {"point,date,value\n", "1/1,2025-01-31,25\n", 32 << 20},
		"newlines":          {"point,date,value\n", "\n", 2 << 20},
		"long columns":      {"Loop  Addr  Type\n", "1     2     " + strings.Repeat("x  ", 3000) + "\n", 20 << 20},
	} {
		t.Run(name, func(t *testing.T) {
			f, err := Open("x.csv", e, e.size, Limits{})
			must(t, err)
			table := f.Tables()[0]
			u, err := Understand(table, Profile{Kind: KindReadings})
			must(t, err)
			rows := 0
			for range u.Records(table) {
				if rows++; rows%200_000 == 1 {
					checkHeap(t, rows)
				}
			}
			checkHeap(t, rows)
		})
	}
}
