package web

import (
	"sootline/internal/paper"
)

// faultsHome is the table of single faults to take home.
func faultsHome(loop string, rows []*faultRow) homeTable {
	t := homeTable{
		name: "faults-" + plain(loop), title: "Single faults of loop " + loop,
		columns: columnsOf("fault", "least margin at", "volts there", "margin", "#devices lost", "#detectors and call points", "zones", "area", "does not work"),
	}
	for _, row := range rows {
		fails := ""
		if row.Fails {
			fails = "does not work"
		}
		cells := textCells(row.Fault, row.At, row.Volts, row.Margin)
		cells = append(cells, paper.Count(row.Lost), paper.Count(row.Counted))
		t.rows = append(t.rows, append(cells, textCells(row.Zones, row.Area, fails)...))
	}
	return t
}
