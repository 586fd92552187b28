package app

import (
	"context"
	"fmt"
	"time"

	"sootline"
	"sootline/internal/circuit"
)

// LoopAdvice is what a person wants to know of a loop. Each part has its reason
// in words.
type LoopAdvice struct {
	Stretch      circuit.Stretch
	CrossSection circuit.CrossSection
	NextIsolator *circuit.NextIsolator // nil: no place is left
	Isolators    *IsolatorsAnew        // all of them planned anew
	Type         string                // whose room was asked for; empty: nobody asked
	Rooms        []Room                // from the roomiest cable on
	Numbers      int                   // that the loop has left
	Assumed      []string
}

// Room is a cable and how many devices more it takes.
type Room struct {
	Between string
	circuit.Room
}

// AdviseLoop says how much longer the cable may be, which cross-section would
// do, where one more isolator helps most, and how many more of a type fit.
func (a *App) AdviseLoop(ctx context.Context, site sootline.ID, on time.Time, id sootline.LoopID, typ string) (*LoopAdvice, error) {
	r, err := a.Register(ctx, site, on)
	if err != nil {
		return nil, err
	}
	d, err := draftOf(r, id, WhatIf{})
	if err != nil {
		return nil, err
	}
	loop, demand, err := d.loop()
	if err != nil {
		return nil, err
	}
	alarms := demand.Alarms
	advice := &LoopAdvice{}
	if advice.Stretch, err = loop.Stretch(alarms); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if advice.CrossSection, err = loop.CrossSection(alarms); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	isolator, ok, err := loop.NextIsolator()
	if err != nil {
		return nil, err
	}
	if ok {
		advice.NextIsolator = &isolator
	}
	if err == nil {
		err = ctx.Err()
	}
	if err == nil {
		advice.Isolators, err = isolatorsAnew(r, id)
	}
	if typ != "" && err == nil {
		err = a.room(advice, d, loop, alarms, typ)
	}
	advice.Assumed = circuit.CountGaps(d.gaps)
	return advice, err
}

// numbersLeft counts the numbers of a loop that no device takes and that are not
// kept free.
func numbersLeft(r *sootline.Register, id sootline.LoopID) int {
	loop := r.Loop(id)
	left := loop.Last - loop.First + 1 - len(loop.Reserved)
	for _, p := range r.Points() {
		if p.LoopID() == id {
			left -= r.Sheet(p.Type).Numbers()
		}
	}
	return max(left, 0)
}

// room says how many devices of a type more each cable takes.
func (a *App) room(advice *LoopAdvice, d *drafted, loop circuit.Loop, alarms circuit.Alarms, typ string) error {
	device, _, err := d.another(typ)
	if err != nil {
		return err
	}
	advice.Type, advice.Numbers = d.r.Sheet(typ).Name, numbersLeft(d.r, d.id)
	c, err := circuit.New(loop)
	if err != nil {
		return err
	}
	rooms, err := loop.Room(device, alarms, func(cables, of int) {
		a.progress(fmt.Sprintf("trying cable %d of %d", cables, of), 0, 0)
	})
	for _, room := range rooms {
		advice.Rooms = append(advice.Rooms, Room{c.Between(room.Segment), room})
	}
	return err
}
