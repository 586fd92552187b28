package web

import (
	"html/template"
	"strings"

	"sootline/internal/chart"
)

// drawing is a picture as a page shows it: laid out for wide and for narrow
// screens, of which the style sheet shows one, and the same as a table.
type drawing struct {
	Title, Desc string
	Wide, Slim  template.HTML
	Head        []string
	Rows        [][]string
	Zoom        string // how many times as large as the page is wide: empty, 2 or 4
}

// drawingOf draws a picture; the name tells its ids apart on the page.
func drawingOf(picture *chart.Picture, name string) *drawing {
	slim := picture.For(chart.Phone())
	picture.ID, slim.ID = name, name+"-slim"
	return &drawing{Title: picture.Title, Desc: picture.Desc, Wide: svg(picture), Slim: svg(slim), Head: picture.Table.Head, Rows: picture.Table.Rows}
}

// svg writes a picture. The room that draws escapes every text and address, so
// that what comes out is safe as it stands.
func svg(picture *chart.Picture) template.HTML {
	var b strings.Builder
	if err := picture.SVG(&b); err != nil {
		return "" // not reached: a strings.Builder takes everything
	}
	return template.HTML(b.String()) //nolint:gosec // see above
}
