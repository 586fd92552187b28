package listing

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// betweenLimits stand between the two limits of a band in one cell.
var betweenLimits = []string{"to", "bis", "a", "à", "hasta", "tot", "...", "..", "…", "–", "—", "-", "/"}

// readBand reads both limits of a type from one cell: "20-40", "10 to 30 %".
func (r *rowReader) readBand(s *TypeRow, band slot, cell string, kind cellKind) {
	if cell == "" || r.u.lx.isVacant(cell) {
		return
	}
	low, high, ok := cutBand(cell)
	if !ok || s.Low.Known || s.High.Known {
		r.fail(band.column, "two limits such as 20-40", quoteShort(cell), "write each limit in a column of its own")
		return
	}
	unit := ""
	s.Low, _ = r.figure(slot{column: band.column, field: Low}, low, kind)
	s.High, unit = r.figure(slot{column: band.column, field: High}, high, kind)
	if s.Low.Known && s.High.Known && s.Low.Value > s.High.Value {
		r.fail(band.column, "the lower limit before the upper one", quoteShort(cell), "")
	}
	if unit != "" && s.Unit == "" {
		s.Unit = unit
	}
}

// cutBand cuts a cell between its two limits.
func cutBand(cell string) (low, high string, ok bool) {
	for _, mark := range betweenLimits {
		spaced := mark
		if mark == "à" || isLetter(mark[0]) && mark[0] < utf8.RuneSelf {
			spaced = " " + mark + " "
		}
		parts := strings.Split(cell, spaced)
		if len(parts) != 2 {
			continue
		}
		low, high = strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1])
		if low != "" && high != "" && !slices.Contains(betweenLimits, low) && isDigit(low[0]) && isDigit(high[0]) {
			return low, high, true
		}
	}
	return "", "", false
}
