package app

import (
	"fmt"
	"math"
	"strings"
)

// Sentence says how the two stand to each other.
func (c *HeldFigure) Sentence() string {
	text := fmt.Sprintf("%s: %s measured on %s", c.What, c.shown(), c.Day)
	if c.Calculated == nil {
		return text + "; not held against the calculated: " + c.Why
	}
	least := ""
	if c.Over {
		least = "at least "
	}
	text += fmt.Sprintf(", %s calculated, %s%s; by the facts between %s and %s (%s)", round3(*c.Calculated), least, differenceSaid(c.Measured-*c.Calculated, c.Unit), round3(c.Low), round3(c.High), c.Why)
	switch off := c.Off(); {
	case off > 0:
		text += fmt.Sprintf(": %s%s %s MORE than the facts allow%s", least, round3(off), c.Unit, c.broken())
	case off < 0:
		text += fmt.Sprintf(": %s %s LESS than the facts allow", round3(-off), c.Unit)
	case c.Over:
		text += ": the meter was over its range, so whether it lies between them is not known"
	default:
		text += ": within"
	}
	if c.Before {
		text += "; these are the facts of that day: what is written of the cable changed since, so it is not held against today's"
	}
	return text
}

// Against says how it contradicts the facts, in short; empty where it does not.
func (c *HeldFigure) Against() string {
	off, way, by := c.Off(), "more", 0.0
	switch {
	case off == 0:
		return ""
	case off < 0:
		way, by = "less", -off
	default:
		by = off
	}
	if c.Over {
		way = "or more above what the facts allow"
	} else {
		way += " than the facts allow"
	}
	text := fmt.Sprintf("%s: %s measured on %s, %s %s %s%s", c.What, c.shown(), c.Day, round3(by), c.Unit, way, c.broken())
	if c.Before {
		text += " by what was written then"
	}
	return text
}

// shown is the figure as the meter shows it.
func (c *HeldFigure) shown() string { return overSaid(c.Over) + round3(c.Measured) + " " + c.Unit }

func overSaid(over bool) string {
	if over {
		return "more than "
	}
	return ""
}

// brokenOhms are the ohms beside its copper's from which a core is a break, or nearly one: no contact that carries a loop has
// as many. A judgement of ours, no source.
const brokenOhms = 1000

// broken says that a core lets next to nothing through; empty where it does, and for what is no core.
func (c *HeldFigure) broken() string {
	if c.Core && c.Measured-*c.Calculated >= brokenOhms {
		return ": " + brokenSays
	}
	return ""
}

// differenceSaid says by how much two figures differ, as a meter would show it.
func differenceSaid(by float64, unit string) string {
	if text := withSign(by); text != "0" {
		return text + " " + unit + " apart"
	}
	return "no difference"
}

// withSign writes a change to three places, with its sign.
func withSign(x float64) string {
	text := round3(math.Abs(x))
	switch {
	case text == "0":
		return text
	case x < 0:
		return "-" + text
	}
	return "+" + text
}

// round3 writes a figure to three places, or as many as it has before the point.
func round3(x float64) string { return figureSaid(x, 3) }

func figureSaid(x float64, places int) string {
	before := 0
	if x != 0 {
		before = int(math.Floor(math.Log10(math.Abs(x)))) + 1
	}
	text := fmt.Sprintf("%.*f", min(max(places-max(before, 0), 0), places), x)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
