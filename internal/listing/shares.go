package listing

import (
	"fmt"
	"strings"
)

// isInPercent: a heading says that what stands below it is in percent, and of nothing besides: "%/m" is another unit.
func isInPercent(heading string) bool {
	if at := strings.IndexByte(heading, '%'); at >= 0 {
		return at+1 == len(heading) || heading[at+1] != '/'
	}
	for word := range strings.FieldsSeq(fold(heading)) {
		switch word {
		case "percent", "percentage", "prozent", "pourcent", "pourcentage", "porcentaje", "percentuale", "procent", "percento":
			return true
		}
	}
	return false
}

// doubtShares asks about a column of values in percent where no type of the register is read so: they may be shares of
// something, of the band or of what is left of compensation, and no resting values.
func (s *study) doubtShares() {
	u := s.u
	if u.Kind != KindReadings || s.known.readsShares() {
		return
	}
	for i, c := range u.Columns {
		if c.Field != Value || !isInPercent(c.Heading) || c.Quantity != "" || s.matches[i].strength == strengthProfile {
			continue
		}
		u.askOnce(AskValue, fmt.Sprintf("The values of column %q are in percent, and no type of the register is read so. Are they what is read at rest?", c.Heading),
			Choice{columnKey(i), "yes, it is the value"}, Choice{columnKey(i) + "=" + string(Unused), "no, they are another thing: leave them out"})
		return
	}
}
