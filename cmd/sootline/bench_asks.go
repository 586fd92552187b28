package main

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// kept says in a prompt what an empty answer leaves as it is.
func kept(value, empty string) string {
	if value == "" {
		return empty
	}
	return "empty: " + value + " stays"
}

func (d *hand) askSerial() (question, error) {
	prompt := "serial: "
	if d.given.Serial != "" {
		prompt = "serial (" + kept(d.given.Serial, "") + "): "
	}
	answer, next, err := d.answer(ofSerial, prompt)
	if err != nil || next != ofSerial {
		return next, err
	}
	d.given.Serial = cmp.Or(answer, d.given.Serial)
	if d.b.Said.First == sootline.DeviceFirst && d.given.Serial != "" && !d.wish.New {
		found, ok := d.b.HandOf(sootline.BoxDevice{Unit: d.given.Unit, Type: d.given.Type})
		if ok && (d.h.Place == nil || found.Place != d.h.Place) {
			d.place(d.b.WithCard(found))
			d.printHand(d.b, d.h)
			d.forewarn()
		}
	}
	return d.heard(ofSerial)
}

// askNumber takes one whole number, and nothing beside it: samples that come one
// question early are none.
func (d *hand) askNumber() (question, error) {
	before := ""
	if d.given.Read != 0 {
		before = strconv.Itoa(d.given.Read)
	}
	answer, next, err := d.answer(ofNumber, "number read back ("+kept(before, "empty: not read back")+"): ")
	if err != nil || next != ofNumber {
		return next, err
	}
	if answer != "" {
		n, err := strconv.Atoi(answer)
		if err != nil || n < 1 || n > 9999 {
			fmt.Fprintf(d.out, "   %q is not one number from 1 to 9999\n", answer)
			return ofNumber, nil
		}
		d.given.Read = n
	}
	return d.heard(ofNumber)
}

func (d *hand) askSettings() (question, error) {
	for _, m := range d.h.Modes {
		prompt := fmt.Sprintf("%s found (%s is wanted; %s): ", m.Name, m.Choice, kept(d.given.Modes[m.Name], "empty: not looked at"))
		answer, next, err := d.answer(ofSettings, prompt, m.Choice)
		if err != nil || next != ofSettings {
			return next, err
		}
		if answer != "" {
			if d.given.Modes == nil {
				d.given.Modes = map[string]string{}
			}
			d.given.Modes[m.Name] = answer
		}
	}
	return d.heard(ofSettings)
}

// askSamples takes samples as they come, and judges them as far as they have come.
func (d *hand) askSamples() (question, error) {
	if n := len(d.given.Samples); n > 0 {
		d.benchLine("", count(n, "sample so far", "samples so far"))
	}
	for {
		answer, next, err := d.answer(ofValue, "samples (empty: no more): ")
		if err != nil || next != ofValue {
			return next, err
		}
		if strings.TrimSpace(answer) == "" {
			return ofWriting, nil
		}
		samples, err := app.TypedSamples(answer)
		if err != nil {
			fmt.Fprintf(d.out, "   %s\n", err)
			continue
		}
		if d.began.IsZero() {
			d.began = now()
		}
		d.given.Samples, d.given.Seconds = append(d.given.Samples, samples...), now().Sub(d.began).Seconds()
		if looked := d.b.Look(d.given.Given); valueWords(looked.Value) != "" {
			d.benchLine("", valueWords(looked.Value))
		}
	}
}
