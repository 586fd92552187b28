package address

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// cardColumns is how wide a drawn card is, in columns.
const cardColumns = 76

// Draw gives the card as lines of text, at most 76 columns wide where every
// character takes one column. A filled square shows where a switch stands, so
// that it reads without colour and on paper.
func (c Card) Draw() string {
	var b strings.Builder
	head := fmt.Sprintf("== %s ", c.numberText())
	tick := " [ ] set  [ ] looked at again"
	fmt.Fprintf(&b, "%s%s%s\n", head, strings.Repeat("=", cardColumns-len(head)-len(tick)), tick)
	for _, line := range folded(c.title(), cardColumns-3) {
		fmt.Fprintf(&b, "|  %s\n", line)
	}
	for _, line := range folded(c.about(), cardColumns-3) {
		fmt.Fprintf(&b, "|  %s\n", line)
	}
	if setting := c.drawSetting(); len(setting) > 0 {
		b.WriteString("|\n")
		for _, line := range setting {
			fmt.Fprintf(&b, "|  %s\n", line)
		}
	}
	for _, s := range c.Settings {
		fmt.Fprintf(&b, "|  [ ] %s\n", strings.Join(folded(s.Name+": "+s.Choice, cardColumns-7), "\n|      "))
	}
	for _, w := range c.Warnings {
		fmt.Fprintf(&b, "|  ! %s\n", strings.Join(folded(w, cardColumns-5), "\n|    "))
	}
	return b.String()
}

// about is the line that tells the device apart from others.
func (c Card) about() string {
	parts := []string{c.Name}
	if c.Type != "" {
		parts = append(parts, "type "+c.Type)
	}
	if c.Zone != "" {
		parts = append(parts, "zone "+c.Zone)
	}
	if c.Area != "" && c.Area != c.title() {
		parts = append(parts, c.Area)
	}
	if c.Order > 0 {
		parts = append(parts, fmt.Sprintf("device %d along the cable", c.Order))
	}
	if c.Was > 0 {
		parts = append(parts, fmt.Sprintf("found at %d", c.Was))
	}
	return strings.Join(parts, ", ")
}

// drawSetting draws how the number is set.
func (c Card) drawSetting() []string {
	switch {
	case c.Number == 0:
		return nil
	case c.How == Unknown:
		return []string{fmt.Sprintf("set to %d (how is not written down for this type)", c.Number)}
	case c.How == Electronic:
		return []string{fmt.Sprintf("with the setter, or from the panel: %d", c.Number)}
	case c.How == CodedBase:
		return []string{fmt.Sprintf("coded part in the base: %d (it stays when the head is swapped)", c.Number)}
	case c.Switches != nil:
		return c.drawSwitches()
	case c.How == Dials && len(c.Warnings) == 0:
		return []string{fmt.Sprintf("tens  ( %2d )     units  ( %d )", c.Tens, c.Units)}
	}
	return nil
}

func (c Card) drawSwitches() []string {
	rows := []string{"switch", "    ON", "   OFF", "counts"}
	for _, s := range c.Switches {
		up, down := "□", "■"
		if s.On {
			up, down = "■", "□"
		}
		for i, cell := range []string{s.Label, up, down, fmt.Sprint(s.Counts)} {
			rows[i] += strings.Repeat(" ", 5-utf8.RuneCountInString(cell)) + cell
		}
	}
	return rows
}

// folded breaks text into lines of at most so many characters, between words
// where it can.
func folded(text string, most int) []string {
	var lines []string
	var line []rune
	for _, field := range strings.Fields(text) {
		word := []rune(field)
		if len(line) > 0 && len(line)+1+len(word) > most {
			lines, line = append(lines, string(line)), nil
		}
		if len(line) > 0 {
			line = append(line, ' ')
		}
		line = append(line, word...)
		for len(line) > most {
			lines, line = append(lines, string(line[:most])), line[most:]
		}
	}
	if len(line) > 0 {
		lines = append(lines, string(line))
	}
	return lines
}

// Parts gives the texts of a card to whoever draws it in another way: its number,
// where the device is, what tells it apart from others, and how its number is set,
// as lines whose characters must stand below each other.
func (c Card) Parts() (number, title, about string, setting []string) {
	return c.numberText(), c.title(), c.about(), c.drawSetting()
}
