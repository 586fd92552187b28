package live

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"
)

// pages are the code pages that are tried, in the order in which they are where nothing speaks for one.
var pages = []Page{Latin1, Page850, Page437, UTF8}

// pagesOf gives the code pages that lines can be in, the likeliest first: the one by which most lines hold a text of the register's
// own that not every page has. Where none does, it is UTF-8 if all bytes can be that.
func pagesOf(heard []raw, texts []string) []Page {
	whole, wide := true, false
	for _, l := range heard {
		whole = whole && utf8.Valid(l.bytes)
		wide = wide || !plainBytes(l.bytes)
	}
	if !wide {
		return []Page{UTF8}
	}
	order, texts := slices.Clone(pages), wideTexts(texts)
	if whole {
		order = []Page{UTF8, Latin1, Page850, Page437}
	}
	lines := map[Page]int{}
	for _, l := range heard {
		for _, p := range order {
			if p.holds(l, texts) {
				lines[p]++
			}
		}
	}
	slices.SortStableFunc(order, func(a, b Page) int { return cmp.Compare(lines[b], lines[a]) })
	if whole && lines[order[0]] == lines[UTF8] {
		return []Page{UTF8}
	}
	return order
}

// plainBytes reports whether bytes are the same in every code page.
func plainBytes(b []byte) bool {
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// fewestWide is how many letters a text must have to speak for a code page.
const fewestWide = 4

// wideTexts gives the texts, without blanks, that are not written alike in every code page.
func wideTexts(texts []string) (wide []string) {
	for _, t := range texts {
		if t = unspaced(t); !plainBytes([]byte(t)) && utf8.RuneCountInString(t) >= fewestWide && !slices.Contains(wide, t) {
			wide = append(wide, t)
		}
	}
	return wide
}

// holds reports whether a line that is not plain holds one of some texts by a code page.
func (p Page) holds(l raw, texts []string) bool {
	if len(texts) == 0 || plainBytes(l.bytes) {
		return false
	}
	line := unspaced(textOf(p.decode(l)))
	return slices.ContainsFunc(texts, func(t string) bool { return strings.Contains(line, t) })
}

// textsOf gives the texts of points.
func textsOf(points []Point) (texts []string) {
	for i := range points {
		texts = append(texts, points[i].Text)
	}
	return texts
}

// pageOf gives the code page of a line: the style's, unless the line holds a text of the register's own by another alone. A lesson
// may have had no such text, and a panel's pages may change with its language.
func (r *Reader) pageOf(l raw) Page {
	if plainBytes(l.bytes) || len(r.reg.wide) == 0 || r.page.holds(l, r.reg.wide) {
		return r.page
	}
	for _, p := range pages {
		if p.holds(l, r.reg.wide) {
			r.page = p
			return p
		}
	}
	return r.page
}
