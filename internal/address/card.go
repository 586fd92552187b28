package address

import (
	"fmt"
	"maps"
	"slices"

	"sootline"
)

// Card is what somebody on a ladder needs to set one device.
type Card struct {
	ID       sootline.ID // of the device's point
	Number   int         // 0: the device has none yet
	Last     int         // the last number that it takes
	Name     string
	Location string
	Type     string
	Order    int // its turn along the cable; 0: unknown
	Zone     string
	Area     string
	Was      int // the number it was found at, where that is another; else 0
	Settings []Setting
	How      How
	Switches []Switch // none without switches
	Dials    []Dial   // none without dials
	Says     []string // how the number is set, in words
	Warnings []string
}

// Setting is one setting that a device should have, and why where that is known.
type Setting struct{ Name, Choice, Because string }

// Switch is one switch of the row.
type Switch struct {
	Label  string // what is printed beside it: 1, 2, 3 ...
	Counts int    // its weight: 1, 2, 4 ...
	On     bool
}

// Dial is a dial of the positions 0 to Last.
type Dial struct {
	Name     string // TENS or UNITS
	Last, At int
}

// Cards makes a card for every device of the loop, in walk order. Devices that one
// location text does not tell apart carry a warning.
func Cards(l Loop) []Card {
	same := map[string]int{}
	for i := range l.Devices {
		same[l.Devices[i].Location]++
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
		ID: d.ID, Number: n, Last: n + d.width() - 1, Name: d.Name, Location: d.Location, Type: d.Type, Order: d.Order,
		Zone: d.Zone, Area: d.Area, How: d.Setter.How,
	}
	if d.Found != n {
		c.Was = d.Found
	}
	for _, name := range slices.Sorted(maps.Keys(d.Wants)) {
		c.Settings = append(c.Settings, Setting{name, d.Wants[name], d.Because[name]})
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
	if tens, units, ok := s.Digits(c.Number); ok {
		c.Dials = []Dial{{"TENS", s.TensTo, tens}, {"UNITS", 9, units}}
	}
	c.say(s)
}

func setWith(s Setter) string {
	if s.How == Dials {
		return fmt.Sprintf("dials with tens to %d", s.TensTo)
	}
	return fmt.Sprintf("%d switches", s.Switches)
}
