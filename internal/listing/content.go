package listing

import (
	"fmt"
	"strings"
)

// content is what the cells of one column look like, over the sample.
type content struct {
	filled                          int
	dates, times, refs, weak        int // weak: could be a reference or a number, "1.73"
	numbers, lists, events, devices int
	running, last                   int // cells that count the rows: one more than the cell above
	again                           int // cells that say the count of the cell above once more, as rows said twice do
	categories                      int // words for why an alarm was given
	held                            int // references to points of the register
	types, places, serials          int // that the register has
	vacant, serialDays              int // words for nothing there; whole numbers that can be days of a spreadsheet
	verdicts, marks                 int // words for how a test went; bare yes, no, 1 or 0
	words                           int
	digits                          int // texts with figures in them that are neither numbers nor dates
	point0                          int // whole numbers with a fraction of nothing, "20.0"
	low, high                       float64
	distinct                        map[string]bool
	keys                            map[string]bool // the same by letters and digits alone
}

// most is how large a share of the cells must look like something for the column to be it: a few bad
// cells must not hide what the column is.
const most = 0.8

func (c *content) mostly(n int) bool { return c.filled > 0 && float64(n) >= most*float64(c.filled) }
func (c *content) half(n int) bool   { return c.filled > 0 && 2*n >= c.filled }

// says gives the cells that say something: words for nothing there may be many in a column of anything.
func (c *content) says() int { return c.filled - c.vacant }

// halfNumbers and mostlyNumbers: so are the cells that say something.
func (c *content) halfNumbers() bool {
	return c.numbers+c.lists > 0 && 2*(c.numbers+c.lists) >= c.says()
}

func (c *content) mostlyNumbers() bool {
	return c.numbers+c.lists > 0 && float64(c.numbers+c.lists) >= most*float64(c.says())
}

// longestNear is the length of cells that may be a number with something about it.
const longestNear = 8

// look reads one cell for all that it could be.
func (c *content) look(cell string, kind cellKind, lx *lexicon, known *Known) {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		return
	}
	c.filled++
	if len(c.distinct) < 200 {
		c.distinct[cell] = true
		if c.keys == nil {
			c.keys = map[string]bool{}
		}
		c.keys[typeKey(cell)] = true
	}
	c.words += 1 + strings.Count(cell, " ")
	if kind&cellDate != 0 {
		if len(cell) > len("15:04:05") {
			c.dates++
		} else {
			c.times++
		}
		return
	}
	c.lookText(cell, kind, lx)
	c.lookKnown(cell, lx, known)
}

// counts: most of its numbers count on from 1, as no values do.
func (c *content) counts() bool { return c.running > 1 && 2*c.running >= c.numbers }

// lookKnown looks for what the register has.
func (c *content) lookKnown(cell string, lx *lexicon, known *Known) {
	for count, is := range map[*int]bool{&c.types: known.isType(cell), &c.places: known.isPlace(cell), &c.serials: known.isSerial(cell), &c.vacant: lx.isVacant(cell), &c.categories: lx.alarmCategory(cell) != ""} {
		if is {
			*count++
		}
	}
	if ref, err := ParseRef(cell); known.hasPoints() && err == nil && ref.Loop != "" && known.holds(ref) {
		c.held++
	}
	switch n, ok := wholeNumber(cell); {
	case !ok:
	case n == c.last+1:
		c.running, c.last = c.running+1, n
	case n == c.last:
		c.again++
	}
	if n, ok := wholeNumber(cell); ok && n >= firstSerialDay && n <= lastSerialDay {
		c.serialDays++
	}
}

func (c *content) lookText(cell string, kind cellKind, lx *lexicon) {
	if strings.HasSuffix(cell, ".0") {
		c.point0++
	}
	if raw, ok := splitDate(cell); ok && raw.possible() {
		c.dates++
	}
	var clock Civil
	if strings.ContainsAny(cell, ":hH") && isDigit(cell[0]) && clock.setClock(cell) == nil {
		c.times++
	}
	if ref, err := ParseRef(cell); err == nil && kind&cellNumber == 0 {
		switch _, number := anyNumber(cell); {
		case number && ref.Loop != "":
			c.weak++
		case ref.Loop != "" || isLetter(cell[0]):
			c.refs++
		}
	}
	before := c.numbers + c.lists
	c.lookNumber(cell)
	if c.numbers+c.lists == before && len(cell) <= longestNear && strings.ContainsAny(cell, "0123456789") {
		c.digits++
	}
	said := lx.verdict(cell)
	if _, ok := lx.event(cell); ok || said.test {
		c.events++
	} else if !said.unknown && (said.good() || said.bad() || said.missed || said.untried) {
		c.verdicts++
	}
	if _, ok := lx.yes[fold(cell)]; ok {
		c.marks++
	}
	if lx.device(cell) != "" {
		c.devices++
	}
}

func (c *content) lookNumber(cell string) {
	v, ok := anyNumber(cell)
	switch {
	case ok:
		if c.numbers == 0 || v < c.low {
			c.low = v
		}
		if c.numbers == 0 || v > c.high {
			c.high = v
		}
		c.numbers++
	case len(splitSamples(cell)) > 1:
		c.lists++
	default:
		_, over := beyond(cell)
		if number, _ := noted(cell); number != "" || over {
			c.numbers++
		}
	}
}

// anyNumber reads a number whichever decimal mark it has.
func anyNumber(cell string) (float64, bool) {
	decimal := byte('.')
	if decimalMark(cell) == markComma {
		decimal = ','
	}
	v, _, ok := parseNumber(cell, decimal)
	return v, ok
}

// splitSamples cuts "25 26 25", "25/26/25", "25;26;25" or "25, 26, 25" into numbers; nil when a part
// is none.
func splitSamples(cell string) []string {
	parts := strings.FieldsFunc(cell, func(r rune) bool { return r == ' ' || r == '/' || r == ';' || r == '|' || r == '\n' })
	if len(parts) == 1 && strings.Count(cell, ",") > 1 {
		parts = strings.Split(cell, ",")
	}
	for i, p := range parts {
		parts[i] = strings.TrimSuffix(p, ",")
		if _, ok := anyNumber(parts[i]); !ok {
			return nil
		}
	}
	return parts
}

// role gives the field that the cells alone speak for, with the reason; Unused when they do not.
func (c *content) role() (Field, string) {
	share := func(n int, what string) string { return fmt.Sprintf("%d of %d cells are %s", n, c.filled, what) }
	switch {
	case c.filled == 0:
		return Unused, "its cells are empty"
	case c.mostly(c.dates) && c.refs+c.weak <= c.dates:
		return Date, share(c.dates, "dates")
	case c.mostly(c.times):
		return Time, share(c.times, "times of day")
	case c.mostly(c.refs+c.weak) && c.refs > 0:
		return Point, share(c.refs+c.weak, "references to a point")
	case c.mostly(c.events):
		return What, share(c.events, "words for what happened")
	case c.mostly(c.events+c.verdicts) && c.events > c.verdicts:
		return What, share(c.events+c.verdicts, "words for what happened and how it went")
	case c.mostly(c.events + c.verdicts):
		return Result, share(c.events+c.verdicts, "words for how a test went")
	case c.mostlyNumbers():
		why := share(c.numbers, fmt.Sprintf("numbers, from %g to %g", c.low, c.high))
		if c.lists > 0 {
			why = share(c.numbers+c.lists, "numbers or lists of numbers")
		}
		return Value, why
	}
	return Text, fmt.Sprintf("%d cells are text, %d different", c.filled, len(c.distinct))
}
