package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// pointRow is a point as the table shows it, made once with the survey.
type pointRow struct {
	Ref, Address, Type, Place, Zone, Loop string
	Value, Band, Verdict, Action, Drift   string
	Leaves, ReadAt                        string
	Off                                   bool

	search string // what a search looks in
	value  *float64
	margin *float64
	drift  *float64
	turn   int // in the order of the register
}

func pointRows(survey *app.Survey) []*pointRow {
	points := survey.Register.Points()
	rows := make([]*pointRow, len(points))
	for i, p := range points {
		rows[i] = rowOf(survey, p)
		rows[i].turn = i
	}
	return rows
}

func rowOf(survey *app.Survey, p *sootline.Point) *pointRow {
	row := &pointRow{
		Ref: p.Ref().String(), Address: pointAddress(survey, p), Type: p.Type, Place: place(p), Zone: p.Zone, Loop: p.LoopID().String(),
		Off: p.Disabled != nil, search: strings.ToLower(joined(p.Ref().String(), p.Type, p.Location, p.Area, p.Zone, p.Unit.Serial)),
	}
	j := survey.Judgement(p)
	if j == nil {
		return row
	}
	row.Verdict, row.Action, row.Band = string(j.Verdict), string(j.Action), bandOf(j)
	if !j.ReadAt.IsZero() {
		row.Value, row.value, row.ReadAt = withUnit(number(&j.Value), unitOf(j)), &j.Value, day(j.ReadAt, survey.Zone)
	}
	row.margin, row.drift = j.Margin, j.DriftPerYear
	row.Drift = signed(j.DriftPerYear)
	if j.LeavesEarliest != nil {
		row.Leaves = day(*j.LeavesEarliest, survey.Zone)
	}
	return row
}

// pointsPage is the table of a site's points.
type pointsPage struct {
	Frame
	Search, Loop, State string
	Loops               []string
	States              []string
	Rows                []*pointRow
	Found, All, From    int
	Heads               []sortHead
	Earlier, Later      string // addresses of the pages beside this one
	Page, Pages         int
}

// sortHead is a head of the table: a link that sorts by it.
type sortHead struct {
	Name, Key, Address, Sorted string
	Class                      string
}

const rowsOnPage = 50

func (s *Server) showPoints(w http.ResponseWriter, r *http.Request) error {
	survey, rows, err := s.survey(r)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	page := &pointsPage{
		Frame:  Frame{Title: "Points of " + survey.Register.Site.Name, Survey: survey},
		Search: strings.TrimSpace(q.Get("q")), Loop: q.Get("loop"), State: q.Get("state"), All: len(rows), States: pointStates(),
	}
	for _, loop := range survey.Register.Loops() {
		page.Loops = append(page.Loops, loop.String())
	}
	found := page.filter(rows)
	sortRows(found, q.Get("sort"), q.Get("way") == "down")
	page.turn(found, q)
	page.Heads = sortHeads(q)
	return s.show(w, r, http.StatusOK, "points.html", page)
}

// pointStates are what the table can be narrowed to.
func pointStates() []string {
	return []string{"clean now", "replace", "clean at visit", "look again", "read", "leave", "above", "below", "no band", "no reading", "disabled"}
}

func (p *pointsPage) filter(rows []*pointRow) []*pointRow {
	found := make([]*pointRow, 0, len(rows))
	words := strings.Fields(strings.ToLower(p.Search))
	for _, row := range rows {
		if p.Loop != "" && row.Loop != p.Loop || p.State != "" && !row.is(p.State) {
			continue
		}
		if !slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(row.search, word) }) {
			found = append(found, row)
		}
	}
	return found
}

func (row *pointRow) is(state string) bool {
	return state == "disabled" && row.Off || state == row.Action || state == row.Verdict
}

// turn cuts out the page that was asked for.
func (p *pointsPage) turn(found []*pointRow, q url.Values) {
	p.Found = len(found)
	p.Pages = max(1, (len(found)+rowsOnPage-1)/rowsOnPage)
	n, err := strconv.Atoi(q.Get("page"))
	if err != nil {
		n = 1
	}
	p.Page = min(max(n, 1), p.Pages)
	first := (p.Page - 1) * rowsOnPage
	p.From = first + 1
	p.Rows = found[first:min(first+rowsOnPage, len(found))]
	if p.Page > 1 {
		p.Earlier = with(q, "page", strconv.Itoa(p.Page-1))
	}
	if p.Page < p.Pages {
		p.Later = with(q, "page", strconv.Itoa(p.Page+1))
	}
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

// sortRows sorts by a column; what is not known comes last either way.
func sortRows(rows []*pointRow, key string, down bool) {
	compare, ok := rowOrders()[key]
	if !ok {
		return
	}
	slices.SortStableFunc(rows, func(a, b *pointRow) int {
		order, unknown := compare(a, b)
		if down && !unknown {
			return -order
		}
		return order
	})
}

// rowOrder compares two rows, and reports whether one of them is not known.
type rowOrder func(a, b *pointRow) (order int, unknown bool)

func rowOrders() map[string]rowOrder {
	text := func(of func(*pointRow) string) rowOrder {
		return func(a, b *pointRow) (int, bool) {
			x, y := of(a), of(b)
			if x == "" || y == "" {
				return cmp.Compare(len(y), len(x)), true
			}
			return cmp.Compare(strings.ToLower(x), strings.ToLower(y)), false
		}
	}
	figure := func(of func(*pointRow) *float64) rowOrder {
		return func(a, b *pointRow) (int, bool) {
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
	return map[string]rowOrder{
		"point":   func(a, b *pointRow) (int, bool) { return cmp.Compare(a.turn, b.turn), false },
		"type":    text(func(r *pointRow) string { return r.Type }),
		"place":   text(func(r *pointRow) string { return r.Place }),
		"value":   figure(func(r *pointRow) *float64 { return r.value }),
		"verdict": figure(func(r *pointRow) *float64 { return r.margin }),
		"drift":   figure(func(r *pointRow) *float64 { return r.drift }),
		"leaves":  text(func(r *pointRow) string { return r.Leaves }),
		"action":  text(func(r *pointRow) string { return r.Action }),
	}
}

// sortHeads are the heads of the table, each a link that sorts by it.
func sortHeads(q url.Values) []sortHead {
	heads := []sortHead{
		{Name: "Point", Key: "point"},
		{Name: "Place", Key: "place", Class: "more"},
		{Name: "Type", Key: "type", Class: "more"},
		{Name: "Value", Key: "value", Class: "figure"},
		{Name: "Verdict", Key: "verdict"},
		{Name: "Drift a year", Key: "drift", Class: "figure more"},
		{Name: "Leaves from", Key: "leaves", Class: "more"},
		{Name: "To do", Key: "action"},
	}
	sorted, down := cmp.Or(q.Get("sort"), "point"), q.Get("way") == "down"
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
