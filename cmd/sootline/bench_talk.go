package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"sootline/internal/app"
)

// errLeave says that whoever is at work leaves the run.
var errLeave = errors.New("the run is left")

// question is what is asked of a device, in this order.
type question int

const (
	ofSerial question = iota
	ofNumber
	ofSettings
	ofValue
	ofWriting
	ofNothing // nothing more is asked of this device
)

// hand is the device in hand: what was typed of it, and to what somebody said yes.
type hand struct {
	*talk
	b      *app.BenchRun
	h      app.BenchHand
	given  app.BenchGiven
	began  time.Time       // when the first sample came
	agreed map[string]bool // by the words of what was asked
	anew   bool            // one answer is given anew, and the others stay
}

// device asks for one device, question by question. What was answered is kept when a
// question comes again.
func (t *talk) device(b *app.BenchRun, h app.BenchHand) error {
	d := &hand{talk: t, b: b, h: h, agreed: map[string]bool{}}
	d.given.Type = t.wish.Device.Type
	d.place(h)
	d.forewarn()
	asks := map[question]func() (question, error){
		ofSerial: d.askSerial, ofNumber: d.askNumber, ofSettings: d.askSettings, ofValue: d.askSamples, ofWriting: d.write,
	}
	for next := ofSerial; next != ofNothing; {
		var err error
		if next, err = asks[next](); err != nil {
			return err
		}
	}
	return nil
}

func (d *hand) place(h app.BenchHand) {
	if d.h = h; h.Place != nil {
		d.given.Point = h.Place.Point.ID
	}
}

// forewarn tells before anything is typed that the number to be set is in the way of
// another device.
func (d *hand) forewarn() {
	looked := d.b.Look(d.given.Given)
	looked.Value = app.BenchValue{State: app.NoBenchValue}
	looked.Remarks = keepRemarks(looked.Remarks, func(r app.BenchRemark) bool { return app.NumberInTheWay(r) })
	d.printLooked(&looked)
}

func keepRemarks(all []app.BenchRemark, keep func(app.BenchRemark) bool) []app.BenchRemark {
	var kept []app.BenchRemark
	for _, r := range all {
		if keep(r) {
			kept = append(kept, r)
		}
	}
	return kept
}

// part is what a question is about, in the words of [app.BenchAbout].
func (q question) part() string {
	return map[question]string{ofSerial: app.AboutSerial, ofNumber: app.AboutNumber, ofSettings: app.AboutSettings}[q]
}

// heard says what is to be said of an answer, at once. What cannot be is asked anew;
// to what may be a slip somebody says yes, or answers anew.
func (d *hand) heard(q question) (question, error) {
	looked := d.b.Look(d.given.Given)
	looked.Value = app.BenchValue{State: app.NoBenchValue}
	looked.Remarks = keepRemarks(looked.Remarks, func(r app.BenchRemark) bool { return app.BenchAbout(r) == q.part() && !d.agreed[r.Text] })
	if refused := looked.Worst(app.BenchRefused); len(refused) > 0 {
		d.printLooked(&looked)
		d.benchLine("", "put it right; or say back, skip, reject or leave")
		return q, nil
	}
	if len(looked.Worst(app.BenchAsked)) > 0 {
		if sure, err := d.sure(&looked, "go on all the same? [y/N] "); err != nil || !sure {
			return q, err
		}
	}
	if d.anew {
		return ofWriting, nil
	}
	return d.after(q), nil
}

// sure asks whether it is so, and remembers a yes.
func (d *hand) sure(looked *app.BenchLooked, prompt string) (bool, error) {
	d.printLooked(looked)
	answer, err := d.asks(prompt)
	switch {
	case err != nil, strings.EqualFold(answer, "leave"):
		return false, d.leave()
	case !yes(answer):
		return false, nil
	}
	for _, r := range looked.Worst(app.BenchAsked) {
		d.agreed[r.Text] = true
	}
	return true, nil
}

// after and before pass over what is not asked of this device.
func (d *hand) after(q question) question {
	if q++; q == ofSettings && len(d.h.Modes) == 0 {
		q++
	}
	if q == ofValue && !d.b.Judged(d.b.TypeOf(d.given.Given)) {
		q++
	}
	return q
}

func (d *hand) before(q question) question {
	if q--; q == ofSettings && len(d.h.Modes) == 0 {
		q--
	}
	return max(q, ofSerial)
}

// write writes the device as the run stands now: somebody else may have been at work.
func (d *hand) write() (question, error) {
	if err := d.afresh(); err != nil {
		return 0, err
	}
	looked := d.b.Look(d.given.Given)
	asked := looked
	asked.Remarks = keepRemarks(looked.Remarks, func(r app.BenchRemark) bool { return !d.agreed[r.Text] })
	if len(looked.Worst(app.BenchRefused)) == 0 && len(asked.Worst(app.BenchAsked)) > 0 {
		if sure, err := d.sure(&asked, "write it all the same? [y/N] "); err != nil {
			return 0, err
		} else if !sure {
			fmt.Fprintln(d.out, "Not written.")
			return d.again()
		}
	}
	given := d.given
	given.Sure = len(looked.Worst(app.BenchAsked)) > 0
	done, err := d.a.BenchDone(d.cmd.Context(), d.site, d.run, given)
	if err != nil {
		if err := d.said(err, ""); err != nil {
			return 0, err
		}
		return d.again()
	}
	d.wish = app.HandWish{FromBack: d.wish.FromBack}
	return ofNothing, d.printDone(d.cmd, d.a, d.site, d.b, &done, d.given.Serial)
}

// again asks which answer is given anew; the others are kept.
func (d *hand) again() (question, error) {
	d.anew = true
	parts := map[string]question{app.AboutSerial: ofSerial, app.AboutNumber: ofNumber, app.AboutSettings: ofSettings, app.AboutValue: ofValue}
	for {
		answer, next, err := d.answer(ofWriting, "which answer is given anew: serial, number, settings or value? ")
		if err != nil || next != ofWriting {
			return next, err
		}
		q, ok := parts[strings.ToLower(answer)]
		if ok && q == ofValue {
			d.given.Samples, d.given.Seconds, d.began = nil, 0, time.Time{}
		}
		if ok && (q != ofSettings || len(d.h.Modes) > 0) {
			return q, nil
		}
		d.benchLine("", "say one of these; or skip, reject or leave")
	}
}

// afresh reads the run anew.
func (d *hand) afresh() error {
	b, err := d.a.Bench(d.cmd.Context(), d.site, d.run)
	if err != nil {
		return err
	}
	if d.b = b; d.h.Place == nil {
		return nil
	}
	if place := b.Place(d.given.Point); place != nil {
		d.h = b.WithCard(b.HandAt(place))
	}
	return nil
}

// leave says what of the device in hand is not written.
func (d *hand) leave() error {
	if d.given.Serial != "" || d.given.Read != 0 || len(d.given.Samples) > 0 || len(d.given.Modes) > 0 {
		fmt.Fprintln(d.out, "What was typed of the device in hand is not written.")
	}
	return errLeave
}
