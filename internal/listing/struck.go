package listing

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"golang.org/x/net/html"
)

// What somebody struck out in a sheet or a page holds no longer, and what holds instead does not stand there: such a
// row is refused, so that somebody looks at it.

// strike notes the first cell of the row that is struck out.
func (g *grid) strike(column int) {
	if g.struck == 0 {
		g.struck = column + 1
	}
}

func (g *grid) struckOut() *RowError {
	err := g.t.rowError(g.line, "a cell that holds", "one that is struck out, wholly or in part", "write what holds, or delete the row")
	err.Column = columnName(g.struck + g.t.firstColumn)
	return err
}

// isStruck reads the element of a font for text that is struck out (ECMA-376, 18.4.10).
func isStruck(el xml.StartElement) bool {
	if el.Name.Local != "strike" && el.Name.Local != "dstrike" {
		return false
	}
	val := attr(el, "val")
	return val == "" || isTrue(val)
}

// isStruck tells whether the text of a style is struck out.
func (w *workbook) isStruck(style string) bool { return w.struckStyles[style] }

// isStruckText tells whether a shared text, by its number, is struck out.
func (w *workbook) isStruckText(number string) bool {
	n, err := strconv.Atoi(strings.TrimSpace(number))
	return err == nil && w.struckTexts[n]
}

// struckFonts notes which fonts and which styles of cells have their text struck out.
type struckFonts struct {
	inFonts bool
	fonts   int
	struck  map[string]bool // by number
}

func (f *struckFonts) see(el xml.StartElement) {
	switch el.Name.Local {
	case "fonts":
		f.inFonts = true
	case "fills", "borders", "cellStyleXfs", "cellXfs", "dxfs":
		f.inFonts = false
	case "font":
		f.fonts++
	}
	if f.inFonts && isStruck(el) {
		f.struck[fmt.Sprint(f.fonts-1)] = true
	}
}

// isStruckHTML tells whether an element of a page strikes its text out.
func isStruckHTML(el html.Token) bool {
	switch el.Data {
	case "s", "strike", "del":
		return true
	}
	for _, a := range el.Attr {
		if a.Key == "style" && strings.Contains(strings.ToLower(a.Val), "line-through") {
			return true
		}
	}
	return false
}
