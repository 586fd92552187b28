package app

import (
	"context"
	"slices"
	"time"

	"sootline"
	"sootline/internal/circuit"
)

// How far the table and the assumed temperature of a cable may be off: judgements
// of ours, no source.
const (
	cableTolerance = 0.05
	cableKelvin    = 10
)

// Located is where a fault lies, with what was assumed of the loop to say so.
type Located struct {
	circuit.Location
	Assumed []string
}

// FindShort says where along a loop a short between the cores lies. The
// tolerances of the cable are added here.
func (a *App) FindShort(ctx context.Context, site sootline.ID, id sootline.LoopID, reading ShortReading) (*Located, error) {
	reading.Cable, reading.Kelvin = cableTolerance, cableKelvin
	return a.locate(ctx, site, id, func(c *circuit.Circuit) (circuit.Location, error) { return c.LocateShort(reading) })
}

// FindBreak says where along a loop a core is interrupted, from the capacitance
// that each end sees; share is the largest error of one reading.
func (a *App) FindBreak(ctx context.Context, site sootline.ID, id sootline.LoopID, fromOut, fromIn, share float64) (*Located, error) {
	return a.locate(ctx, site, id, func(c *circuit.Circuit) (circuit.Location, error) { return c.LocateBreak(fromOut, fromIn, share) })
}

// FindEarth says where along a loop one core touches earth. The tolerances of the
// cable are added here.
func (a *App) FindEarth(ctx context.Context, site sootline.ID, id sootline.LoopID, reading EarthReading) (*Located, error) {
	reading.Cable, reading.Kelvin = cableTolerance, cableKelvin
	return a.locate(ctx, site, id, func(c *circuit.Circuit) (circuit.Location, error) { return c.LocateEarth(reading) })
}

// loopOf gives a loop of the register, as it is now, with the draft that says what was assumed of it.
func (a *App) loopOf(ctx context.Context, site sootline.ID, id sootline.LoopID) (circuit.Loop, *drafted, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return circuit.Loop{}, nil, err
	}
	d, err := draftOf(r, id, WhatIf{})
	if err != nil {
		return circuit.Loop{}, nil, err
	}
	loop, _, err := d.loop()
	return loop, d, err
}

func (a *App) locate(ctx context.Context, site sootline.ID, id sootline.LoopID, find func(*circuit.Circuit) (circuit.Location, error)) (*Located, error) {
	loop, d, err := a.loopOf(ctx, site, id)
	if err != nil {
		return nil, err
	}
	c, err := circuit.New(loop)
	if err != nil {
		return nil, err
	}
	at, err := find(c)
	gaps := slices.DeleteFunc(d.gaps, func(g circuit.Gap) bool { return !g.Cable })
	return &Located{at, circuit.CountGaps(gaps)}, err
}
