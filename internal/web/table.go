package web

import (
	"cmp"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// What the long tables share: pages, heads that sort, and orders in which what is
// not known comes last either way. The address holds all of it.

// paging is the page of a table that is shown.
type paging struct {
	Page, Pages, From int
	Rows              int    // of all pages
	Earlier, Later    string // addresses of the pages beside this one
}

const rowsOnPage = 50

// cut gives the page that was asked for of n rows, and which rows are on it.
func cut(n int, q url.Values) (p paging, first, last int) {
	p.Rows = n
	p.Pages = max(1, (n+rowsOnPage-1)/rowsOnPage)
	asked, err := strconv.Atoi(q.Get("page"))
	if err != nil {
		asked = 1
	}
	p.Page = min(max(asked, 1), p.Pages)
	first = (p.Page - 1) * rowsOnPage
	p.From = first + 1
	if p.Page > 1 {
		p.Earlier = with(q, "page", strconv.Itoa(p.Page-1))
	}
	if p.Page < p.Pages {
		p.Later = with(q, "page", strconv.Itoa(p.Page+1))
	}
	return p, first, min(first+rowsOnPage, n)
}

// with is the same query with another value, as an address.
func with(q url.Values, pairs ...string) string {
	changed := url.Values{}
	for key, values := range q {
		changed[key] = values
	}
	for i := 0; i < len(pairs); i += 2 {
		changed.Set(pairs[i], pairs[i+1])
	}
	return "?" + changed.Encode()
}

// sortHead is a head of a table: a link that sorts by it.
type sortHead struct {
	Name, Key, Address, Sorted string
	Class                      string
}

// sortHeads makes the heads links; unless the address says so, the table is
// sorted by its first one.
func sortHeads(q url.Values, heads []sortHead) []sortHead {
	sorted, down := cmp.Or(q.Get("sort"), heads[0].Key), q.Get("way") == "down"
	for i := range heads {
		head := &heads[i]
		way := "up"
		if head.Key == sorted {
			head.Sorted = "ascending"
			if down {
				head.Sorted = "descending"
			} else {
				way = "down"
			}
		}
		head.Address = with(q, "sort", head.Key, "way", way, "page", "1")
	}
	return heads
}

// rowOrder compares two rows, and reports whether one of them is not known.
type rowOrder[R any] func(a, b R) (order int, unknown bool)

// sortRows sorts by a column; what is not known comes last either way.
func sortRows[R any](rows []R, orders map[string]rowOrder[R], q url.Values) {
	compare, ok := orders[q.Get("sort")]
	if !ok {
		return
	}
	down := q.Get("way") == "down"
	slices.SortStableFunc(rows, func(a, b R) int {
		order, unknown := compare(a, b)
		if down && !unknown {
			return -order
		}
		return order
	})
}

// distinct lists what rows say in a column, each once, in the order of the alphabet.
func distinct[R any](rows []R, of func(R) string) []string {
	seen := map[string]bool{}
	for _, row := range rows {
		if text := of(row); text != "" {
			seen[text] = true
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// byText orders by words, regardless of case.
func byText[R any](of func(R) string) rowOrder[R] {
	return func(a, b R) (int, bool) {
		x, y := of(a), of(b)
		if x == "" || y == "" {
			return cmp.Compare(len(y), len(x)), true
		}
		return cmp.Compare(strings.ToLower(x), strings.ToLower(y)), false
	}
}

// byFigure orders by a figure that may not be known.
func byFigure[R any](of func(R) *float64) rowOrder[R] {
	return func(a, b R) (int, bool) {
		x, y := of(a), of(b)
		switch {
		case x == nil && y == nil:
			return 0, true
		case x == nil:
			return 1, true
		case y == nil:
			return -1, true
		}
		return cmp.Compare(*x, *y), false
	}
}

// byTurn orders by a place that is always known.
func byTurn[R any](of func(R) int) rowOrder[R] {
	return func(a, b R) (int, bool) { return cmp.Compare(of(a), of(b)), false }
}
