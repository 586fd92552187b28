package main

import (
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// answer asks, and does what a word asks for instead of an answer. It gives the
// question itself with an answer, and another one where a word leads there.
func (d *hand) answer(q question, prompt string, choices ...string) (string, question, error) {
	for {
		text, err := d.asks(prompt)
		if err != nil {
			return "", 0, d.leave()
		}
		for _, choice := range choices {
			if strings.EqualFold(text, choice) {
				return text, q, nil // a choice may be called as one of the words is
			}
		}
		word, rest, _ := strings.Cut(text, " ")
		next, known, err := d.word(q, strings.ToLower(word), strings.TrimSpace(rest))
		if !known || err != nil || next != q {
			return text, next, err
		}
	}
}

// word does what a word asks for; known is false for an answer.
func (d *hand) word(q question, word, rest string) (next question, known bool, err error) {
	switch word {
	case "leave":
		return q, true, d.leave()
	case "back":
		if q == ofSerial {
			d.benchLine("", "this is the first question of the device")
		}
		return d.before(q), true, nil
	case "skip":
		return d.skip(q, rest)
	case "reject":
		return d.reject(q, rest)
	case "undo":
		return q, true, d.undo()
	case "left":
		d.printBenchLeft(d.b)
		return q, true, nil
	case "?", "help":
		fmt.Fprint(d.out, benchTalkHelp)
		return q, true, nil
	}
	if q != ofSerial {
		return q, false, nil
	}
	switch back := d.wish.FromBack; word {
	case "new":
		d.wish = app.HandWish{New: true, FromBack: back}
	case "type":
		d.wish = app.HandWish{Device: sootline.BoxDevice{Type: rest}, New: d.wish.New, FromBack: back}
	default:
		return q, false, nil
	}
	return ofNothing, true, nil
}

func (d *hand) skip(q question, why string) (question, bool, error) {
	if d.wish.New {
		d.wish = app.HandWish{FromBack: d.wish.FromBack}
		fmt.Fprintln(d.out, "No new place is made.")
		return ofNothing, true, nil
	}
	err := d.a.BenchSkip(d.cmd.Context(), d.site, d.run, d.placeID(), why)
	if err == nil {
		q = ofNothing
	}
	return q, true, d.said(err, "Skipped; it comes again at the end.")
}

// placeID is the place in hand; empty: a new one.
func (d *hand) placeID() string {
	if d.h.Place == nil {
		return ""
	}
	return d.h.Place.Point.ID.String()
}

// reject puts the device in hand aside; its serial is asked where it was not typed.
func (d *hand) reject(q question, why string) (_ question, known bool, err error) {
	unit := d.given.Unit
	if unit.Serial == "" {
		if unit.Serial, err = d.asks("serial of the device to reject: "); err != nil {
			return q, true, d.leave()
		}
	}
	if why == "" {
		if why, err = d.asks("why: "); err != nil {
			return q, true, d.leave()
		}
	}
	err = d.a.BenchReject(d.cmd.Context(), d.site, d.run, d.placeID(), sootline.BoxDevice{Unit: unit, Type: d.given.Type}, why)
	if err == nil {
		q = ofNothing
	}
	return q, true, d.said(err, "Rejected; it is on the pile, and its place stays open.")
}

// undo takes back what was done last, and asks before it goes further back. The
// device in hand stays in hand.
func (d *hand) undo() error {
	undone, err := d.a.BenchUndo(d.cmd.Context(), d.site, d.run, sootline.ID{}, false)
	if sootline.ErrorCode(err) == sootline.Doubtful {
		answer, asked := d.asks(fmt.Sprintf("take back %s too? [y/N] ", undone.Says))
		if asked != nil {
			return d.leave()
		}
		if !yes(answer) {
			fmt.Fprintln(d.out, "Nothing more was taken back.")
			return nil
		}
		undone, err = d.a.BenchUndo(d.cmd.Context(), d.site, d.run, sootline.ID{}, true)
	}
	if err != nil {
		return d.said(err, "")
	}
	fmt.Fprintf(d.out, "Taken back: %s.\n", wrapTo(undone.Says, 2, benchWidth))
	return d.afresh()
}
