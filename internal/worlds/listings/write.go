package listings

import (
	"strings"
	"time"

	"sootline"
)

// written is a file as it is handed over.
type written struct {
	name string
	data []byte
}

// write makes the file of a document.
func (m *maker) write(d *document) (name string, data []byte) {
	var w written
	switch m.format {
	case "csv":
		w = m.separated(d)
	case "text":
		w = m.columns(d)
	case "xlsx":
		w = written{"listing.xlsx", m.xlsx(d)}
	case "ods":
		w = written{"listing.ods", m.ods(d)}
	case "html":
		w = written{"listing.html", m.html(d)}
	case "json":
		w = written{"listing.json", m.json(d)}
	case "jsonl":
		w = written{"listing.jsonl", m.jsonLines(d)}
	default:
		w = m.zipped(d)
	}
	return w.name, w.data
}

// flat puts all sheets one below another, each but the first under its name, for files that have no sheets. A single
// sheet needs no name, unless its name says something.
func (d *document) flat() []*row {
	if len(d.sheets) == 1 && !d.named {
		return d.sheets[0].rows
	}
	var rows []*row
	for i, s := range d.sheets {
		if i > 0 {
			rows = append(rows, &row{})
		}
		rows = append(append(rows, line(s.name)), s.rows...)
	}
	return rows
}

// text writes a cell as people read it.
func (m *maker) text(c *cell) string {
	switch {
	case c == nil:
		return ""
	case c.kind == numberCell:
		return m.decimal(c.value, c.decimals)
	case c.kind == percentCell:
		return m.decimal(c.value, c.decimals) + " %"
	case c.kind == dateCell:
		return m.dayText(c)
	}
	return c.text
}

// dayText writes a day in the listing's way, with the months of its language.
func (m *maker) dayText(c *cell) string {
	layout := c.layout
	if layout == "" {
		layout = m.dates
	}
	return m.lang.day(c.day, layout)
}

// day writes a day by a layout of the time package, with the months of the language.
func (l *language) day(day sootline.Day, layout string) string {
	t := day.Time()
	const month, short = "\x01", "\x02"
	layout = strings.Replace(layout, "January", month, 1)
	layout = strings.Replace(layout, "Jan", short, 1)
	text := t.Format(layout)
	text = strings.Replace(text, month, l.months[t.Month()-1], 1)
	return strings.Replace(text, short, l.short[t.Month()-1], 1)
}

// typedDate gives the day that a spreadsheet holds as one.
func (c *cell) typedDate() (sootline.Day, bool) { return c.day, c.kind == dateCell && !c.asText }

// isoDay writes a day as XML does.
func isoDay(day sootline.Day) string { return day.Time().Format(time.DateOnly) }
