package listing

import "strings"

// carryOver keeps the loop and the panel that a row says, for the rows below that say none. What a row says counts also where
// nothing else of it is taken; what cannot be seen, in a row that is hidden or cannot be read, may have begun another loop, and
// leaves none.
func (r *rowReader) carryOver(row *Row, skipped string, readable bool) {
	if skipped != "" && skipped != NothingFitted && skipped != NothingToldOf {
		return
	}
	for _, s := range []slot{r.loop, r.panel} {
		if s.column < 0 || !r.u.Columns[s.column].carries {
			continue
		}
		cell, _ := slot{column: s.column, field: s.field}.get(row)
		loop := s.field == Loop
		switch hidden := s.column < len(row.hid) && row.hid[s.column]; {
		case cell != "" && loop:
			r.above[loop] = parseName(cell, 'L')
		case cell != "":
			r.above[loop] = parseName(cell, 'P')
		case hidden || !readable:
			r.above[loop] = ""
		}
	}
}

// carried gives the loop or the panel of the rows above.
func (r *rowReader) carried(s slot, at int) string {
	name := r.above[s.field == Loop]
	if name == "" {
		r.fail(at, "the "+string(s.field)+" that the rows above say once", "a row above that is hidden or cannot be read", "write it into this row")
	}
	return name
}

// hideRow notes which columns of a hidden row hold something, for the next row that is seen.
func (g *grid) hideRow() {
	for i, c := range g.row.Cells {
		if strings.TrimSpace(c) == "" {
			continue
		}
		for len(g.hid) <= i {
			g.hid = append(g.hid, false)
		}
		g.hid[i] = true
	}
}
