package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"sootline/internal/listing"
)

// scored is what one file scored: a point for being read, and three each for headings, rows and cells.
type scored struct {
	name                 string
	trouble              string // why it was not read; else empty
	header, records, all measure
}

// measure is how much of what should be found was found, and how much of what was found should be.
type measure struct{ precision, recall float64 }

func (m measure) f1() float64 {
	if m.precision+m.recall == 0 {
		return 0
	}
	return 2 * m.precision * m.recall / (m.precision + m.recall)
}

func (m measure) sum() float64 { return m.precision + m.recall + m.f1() }

func (s scored) total() float64 {
	if s.trouble != "" {
		return 0
	}
	return 1 + s.header.sum() + s.records.sum() + s.all.sum()
}

// lost names what keeps a file from the full score.
func (s scored) lost() string {
	if s.trouble != "" {
		return "not read: " + s.trouble
	}
	var parts []string
	for _, part := range []struct {
		name string
		measure
	}{{"headings", s.header}, {"rows", s.records}, {"cells", s.all}} {
		if part.sum() < 3 {
			parts = append(parts, fmt.Sprintf("%s %.1f %% found, %.1f %% of those right", part.name, 100*part.recall, 100*part.precision))
		}
	}
	return strings.Join(parts, "; ")
}

// scoreFile reads a file as a listing is read and holds it against its clean cells.
func scoreFile(path, clean string) (scored, error) {
	s := scored{name: filepath.Base(path)}
	data, err := os.ReadFile(path)
	if err != nil {
		return s, err
	}
	want, err := cleanRows(clean)
	if err != nil {
		return s, err
	}
	got, err := readRows(s.name, data)
	if err != nil {
		s.trouble = err.Error()
		return s, nil
	}
	s.header = compare(headings(want), headings(got))
	s.records = compare(joined(want), joined(got))
	s.all = compare(cells(want), cells(got))
	return s, nil
}

func cleanRows(path string) ([][]string, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	return r.ReadAll()
}

// readRows gives the rows of all tables, one below another.
func readRows(name string, data []byte) ([][]string, error) {
	file, err := listing.Open(name, bytes.NewReader(data), int64(len(data)), listing.Limits{})
	if err != nil {
		return nil, err
	}
	var rows [][]string
	for _, table := range file.Tables() {
		for row, err := range table.Rows() {
			var bad *listing.RowError
			if errors.As(err, &bad) {
				continue
			}
			if err != nil {
				return nil, err
			}
			rows = append(rows, append([]string(nil), row.Cells...))
		}
	}
	return rows, nil
}

func headings(rows [][]string) []string {
	if len(rows) == 0 {
		return nil
	}
	return cells(rows[:1])
}

func joined(rows [][]string) []string {
	var out []string
	for _, row := range rows[min(1, len(rows)):] {
		out = append(out, strings.Join(cells([][]string{row}), ""))
	}
	return out
}

func cells(rows [][]string) []string {
	var out []string
	for _, row := range rows {
		for _, c := range row {
			out = append(out, plain(c))
		}
	}
	return out
}

// plain brings numbers to one spelling and text to lower case.
func plain(c string) string {
	c = strings.ToLower(c)
	if v, err := strconv.ParseFloat(strings.TrimSpace(c), 64); err == nil {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return c
}

// compare holds two multisets against each other; two empty ones are the same.
func compare(want, got []string) measure {
	if len(want) == 0 && len(got) == 0 {
		return measure{1, 1}
	}
	left := map[string]int{}
	for _, w := range want {
		left[w]++
	}
	same := 0.0
	for _, g := range got {
		if left[g] > 0 {
			left[g]--
			same++
		}
	}
	return measure{share(same, len(got)), share(same, len(want))}
}

func share(n float64, of int) float64 {
	if of == 0 {
		return 0
	}
	return n / float64(of)
}
