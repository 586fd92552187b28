package paper

import (
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"strings"

	"sootline/internal/chart"
)

var (
	//go:embed paper.html
	pageHTML string
	//go:embed paper.css
	pageCSS string
)

// WriteHTML writes a document as one page that needs nothing else: it prints, and
// reads well aloud. It holds all letters of the record.
func WriteHTML(w io.Writer, d *Document, size Size) error {
	page, err := template.New("paper").Funcs(template.FuncMap{
		"kind": kindOf, "svg": svgOf, "right": func(c Column) bool { return c.Right }, "keep": func(c Cell) bool { return !c.day.IsZero() },
		"tick": func(c Cell) bool { return c.tick }, "join": func(list []string) string { return strings.Join(list, ", ") },
		"filled": func(t Table) *Table { shown, _ := t.filled(); return shown }, "leftOut": leftOutOf,
	}).Parse(pageHTML)
	if err != nil {
		return err
	}
	return page.Execute(w, struct {
		*Document
		Style template.CSS
		Logo  template.URL
	}{d, template.CSS(PageStyle(size)), logoURL(d.Firm.Logo)}) //nolint:gosec // our own style sheets
}

// leftOutOf says which columns of a table are not shown; "" where all are.
func leftOutOf(t Table) string {
	if _, names := t.filled(); len(names) > 0 {
		return LeftOut(names)
	}
	return ""
}

// PageStyle is all that stands in the one style element of a document's HTML, to the
// letter, so that a server can allow it by its hash and nothing else.
func PageStyle(size Size) string {
	const sheet = `
@page { size: %s; margin: 16mm; @bottom-right { content: "page " counter(page) " of " counter(pages); } }
%s%s`
	return fmt.Sprintf(sheet, size.Name, pageCSS, chart.Style())
}

// logoURL puts the logo into the page itself, if it is a picture.
func logoURL(logo []byte) template.URL {
	kind := http.DetectContentType(logo)
	if kind != "image/png" && kind != "image/jpeg" {
		return ""
	}
	return template.URL("data:" + kind + ";base64," + base64.StdEncoding.EncodeToString(logo)) //nolint:gosec // of one of two kinds
}

// kindOf names a block, for the page to choose by.
func kindOf(b Block) string {
	switch b.(type) {
	case Heading:
		return "heading"
	case Paragraph:
		return "paragraph"
	case List:
		return "list"
	case Fields:
		return "fields"
	case Table:
		return "table"
	case Picture:
		return "picture"
	case Pictures:
		return "pictures"
	case Cards:
		return "cards"
	case Letter:
		return "letter"
	case Photos:
		return "photos"
	case Signatures:
		return "signatures"
	}
	return ""
}

func svgOf(p *chart.Picture) (template.HTML, error) {
	var b strings.Builder
	err := p.SVG(&b)
	return template.HTML(b.String()), err //nolint:gosec // chart escapes what it writes
}
