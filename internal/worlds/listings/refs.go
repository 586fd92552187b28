package listings

import (
	"fmt"
	"strings"
)

// refStyle is how a listing names points: in columns apart, or joined in one.
type refStyle struct {
	joined string // panel, loop and number in one cell, as p, l and n of a pattern; empty: apart
	panel  bool   // the panel is named
	padded bool   // the address has three digits, as text
}

// drawStyle chooses how points are named; several panels are always told apart.
func (m *maker) drawStyle() refStyle {
	s := refStyle{panel: len(m.site.panels) > 1, padded: m.rng.IntN(3) == 0}
	if m.rng.IntN(2) == 0 {
		s.joined = m.drawJoined(s.panel)
	}
	return s
}

// drawJoined chooses a pattern.
func (m *maker) drawJoined(panel bool) string {
	if panel {
		return pick(m.rng, "p.l.n", "Pp/Ll/n", "p/l/n", "p-l-n")
	}
	return pick(m.rng, "l.n", "l/n", "Ll/n", "LlDn", "l-n")
}

// apart makes the style one of columns apart.
func (m *maker) apart() { m.style.joined = "" }

// together makes the style one of a single cell.
func (m *maker) together() { m.style.joined = m.drawJoined(m.style.panel) }

// joinedRef writes a reference by the pattern of the style.
func (s refStyle) joinedRef(d *device) string {
	var b strings.Builder
	for _, c := range s.joined {
		switch c {
		case 'p':
			b.WriteString(d.panel)
		case 'l':
			b.WriteString(d.loop)
		case 'n':
			fmt.Fprintf(&b, "%03d", d.number)
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// refColumns are the columns that name a point.
func (m *maker) refColumns() []column {
	if m.style.joined != "" {
		return []column{{concept: "point", head: m.head("point")}}
	}
	cols := []column{{concept: "loop", head: m.head("loop")}, {concept: "address", head: m.head("address")}}
	if m.style.panel {
		cols = append([]column{{concept: "panel", head: m.head("panel")}}, cols...)
	}
	return cols
}

// refCells name a device; the last of them states the facts.
func (m *maker) refCells(d *device, says ...fact) []*cell {
	if m.style.joined != "" {
		return []*cell{words(m.style.joinedRef(d)).stating(says...)}
	}
	cells := []*cell{words(d.loop), m.addressCell(d.number).stating(says...)}
	if m.style.panel {
		cells = append([]*cell{words(d.panel)}, cells...)
	}
	return cells
}

func (m *maker) addressCell(n int) *cell {
	if m.style.padded {
		return words(fmt.Sprintf("%03d", n))
	}
	return count(n)
}
