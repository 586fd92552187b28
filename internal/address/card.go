package address

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
)

// Card is what somebody on a ladder needs to set one device.
type Card struct {
	Number   int // 0: the device has none yet
	Last     int // the last number that it takes
	Name     string
	Location string
	Type     string
	Order    int // its turn along the cable; 0: unknown
	Zone     string
	Area     string
	Was      int // the number it was found at, where that is another; else 0
	Settings []Setting
	How      How
	Switches []Switch // nil without switches
	Tens     int      // position of the dial of tens, where How is Dials
	Units    int
	Warnings []string
}

// Setting is one setting that a device should have.
type Setting struct{ Name, Choice string }

// Switch is one switch of the row.
type Switch struct {
	Label  string // what is printed beside it: 1, 2, 3 ...
	Counts int    // its weight: 1, 2, 4 ...
	On     bool
}

// Cards makes a card for every device of the loop, in walk order.
func Cards(l Loop) []Card {
	same := map[string]int{}
	for i := range l.Devices {
		d := &l.Devices[i]
		same[d.Location]++
	}
	cards := make([]Card, 0, len(l.Devices))
	for _, i := range l.Walk() {
		card := NewCard(l.Devices[i], l.Span)
		if d := l.Devices[i]; d.Location != "" && same[d.Location] > 1 {
			card.Warnings = append(card.Warnings, fmt.Sprintf("%d devices have this location text: make sure that it is this one", same[d.Location]))
		}
		cards = append(cards, card)
	}
	return cards
}

// NewCard makes the card of one device: the number is the one it should have,
// else the one it was found at.
func NewCard(d Device, s Span) Card {
	n := d.number()
	c := Card{
		Number: n, Last: n + d.width() - 1, Name: d.Name, Location: d.Location, Type: d.Type, Order: d.Order,
		Zone: d.Zone, Area: d.Area, How: d.Setter.How,
	}
	if d.Found != n {
		c.Was = d.Found
	}
	for _, name := range slices.Sorted(maps.Keys(d.Wants)) {
		c.Settings = append(c.Settings, Setting{name, d.Wants[name]})
	}
	if n == 0 {
		c.Last = 0
		c.Warnings = append(c.Warnings, "no number is planned for it yet")
		return c
	}
	if err := s.Refuse(n, d.width()); err != nil {
		c.Warnings = append(c.Warnings, err.Error())
	}
	c.set(d.Setter)
	return c
}

// set fills in how the number is set, or warns that it cannot be.
func (c *Card) set(s Setter) {
	if err := s.Check(); err != nil {
		c.Warnings = append(c.Warnings, err.Error())
		return
	}
	if c.Number > s.Most() {
		c.Warnings = append(c.Warnings, fmt.Sprintf("number %d cannot be set here: %s reach %d at most", c.Number, setWith(s), s.Most()))
		return
	}
	for i, on := range s.Positions(c.Number) {
		c.Switches = append(c.Switches, Switch{Label: fmt.Sprint(i + 1), Counts: 1 << s.weight(i), On: on})
	}
	c.Tens, c.Units, _ = s.Digits(c.Number)
}

func setWith(s Setter) string {
	if s.How == Dials {
		return fmt.Sprintf("dials with tens to %d", s.TensTo)
	}
	return fmt.Sprintf("%d switches", s.Switches)
}

// numberText writes the number or numbers of a card.
func (c Card) numberText() string {
	switch {
	case c.Number == 0:
		return "---"
	case c.Last > c.Number:
		return fmt.Sprintf("%03d to %03d", c.Number, c.Last)
	}
	return fmt.Sprintf("%03d", c.Number)
}

// title is what stands beside the number: where the device is, or its name.
func (c Card) title() string { return cmp.Or(c.Location, c.Area, c.Name) }
