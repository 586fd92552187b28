package listing

import (
	"encoding/json"
	"fmt"
	"iter"
)

// mostSpread bounds the cells of the rows that one object with a list in it gives: what stands beside the list is said of each.
const mostSpread = 1 << 20

// isListOfRows: a list whose first item is an object.
func isListOfRows(raw json.RawMessage) bool {
	for _, c := range raw[1:] {
		switch c {
		case ' ', '\t', '\n', '\r':
			continue
		}
		return raw[0] == '[' && c == '{'
	}
	return false
}

// spread gives an object for each row of a list that lies in it, with what stands beside the list; one without such a list alone.
func (row *jsonRow) spread() iter.Seq[jsonRow] {
	return func(yield func(jsonRow) bool) { row.spreadTo(0, yield) }
}

func (row *jsonRow) spreadTo(depth int, yield func(jsonRow) bool) bool {
	if row.inner == nil || row.trouble != "" {
		return yield(*row)
	}
	items := elements(row.inner)
	if depth == mostNested || len(items)*(1+len(row.keys)) > mostSpread {
		row.trouble = fmt.Sprintf("too many rows in %s", quoteShort(row.key))
		return yield(*row)
	}
	known := map[string]bool{}
	for _, key := range row.keys {
		known[key] = true
	}
	for _, item := range items {
		var own jsonRow
		if item[0] == '{' {
			own.object("", item, 0)
		} else {
			own.trouble = "a list of rows and of other things"
		}
		one := jsonRow{trouble: own.trouble, inner: own.inner, key: own.key}
		one.keys, one.cells = append(one.keys, row.keys...), append(one.cells, row.cells...)
		for i, key := range own.keys {
			if known[key] {
				key = row.key + "." + key
			}
			one.keys, one.cells = append(one.keys, key), append(one.cells, own.cells[i])
		}
		one.once()
		if !one.spreadTo(depth+1, yield) {
			return false
		}
	}
	return true
}

// scalarText gives a text or a number; anything else is empty.
func scalarText(token json.Token) string {
	switch v := token.(type) {
	case string:
		return v
	case json.Number:
		return v.String()
	}
	return ""
}
