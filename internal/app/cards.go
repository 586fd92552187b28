package app

import (
	"context"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/chart"
)

// NumberCard is a setting card.
type NumberCard = address.Card

// NumberCards makes the setting cards of a site, of one loop, or of one point, in
// the order of the walk, and tells of which of their types nobody wrote down how
// the number is set.
func (a *App) NumberCards(ctx context.Context, site sootline.ID, loop, point string) ([]NumberCard, []TypeHow, error) {
	r, loops, err := a.numberLoops(ctx, site, loop)
	if err != nil {
		return nil, nil, err
	}
	var cards []NumberCard
	for _, l := range loops {
		cards = append(cards, address.Cards(l)...)
	}
	if point != "" {
		p, err := PointNamed(r, point)
		if err != nil {
			return nil, nil, err
		}
		cards = slices.DeleteFunc(cards, func(c NumberCard) bool { return c.ID != p.ID })
	}
	return cards, askedOf(r, cards), nil
}

// askedOf lists the types of some cards of which it is to be asked how they are set.
func askedOf(r *sootline.Register, cards []NumberCard) []TypeHow {
	return slices.DeleteFunc(address.HowAsked(r), func(t TypeHow) bool {
		return !slices.ContainsFunc(cards, func(c NumberCard) bool { return sootline.TypeKey(c.Type) == sootline.TypeKey(t.Type) })
	})
}

// Card makes the setting card of a point; nil where it is on no loop.
func (s *Survey) Card(p *sootline.Point) (*NumberCard, error) {
	cards, err := cardsOf(s.Register)
	if card, ok := cards[p.ID]; ok {
		return &card, nil
	}
	return nil, err
}

func cardsOf(r *sootline.Register) (map[sootline.ID]NumberCard, error) {
	loops, err := LoopsOf(r)
	if err != nil {
		return nil, err
	}
	cards := map[sootline.ID]NumberCard{}
	for _, l := range loops {
		for _, card := range address.Cards(l) {
			cards[card.ID] = card
		}
	}
	return cards, nil
}

// CardPicture draws a setting card.
func CardPicture(c *NumberCard) *chart.Picture { return namedCard(c, drawnCard(c)) }

// CardToTick is the picture with boxes to tick by hand, for paper.
func CardToTick(c *NumberCard) *chart.Picture {
	drawn := drawnCard(c)
	drawn.Boxes = true
	return namedCard(c, drawn)
}

// namedCard gives each card of a page ids of its own.
func namedCard(c *NumberCard, drawn chart.Card) *chart.Picture {
	p := drawn.Picture()
	p.ID = "card-" + c.ID.String()
	return p
}

// CardSVG is the picture of a setting card as one svg element, for whoever shows it
// without a server: the style sheet of the page gives it its look.
func CardSVG(c *NumberCard) string {
	var b strings.Builder
	if err := CardPicture(c).SVG(&b); err != nil {
		return "" // not reached: a strings.Builder takes everything
	}
	return b.String()
}

// CardColumns is how wide a card is on a terminal, in columns.
const CardColumns = 76

// CardText is the card for a terminal or a printer of text, with boxes to tick.
func CardText(c *NumberCard) string {
	return CardToTick(c).Text(CardColumns)
}

func drawnCard(c *NumberCard) chart.Card {
	drawn := chart.Card{
		Name: c.Name, Number: c.NumberText(), Takes: c.Takes(), Place: c.Title(), About: c.About(), Says: c.Says, Cautions: c.Warnings,
	}
	for _, s := range c.Switches {
		drawn.Switches = append(drawn.Switches, chart.CardSwitch{Name: s.Label, Counts: s.Counts, On: s.On})
	}
	for _, d := range c.Dials {
		drawn.Dials = append(drawn.Dials, chart.CardDial(d))
	}
	for _, s := range c.Settings {
		drawn.Wants = append(drawn.Wants, chart.CardWant{Says: s.Name + ": " + s.Choice, Because: s.Because})
	}
	return drawn
}
