package web

import (
	"fmt"
	"maps"
	"net/url"
	"strings"

	"sootline/internal/app"
)

// faultTable is every single open and short of a loop.
type faultTable struct {
	Kind, Search string
	Heads        []sortHead
	Rows         []*faultRow
	Found, All   int
	paging
	Home  takeHome
	found []*faultRow // on all pages
}

// faultRow is a fault: what it leaves, and what it takes.
type faultRow struct {
	Fault, At, Volts, Margin, Zones, Area string
	Lost, Counted                         int
	Fails                                 bool

	turn          int
	volts, margin *float64
	area          float64
}

func (t *faultTable) fill(p *app.Power, q url.Values) {
	t.Kind, t.Search = q.Get("kind"), strings.TrimSpace(q.Get("q"))
	t.All = len(p.Singles)
	var found []*faultRow
	for i := range p.Singles {
		row := faultRowOf(p, &p.Singles[i])
		row.turn = i
		if (t.Kind == "" || strings.Contains(row.Fault, t.Kind)) && strings.Contains(strings.ToLower(row.Fault+" "+row.At), strings.ToLower(t.Search)) {
			found = append(found, row)
		}
	}
	if q.Get("sort") == "" { // what leaves least comes first, also where the address says nothing
		q = maps.Clone(q)
		q.Set("sort", "margin")
	}
	sortRows(found, faultOrders(), q)
	t.Found, t.found, t.Home = len(found), found, takeHomeOf(q)
	var first, last int
	t.paging, first, last = cut(len(found), q)
	t.Rows = found[first:last]
	t.Heads = sortHeads(q, []sortHead{
		{Name: "Fault", Key: "fault"},
		{Name: "Least margin at", Key: "at", Class: "more"},
		{Name: "Volts there", Key: "volts", Class: "figure more"},
		{Name: "Margin", Key: "margin", Class: "figure"},
		{Name: "Devices lost", Key: "lost", Class: "figure"},
		{Name: "Detectors and call points", Key: "counted", Class: "figure more"},
		{Name: "Zones", Key: "zones", Class: "more"},
		{Name: "Area", Key: "area", Class: "figure more"},
	})
	for i := range t.Heads {
		t.Heads[i].Address += "#faults"
	}
	if t.Earlier != "" {
		t.Earlier += "#faults"
	}
	if t.Later != "" {
		t.Later += "#faults"
	}
}

func faultRowOf(p *app.Power, f *app.State) *faultRow {
	row := &faultRow{
		Fault: p.Circuit.Describe(f.Faults), Lost: len(f.Loss.Points), Counted: f.Loss.Counted, Zones: strings.Join(f.Loss.Zones, " "),
		area: f.Loss.Area, Fails: !f.Works(p.Circuit.Loop()),
	}
	if f.Loss.Area > 0 {
		row.Area = fmt.Sprintf("%.0f\u202fm²", f.Loss.Area)
	}
	switch {
	case !f.Exists:
		row.At = "no operating point"
		return row
	case f.Point < 0:
		row.At = "nobody is fed"
		return row
	}
	point := &p.Circuit.Loop().Points[f.Point]
	volts := float64(f.Volts)
	row.At, row.Volts, row.volts = point.Name, f.Volts.String(), &volts
	if point.Least > 0 {
		margin := float64(f.Margin)
		row.Margin, row.margin = marginText(p, &f.Outcome), &margin
	}
	return row
}

func faultOrders() map[string]rowOrder[*faultRow] {
	return map[string]rowOrder[*faultRow]{
		"fault":   byTurn(func(r *faultRow) int { return r.turn }),
		"at":      byText(func(r *faultRow) string { return r.At }),
		"volts":   byFigure(func(r *faultRow) *float64 { return r.volts }),
		"margin":  byFigure(func(r *faultRow) *float64 { return r.margin }),
		"lost":    byTurn(func(r *faultRow) int { return r.Lost }),
		"counted": byTurn(func(r *faultRow) int { return r.Counted }),
		"zones":   byText(func(r *faultRow) string { return r.Zones }),
		"area":    byTurn(func(r *faultRow) int { return int(r.area) }),
	}
}
