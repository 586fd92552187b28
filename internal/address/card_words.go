package address

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"sootline"
)

// NumberText writes the number of a card, or its first one, in three digits.
func (c *Card) NumberText() string {
	if c.Number == 0 {
		return "---"
	}
	return fmt.Sprintf("%03d", c.Number)
}

// Takes tells the numbers of a device that takes several; else it is empty.
func (c *Card) Takes() string {
	if c.Last <= c.Number {
		return ""
	}
	return fmt.Sprintf("takes %d to %d", c.Number, c.Last)
}

// Title is where the device is, or its name.
func (c *Card) Title() string { return cmp.Or(c.Location, c.Area, c.Name) }

// About is the line that tells the device apart from others.
func (c *Card) About() string {
	parts := []string{strings.Replace(c.Name, " ("+c.Title()+")", "", 1)} // that stands above
	if c.Type != "" {
		parts = append(parts, "type "+c.Type)
	}
	if c.Zone != "" {
		parts = append(parts, "zone "+c.Zone)
	}
	if c.Area != "" && c.Area != c.Title() {
		parts = append(parts, c.Area)
	}
	if c.Order > 0 {
		parts = append(parts, fmt.Sprintf("device %d along the cable", c.Order))
	}
	if c.Was > 0 {
		parts = append(parts, fmt.Sprintf("found at %d", c.Was))
	}
	return sootline.Joined(parts...)
}

// say puts into words how the number is set, and the fewest steps from the number
// that the device was found at.
func (c *Card) say(s Setter) {
	n := c.Number
	switch s.How {
	case Switches:
		c.Says = append(c.Says, s.sum(n))
	case Dials:
		return // the picture says it all
	case Electronic:
		c.Says = append(c.Says, fmt.Sprintf("with a hand-held setter, or from the panel: read back, it shall show %d", n))
	case CodedBase:
		c.Says = append(c.Says, fmt.Sprintf("coded part in the base: %d (it stays when the head is swapped)", n))
	case Unknown:
		c.Says = append(c.Says, fmt.Sprintf("set to %d; how is not written down for %s", n, cmp.Or(typed(c.Type), "a device without a type")))
	}
	if moves := s.moves(c.Was, n); moves != "" {
		c.Says = append(c.Says, moves)
	}
}

func typed(name string) string {
	if name == "" {
		return ""
	}
	return "type " + name
}

// sum adds up what the switches count, the largest first.
func (s Setter) sum(n int) string {
	side := "ON"
	if s.OnIsZero {
		side = "OFF"
	}
	var parts []string
	for bit := s.Switches - 1; bit >= 0; bit-- {
		if n>>bit&1 == 1 {
			parts = append(parts, strconv.Itoa(1<<bit))
		}
	}
	if len(parts) == 1 {
		return fmt.Sprintf("what is %s counts: %d", side, n)
	}
	return fmt.Sprintf("what is %s counts: %s = %d", side, strings.Join(parts, " + "), n)
}

// moves names the switches that differ between two numbers.
func (s Setter) moves(from, to int) string {
	before, after := s.Positions(from), s.Positions(to)
	if from == 0 || before == nil || after == nil {
		return ""
	}
	var differ []string
	for i := range before {
		if before[i] != after[i] {
			differ = append(differ, strconv.Itoa(i+1))
		}
	}
	if len(differ) == 1 {
		return fmt.Sprintf("from %d only switch %s moves", from, differ[0])
	}
	return fmt.Sprintf("from %d the switches %s move", from, strings.Join(differ, ", "))
}
