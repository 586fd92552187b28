package web

import (
	"sootline/internal/paper"
)

// pointsHome is the table of points to take home.
func pointsHome(rows []*pointRow) homeTable {
	t := homeTable{
		name: "points", title: "Points",
		columns: columnsOf("point", "place", "area", "zone", "loop", "type", "kind", "serial", "#value", "read on", "band", "verdict", "to do", "#margin", "#drift a year", "leaves from", "disabled"),
	}
	for _, row := range rows {
		off := ""
		if row.Off {
			off = "disabled"
		}
		cells := textCells(row.Ref, row.Location, row.Area, row.Zone, row.Loop, row.Type, row.Kind, row.Serial)
		cells = append(cells, paper.Maybe(row.value, -1))
		cells = append(cells, textCells(row.ReadAt, row.Band, row.Verdict, row.Action)...)
		cells = append(cells, paper.Maybe(row.margin, 3), paper.Maybe(row.drift, 3), paper.Text(row.Leaves), paper.Text(off))
		t.rows = append(t.rows, cells)
	}
	return t
}
