package listings

import (
	"bytes"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// separated writes CSV and its kin: commas, semicolons or tabs.
func (m *maker) separated(d *document) written {
	mark := m.separator()
	w := written{name: "listing.csv", data: m.encode(m.separatedRows(d.flat(), mark))}
	if mark == '\t' {
		w.name = "listing.tsv"
	}
	return w
}

// separator chooses the mark between cells: mostly a semicolon where decimals have a comma.
func (m *maker) separator() rune {
	switch {
	case m.flags["decimals unquoted"]:
		return ','
	case m.lang.comma:
		return pick(m.rng, ';', ';', ';', '\t', ',')
	}
	return pick(m.rng, ',', ',', ',', ';', '\t')
}

func (m *maker) separatedRows(rows []*row, mark rune) string {
	width := 0
	for _, r := range rows {
		width = max(width, len(r.cells))
	}
	even := m.rng.IntN(2) == 0 // rows are filled up to one width, as spreadsheets do
	var b strings.Builder
	for _, r := range rows {
		n := len(r.cells)
		if even && n > 0 {
			n = width
		}
		for i := range n {
			if i > 0 {
				b.WriteRune(mark)
			}
			b.WriteString(m.quoted(m.text(r.at(i)), mark))
		}
		b.WriteString("\n")
	}
	return b.String()
}

// quoted writes a cell; where commas of decimals are left bare, so is the cell.
func (m *maker) quoted(text string, mark rune) string {
	if m.flags["decimals unquoted"] || !strings.ContainsAny(text, string(mark)+"\"\n\r") {
		return text
	}
	return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
}

// encode gives text its line ends, mark and code page.
func (m *maker) encode(text string) []byte {
	if m.flags["line ends"] {
		text = strings.ReplaceAll(text, "\n", pick(m.rng, "\r\n", "\r\n", "\r"))
	}
	switch {
	case m.flags["UTF-16"]:
		var b bytes.Buffer
		for _, c := range utf16.Encode([]rune("\ufeff" + text)) {
			b.WriteByte(byte(c))
			b.WriteByte(byte(c >> 8))
		}
		return b.Bytes()
	case m.flags["code page"]:
		if data, err := charmap.Windows1252.NewEncoder().Bytes([]byte(text)); err == nil {
			return data
		}
	case m.flags["byte order mark"]:
		text = "\ufeff" + text
	}
	return []byte(text)
}

// columns writes fixed columns: cells are filled up to the widest of their column, two spaces apart.
func (m *maker) columns(d *document) written {
	rows := d.flat()
	var widths []int
	for _, r := range rows {
		if r.loose {
			continue
		}
		for i, c := range r.cells {
			if i == len(widths) {
				widths = append(widths, 1)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(m.text(c)))
		}
	}
	var b strings.Builder
	for _, r := range rows {
		var line strings.Builder
		for i := range r.cells {
			text := m.text(r.cells[i])
			line.WriteString(text)
			if !r.loose {
				line.WriteString(strings.Repeat(" ", widths[i]-utf8.RuneCountInString(text)+2))
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
	return written{"listing.txt", m.encode(b.String())}
}
