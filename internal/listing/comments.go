package listing

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
)

// commentsNote tells of the comments on the cells of a workbook, which are no cells and are not read; empty: there are
// none. The first few are told in full.
func (w *workbook) commentsNote() (string, error) {
	const few, longest = 3, 80
	var told []string
	count := 0
	for part := range w.parts {
		if !strings.HasPrefix(part, "xl/comments") || !strings.HasSuffix(part, ".xml") {
			continue
		}
		err := w.each(part, func(d *partReader, el xml.StartElement) error {
			if el.Name.Local != "comment" {
				return nil
			}
			text, err := richText(d, "comment")
			if err != nil {
				return err
			}
			if count++; count <= few {
				letters := []rune(strings.Join(strings.Fields(text), " "))
				told = append(told, attr(el, "ref")+" "+strconv.Quote(string(letters[:min(len(letters), longest)])))
			}
			return nil
		})
		if err != nil {
			return "", err
		}
	}
	switch {
	case count == 0:
		return "", nil
	case count > few:
		told = append(told, fmt.Sprintf("and %d more", count-few))
	}
	return "comments on cells are not read: " + strings.Join(told, ", "), nil
}
