package listings

import (
	"archive/zip"
	"bytes"
	"fmt"
	"html"
	"strconv"
	"strings"
	"time"
)

// part is a file within a container.
type part struct {
	name, text string
	stored     bool
}

// container makes a zip of parts, the same bytes for the same parts.
func container(parts []part) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		method := zip.Deflate
		if p.stored {
			method = zip.Store
		}
		w, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: method, Modified: time.Date(2025, 1, 2, 3, 4, 6, 0, time.UTC)})
		if err != nil {
			panic("listings: " + err.Error()) // a zip in memory takes every name
		}
		if _, err := w.Write([]byte(p.text)); err != nil {
			panic("listings: " + err.Error())
		}
	}
	if err := z.Close(); err != nil {
		panic("listings: " + err.Error())
	}
	return b.Bytes()
}

func escaped(text string) string { return html.EscapeString(text) }

const xmlHead = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"

// The styles of a workbook: plain, a day, a share of hundred.
const (
	dayStyle     = 1
	percentStyle = 2
)

// xlsx writes a workbook by hand (ECMA-376, from memory), so that hidden parts and formulas without results are possible.
func (m *maker) xlsx(d *document) []byte {
	const types = "application/vnd.openxmlformats-officedocument.spreadsheetml."
	const relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	var kinds, sheets, rels strings.Builder
	var parts []part
	for i, s := range d.sheets {
		state := ""
		if s.hidden {
			state = ` state="hidden"`
		}
		fmt.Fprintf(&sheets, `<sheet name="%s" sheetId="%d"%s r:id="rId%d"/>`, escaped(s.name), i+1, state, i+1)
		fmt.Fprintf(&rels, `<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, relations, i+1)
		fmt.Fprintf(&kinds, `<Override PartName="/xl/worksheets/sheet%d.xml" ContentType="%sworksheet+xml"/>`, i+1, types)
		parts = append(parts, part{name: fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), text: m.xlsxSheet(s)})
	}
	n := len(d.sheets) + 1
	fmt.Fprintf(&rels, `<Relationship Id="rId%d" Type="%s/styles" Target="styles.xml"/>`, n, relations)
	const packages = "http://schemas.openxmlformats.org/package/2006/"
	head := []part{
		{name: "[Content_Types].xml", text: xmlHead + `<Types xmlns="` + packages + `content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
			`<Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="` + types + `sheet.main+xml"/>` +
			`<Override PartName="/xl/styles.xml" ContentType="` + types + `styles+xml"/>` + kinds.String() + `</Types>`},
		{name: "_rels/.rels", text: xmlHead + `<Relationships xmlns="` + packages + `relationships"><Relationship Id="rId1" Type="` + relations + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{name: "xl/workbook.xml", text: xmlHead + `<workbook xmlns="` + spreadsheetNS + `" xmlns:r="` + relations + `"><sheets>` + sheets.String() + `</sheets></workbook>`},
		{name: "xl/_rels/workbook.xml.rels", text: xmlHead + `<Relationships xmlns="` + packages + `relationships">` + rels.String() + `</Relationships>`},
		{name: "xl/styles.xml", text: xlsxStyles},
	}
	return container(append(head, parts...))
}

const spreadsheetNS = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"

const xlsxStyles = xmlHead + `<styleSheet xmlns="` + spreadsheetNS + `"><fonts count="1"><font/></fonts>` +
	`<fills count="1"><fill/></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs>` +
	`<cellXfs count="3"><xf/><xf numFmtId="14" applyNumberFormat="1"/><xf numFmtId="9" applyNumberFormat="1"/></cellXfs></styleSheet>`

func (m *maker) xlsxSheet(s *sheet) string {
	var b, merged strings.Builder
	b.WriteString(xmlHead + `<worksheet xmlns="` + spreadsheetNS + `">`)
	if len(s.hiddenCols) > 0 {
		b.WriteString("<cols>")
		for j := range s.width() {
			if s.hiddenCols[j] {
				fmt.Fprintf(&b, `<col min="%d" max="%d" width="9" hidden="1"/>`, j+1, j+1)
			}
		}
		b.WriteString("</cols>")
	}
	b.WriteString("<sheetData>")
	merges := 0
	for i, r := range s.rows {
		hidden := ""
		if r.hidden {
			hidden = ` hidden="1"`
		}
		fmt.Fprintf(&b, `<row r="%d"%s>`, i+1, hidden)
		for j, c := range r.cells {
			if c == nil {
				continue
			}
			b.WriteString(m.xlsxCell(c, fmt.Sprintf("%s%d", letters(j), i+1)))
			if wide, tall := max(1, c.wide), max(1, c.tall); wide*tall > 1 {
				merges++
				fmt.Fprintf(&merged, `<mergeCell ref="%s%d:%s%d"/>`, letters(j), i+1, letters(j+wide-1), i+tall)
			}
		}
		b.WriteString("</row>")
	}
	b.WriteString("</sheetData>")
	if merges > 0 {
		fmt.Fprintf(&b, `<mergeCells count="%d">%s</mergeCells>`, merges, merged.String())
	}
	b.WriteString("</worksheet>")
	return b.String()
}

func (m *maker) xlsxCell(c *cell, at string) string {
	day, isDay := c.typedDate()
	value, style := "", 0
	switch {
	case isDay && !m.textDays():
		value, style = strconv.Itoa(serialDay(day)), dayStyle
	case c.kind == numberCell && !c.asText:
		value = strconv.FormatFloat(c.value, 'f', -1, 64)
	case c.kind == percentCell && !c.asText:
		value, style = strconv.FormatFloat(c.value/100, 'f', -1, 64), percentStyle
	default:
		return fmt.Sprintf(`<c r="%s" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>`, at, escaped(m.text(c)))
	}
	inner := "<v>" + value + "</v>"
	if formula := c.formula(); formula != "" {
		if c.noResult {
			inner = ""
		}
		inner = "<f>" + formula + "</f>" + inner
	}
	return fmt.Sprintf(`<c r="%s" s="%d">%s</c>`, at, style, inner)
}

// textDays reports a listing whose spreadsheet holds days as texts.
func (m *maker) textDays() bool { return m.flags["days either way"] || m.flags["days in several ways"] }
