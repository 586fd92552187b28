package app

import (
	"fmt"
	"slices"
	"strings"

	"sootline/internal/circuit"
)

// Headline says what a design comes to, beginning with its standing.
func (d *Design) Headline() string {
	devices, isolators := 0, 0
	for _, l := range d.Loops {
		devices, isolators = devices+len(l.Points), isolators+len(l.Isolators.At)
	}
	return fmt.Sprintf("%s: %s on %s, %.0f m of cable of %g mm2, %s", d.Says(), plural(devices, "device"), plural(len(d.Loops), "loop"), d.Metres, d.MM2, plural(isolators, "isolator"))
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Says is the standing of the design: shown where every loop is, fails where one does.
func (d *Design) Says() circuit.Standing {
	says := circuit.Shown
	for _, l := range d.Loops {
		switch l.Power.Stands.Says {
		case circuit.Failing:
			return circuit.Failing
		case circuit.NotShown:
			says = circuit.NotShown
		}
	}
	return says
}

// DesignHeads heads the table of a design's loops.
var DesignHeads = []string{"loop", "verdict", "devices", "left", "cable", "most", "isolators", "short"}

// Cells are the loop's figures under [DesignHeads]: numbers that it has left, metres of its cable, and to how many they may
// grow with the verdict still shown, isolators, and devices that the worst short takes.
func (l *DesignedLoop) Cells() []string {
	most := "-"
	if l.Longest > 0 {
		most = fmt.Sprintf("%.0f m", l.Metres*l.Longest)
		if l.Longest >= mostLonger {
			most = "over " + most
		}
	}
	return []string{
		l.String(), string(l.Power.Stands.Says), fmt.Sprint(len(l.Points)), fmt.Sprint(l.Left), fmt.Sprintf("%.0f m", l.Metres), most,
		fmt.Sprint(len(l.Isolators.At)), fmt.Sprint(l.Isolators.Worst),
	}
}

// DesignKey says what stands under the headings that do not say it themselves.
const DesignKey = "left: numbers to spare; cable: the whole loop; most: how long all its cable may be with the verdict still shown; short: devices that the worst short takes"

// BatterySentence says which battery the loops of a design and what was listed beside them need, by a rule set.
func (d *Design) BatterySentence(added []Drain, rule int) (string, error) {
	battery := Battery{Guessed: d.guessed}.With(d.Drains, added)
	size, err := battery.Size(rule)
	if err != nil {
		return "", err
	}
	text := fmt.Sprintf("%s, for %s at rest and %s in alarm by %s.", battery.Heading(size), size.Rest, size.Alarm, StandbyRules()[rule-1].Name)
	if lacks := battery.Lacks(); lacks != "" {
		text += " " + lacks
	}
	return text, nil
}

// Fails reports whether a loop of the design fails.
func (d *Design) Fails() bool { return d.Says() == circuit.Failing }

// Beside is one figure of two designs.
type Beside struct{ What, One, Other string }

// BesideOf holds two designs side by side.
func BesideOf(one, other *Design) []Beside {
	var rows []Beside
	both := func(what string, of func(*Design) string) { rows = append(rows, Beside{what, of(one), of(other)}) }
	both("verdict", func(d *Design) string { return string(d.Says()) })
	both("loops", func(d *Design) string { return fmt.Sprint(len(d.Loops)) })
	both("cable", func(d *Design) string { return fmt.Sprintf("%.0f m", d.Metres) })
	both("cross-section", func(d *Design) string { return fmt.Sprintf("%g mm2", d.MM2) })
	both("copper", func(d *Design) string { return fmt.Sprintf("%.1f kg", d.copper()) })
	both("isolators", func(d *Design) string {
		return fmt.Sprint(d.sum(func(l *DesignedLoop) int { return len(l.Isolators.At) }))
	})
	both("numbers left", func(d *Design) string { return fmt.Sprint(d.sum(func(l *DesignedLoop) int { return l.Left })) })
	both("worst short takes", func(d *Design) string {
		return plural(slices.MaxFunc(d.Loops, func(a, b *DesignedLoop) int { return a.Isolators.Worst - b.Isolators.Worst }).Isolators.Worst, "device")
	})
	both("least left", func(d *Design) string { return d.least() })
	return rows
}

func (d *Design) sum(of func(*DesignedLoop) int) int {
	sum := 0
	for _, l := range d.Loops {
		sum += of(l)
	}
	return sum
}

// copper is what both cores weigh: 8.96 g/cm3 (from memory).
func (d *Design) copper() float64 { return 2 * d.Metres * d.MM2 * 8.96 / 1000 }

// least is the least that is left to a device of any loop.
func (d *Design) least() string {
	var least *circuit.Nearest
	for _, l := range d.Loops {
		if n := l.Power.Stands.Nearest; n != nil && (least == nil || n.Margin < least.Margin) {
			least = n
		}
	}
	if least == nil {
		return "not known"
	}
	return fmt.Sprintf("%.2f V", float64(least.Margin))
}

// Listed are the places of a loop in the order of its cable, under [PointHeads].
func (l *DesignedLoop) Listed() [][]string {
	var rows [][]string
	for i := range l.Points {
		p := &l.Points[i]
		isolator := ""
		if p.Isolator {
			isolator = "isolator"
		}
		rows = append(rows, []string{fmt.Sprintf("%s.%03d", l, p.Number), p.Type, strings.TrimSpace(p.Area + " " + p.Location), fmt.Sprint(p.Floor), fmt.Sprintf("%.1f m", p.Metres), isolator})
	}
	return append(rows, []string{"IN", "", "", "", fmt.Sprintf("%.1f m", l.Return), ""})
}

// PointHeads heads the places of a designed loop; the metres are those of the cable that leads there.
var PointHeads = []string{"point", "type", "where", "floor", "cable", "base"}

// IsolatorNumbers lists the points whose bases have an isolator; empty: none has.
func (l *DesignedLoop) IsolatorNumbers() string {
	var list []string
	for i := range l.Points {
		if l.Points[i].Isolator {
			list = append(list, fmt.Sprintf("%s.%03d", l, l.Points[i].Number))
		}
	}
	return strings.Join(list, ", ")
}
