package chart

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Card is how one device is set: its number, large, and where its switches or dials
// stand. A device without either is told in words.
type Card struct {
	Name     string // what tells the device apart, such as 1.2.093
	Number   string // the number, or its first one
	Takes    string // the numbers of a device that takes several, in words; else empty
	Place    string // where it goes
	About    string // what else tells it apart
	Switches []CardSwitch
	Dials    []CardDial
	Says     []string // how it is set, in words, a line each
	Wants    []CardWant
	Cautions []string
	Boxes    bool // with boxes to tick by hand
}

// CardSwitch is one switch of the row, from the left.
type CardSwitch struct {
	Name   string // what is printed beside it
	Counts int    // its weight
	On     bool
}

// CardDial is a dial of the positions 0 to Last.
type CardDial struct {
	Name     string
	Last, At int
}

// CardWant is a mode that the device should have.
type CardWant struct{ Says, Because string }

// CardSize is a card on a page, a phone or a label: it fits a screen of 360 pixels,
// in letters that are read at arm's length.
func CardSize() Medium { return Medium{Width: 320, Char: 8.8, Line: 20} }

// Picture draws the card. 0 is at the top of a dial, and the positions go round as
// a clock does; the switches stand from the left in the order of their names.
func (card Card) Picture() *Picture {
	p := newPicture("Setting card of "+card.Name, card.desc(), card.table(), sketch{
		lines: func(m Medium) int {
			dry := &canvas{Medium: m, height: math.MaxFloat64}
			return int(math.Ceil(card.draw(dry)/m.Line - 1e-9))
		},
		draw: func(c *canvas) { card.draw(c) },
	})
	return p.For(CardSize())
}

// desc is the card in words, for those who cannot see it.
func (card Card) desc() string {
	parts := []string{"Number " + card.Number}
	if card.Takes != "" {
		parts = append(parts, card.Takes)
	}
	for _, s := range card.Switches {
		parts = append(parts, "switch "+s.Name+" "+s.side())
	}
	for _, d := range card.Dials {
		parts = append(parts, strings.ToLower(d.Name)+" at "+strconv.Itoa(d.At))
	}
	return strings.Join(append(parts, card.Says...), "; ") + "."
}

func (s CardSwitch) side() string {
	if s.On {
		return "ON"
	}
	return "OFF"
}

func (card Card) table() Table {
	if len(card.Switches) > 0 {
		t := Table{Head: []string{"switch", "stands", "counts"}}
		for _, s := range card.Switches {
			t.Rows = append(t.Rows, []string{s.Name, s.side(), strconv.Itoa(s.Counts)})
		}
		return t
	}
	t := Table{Head: []string{"dial", "stands at"}}
	for _, d := range card.Dials {
		t.Rows = append(t.Rows, []string{d.Name, fmt.Sprint(d.At)})
	}
	return t
}
