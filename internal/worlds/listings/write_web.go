package listings

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// html writes each sheet as a table under its name.
func (m *maker) html(d *document) []byte {
	var b strings.Builder
	b.WriteString("<!DOCTYPE html>\n<html><head><meta charset=\"utf-8\"><title>Mill House</title></head><body>\n")
	for _, s := range d.sheets {
		fmt.Fprintf(&b, "<h2>%s</h2>\n<table>\n", escaped(s.name))
		width := s.width()
		for _, r := range s.rows {
			b.WriteString("<tr>")
			m.htmlRow(&b, r, width)
			b.WriteString("</tr>\n")
		}
		b.WriteString("</table>\n")
	}
	b.WriteString("</body></html>\n")
	return []byte(b.String())
}

func (m *maker) htmlRow(b *strings.Builder, r *row, width int) {
	tag, skip := "td", 0
	if r.head {
		tag = "th"
	}
	for _, c := range r.cells {
		if skip > 0 {
			skip--
			continue
		}
		span := ""
		switch {
		case c != nil && c.wide > 1:
			span, skip = fmt.Sprintf(` colspan="%d"`, c.wide), c.wide-1
		case c != nil && r.loose:
			span = fmt.Sprintf(` colspan="%d"`, max(1, width))
		}
		fmt.Fprintf(b, "<%s%s>%s</%s>", tag, span, escaped(m.text(c)), tag)
	}
}

// keyed is a key of an object with its value, in the order of the columns.
type keyed struct {
	key   string
	value any
}

// json writes an array of rows; several sheets become an object of arrays.
func (m *maker) json(d *document) []byte {
	if len(d.sheets) == 1 && !d.named {
		return indented(m.jsonRows(d.sheets[0]))
	}
	var all []keyed
	for _, s := range d.sheets {
		all = append(all, keyed{s.name, json.RawMessage(indented(m.jsonRows(s)))})
	}
	return object(all)
}

// jsonLines writes a row a line.
func (m *maker) jsonLines(d *document) []byte {
	var rows []json.RawMessage
	if len(d.sheets) == 1 && !d.named {
		rows = m.jsonRows(d.sheets[0])
	} else {
		rows = m.arrays(d.flat())
	}
	var b bytes.Buffer
	for _, r := range rows {
		b.Write(r)
		b.WriteByte('\n')
	}
	return b.Bytes()
}

// jsonRows gives a sheet as objects by heading, where it is one table under unlike headings; else as arrays.
func (m *maker) jsonRows(s *sheet) []json.RawMessage {
	if len(s.rows) == 0 || !s.rows[0].head || !m.unlike(s) {
		return m.arrays(s.rows)
	}
	var rows []json.RawMessage
	for _, r := range s.rows[1:] {
		var all []keyed
		for j, c := range r.cells {
			if j < len(s.rows[0].cells) && c != nil {
				all = append(all, keyed{m.text(s.rows[0].cells[j]), m.jsonValue(c)})
			}
		}
		rows = append(rows, object(all))
	}
	return rows
}

// unlike reports a first row whose headings are all there, and each but once, above rows of a table alone.
func (m *maker) unlike(s *sheet) bool {
	seen := map[string]bool{}
	for _, c := range s.rows[0].cells {
		text := m.text(c)
		if text == "" || seen[text] {
			return false
		}
		seen[text] = true
	}
	for _, r := range s.rows[1:] {
		if r.loose || r.head || len(r.cells) == 0 || len(r.cells) > len(s.rows[0].cells) {
			return false
		}
	}
	return true
}

func (m *maker) arrays(rows []*row) []json.RawMessage {
	var all []json.RawMessage
	for _, r := range rows {
		cells := []any{}
		for _, c := range r.cells {
			cells = append(cells, m.jsonValue(c))
		}
		all = append(all, encoded(cells))
	}
	return all
}

func (m *maker) jsonValue(c *cell) any {
	switch {
	case c == nil:
		return nil
	case c.kind == numberCell && !c.asText:
		return c.value
	}
	return m.text(c)
}

// object writes keys in their order.
func object(all []keyed) json.RawMessage {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, k := range all {
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(encoded(k.key))
		b.WriteByte(':')
		b.Write(encoded(k.value))
	}
	b.WriteByte('}')
	return b.Bytes()
}

func encoded(v any) json.RawMessage {
	data, err := json.Marshal(v)
	if err != nil {
		panic("listings: " + err.Error()) // texts and finite numbers alone come here
	}
	return data
}

func indented(rows []json.RawMessage) []byte {
	var b bytes.Buffer
	b.WriteString("[\n")
	for i, r := range rows {
		b.Write(r)
		if i < len(rows)-1 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
	}
	b.WriteString("]\n")
	return b.Bytes()
}

// zipped puts the listing in a zip: a CSV a sheet, or a workbook.
func (m *maker) zipped(d *document) written {
	if m.rng.IntN(2) == 0 {
		return written{"listing.zip", container([]part{{name: "listing.xlsx", text: string(m.xlsx(d)), stored: true}})}
	}
	mark := m.separator()
	var parts []part
	for i, s := range d.sheets {
		name := strings.NewReplacer("/", "-", " ", "_").Replace(s.name)
		parts = append(parts, part{name: fmt.Sprintf("%d_%s.csv", i+1, name), text: m.separatedRows(s.rows, mark)})
	}
	return written{"listing.zip", container(parts)}
}
