package listings

import (
	"fmt"
	"strconv"
	"strings"
)

// ods writes a workbook in OpenDocument (ISO/IEC 26300, from memory).
func (m *maker) ods(d *document) []byte {
	const kind = "application/vnd.oasis.opendocument.spreadsheet"
	const ns = "urn:oasis:names:tc:opendocument:xmlns:"
	var b strings.Builder
	b.WriteString(xmlHead + `<office:document-content xmlns:office="` + ns + `office:1.0" xmlns:table="` + ns + `table:1.0" xmlns:text="` + ns + `text:1.0"` +
		` xmlns:style="` + ns + `style:1.0" xmlns:of="` + ns + `of:1.2" office:version="1.2"><office:automatic-styles>` +
		`<style:style style:name="shown" style:family="table"><style:table-properties table:display="true"/></style:style>` +
		`<style:style style:name="hidden" style:family="table"><style:table-properties table:display="false"/></style:style>` +
		`</office:automatic-styles><office:body><office:spreadsheet>`)
	for _, s := range d.sheets {
		m.odsSheet(&b, s)
	}
	b.WriteString(`</office:spreadsheet></office:body></office:document-content>`)
	manifest := xmlHead + `<manifest:manifest xmlns:manifest="` + ns + `manifest:1.0" manifest:version="1.2">` +
		`<manifest:file-entry manifest:full-path="/" manifest:media-type="` + kind + `"/>` +
		`<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>`
	return container([]part{
		{name: "mimetype", text: kind, stored: true},
		{name: "content.xml", text: b.String()},
		{name: "META-INF/manifest.xml", text: manifest},
	})
}

func (m *maker) odsSheet(b *strings.Builder, s *sheet) {
	style := "shown"
	if s.hidden {
		style = "hidden"
	}
	fmt.Fprintf(b, `<table:table table:name="%s" table:style-name="%s">`, escaped(s.name), style)
	for j := range max(1, s.width()) {
		hidden := ""
		if s.hiddenCols[j] {
			hidden = ` table:visibility="collapse"`
		}
		b.WriteString(`<table:table-column` + hidden + `/>`)
	}
	for _, r := range s.rows {
		hidden := ""
		if r.hidden {
			hidden = ` table:visibility="collapse"`
		}
		b.WriteString(`<table:table-row` + hidden + `>`)
		covered := 0
		for j := range max(1, len(r.cells)) {
			c := r.at(j)
			switch {
			case c == nil && covered > 0:
				b.WriteString(`<table:covered-table-cell/>`)
			case c == nil:
				b.WriteString(`<table:table-cell/>`)
			default:
				m.odsCell(b, c)
				covered = c.wide
			}
			covered--
		}
		b.WriteString(`</table:table-row>`)
	}
	b.WriteString(`</table:table>`)
}

func (m *maker) odsCell(b *strings.Builder, c *cell) {
	day, isDay := c.typedDate()
	var holds string
	switch {
	case isDay && !m.textDays():
		holds = fmt.Sprintf(` office:value-type="date" office:date-value="%s"`, isoDay(day))
	case c.kind == numberCell && !c.asText:
		holds = fmt.Sprintf(` office:value-type="float" office:value="%s"`, strconv.FormatFloat(c.value, 'f', -1, 64))
	case c.kind == percentCell && !c.asText:
		holds = fmt.Sprintf(` office:value-type="percentage" office:value="%s"`, strconv.FormatFloat(c.value/100, 'f', -1, 64))
	default:
		holds = ` office:value-type="string"`
	}
	shown := `<text:p>` + escaped(m.text(c)) + `</text:p>`
	if formula := c.formula(); formula != "" {
		if c.noResult {
			holds, shown = "", ""
		}
		holds += ` table:formula="of:=` + formula + `"`
	}
	if c.wide > 1 {
		holds += fmt.Sprintf(` table:number-columns-spanned="%d" table:number-rows-spanned="1"`, c.wide)
	}
	b.WriteString(`<table:table-cell` + holds + `>` + shown + `</table:table-cell>`)
}
