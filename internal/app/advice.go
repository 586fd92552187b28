package app

import (
	"context"
	"fmt"
	"time"

	"sootline"
	"sootline/internal/circuit"
)

// LoopAdvice is what a person wants to know of a loop, as sentences with their
// reasons.
type LoopAdvice struct{ Sentences []string }

// AdviseLoop says how much longer the cable may be, which cross-section would
// do, where one more isolator helps most, and how many more of a type fit.
func (a *App) AdviseLoop(ctx context.Context, site sootline.ID, on time.Time, id sootline.LoopID, typ string) (*LoopAdvice, error) {
	r, err := a.Register(ctx, site, on)
	if err != nil {
		return nil, err
	}
	b := &loopBuilder{r: r, id: id, short: map[string][]string{}}
	loop, alarms, err := b.build()
	if err != nil {
		return nil, err
	}
	advice := &LoopAdvice{}
	say := func(format string, args ...any) {
		advice.Sentences = append(advice.Sentences, fmt.Sprintf(format, args...))
	}
	stretch, err := loop.Stretch(alarms)
	if err != nil {
		return nil, err
	}
	say("longer cable: %.2f times as long at most, %v in all: %s", stretch.Factor, stretch.Metres, stretch.Reason)
	cross, err := loop.CrossSection(alarms)
	if err != nil {
		return nil, err
	}
	say("cross-section: %s", cross.Reason)
	isolator, ok, err := loop.NextIsolator()
	if err != nil {
		return nil, err
	}
	if ok {
		say("one more isolator: %s", isolator.Reason)
	}
	if typ == "" {
		return advice, nil
	}
	return advice, b.room(loop, alarms, typ, say)
}

// room says where the most devices of a type would fit.
func (b *loopBuilder) room(loop circuit.Loop, alarms circuit.Alarms, typ string, say func(string, ...any)) error {
	sheet := b.r.Sheet(typ)
	if sheet == nil {
		return sootline.Errorf(sootline.NotFound, "name a type that has a sheet, with --type", "there is no type sheet named %q", typ)
	}
	rooms, err := loop.Room(b.device("one more", typ, sheet), alarms)
	if err != nil || len(rooms) == 0 {
		return err
	}
	c, err := circuit.New(loop)
	if err != nil {
		return err
	}
	best := rooms[0]
	say("more of type %s: %d fit %s, where the most do: %s", sheet.Name, best.More, c.Between(best.Segment), best.Reason)
	return nil
}

// LoopReading is what was measured of a faulty loop.
type LoopReading struct {
	FromOut, FromIn float64 // ohms across the pair at each end
	EndToEnd        float64 // ohms of both cores in series, end to end; 0: from the cable's table
	Meter           float64 // largest error of one reading, in ohms
}

// FindShort says where along a loop a short between the cores lies.
func (a *App) FindShort(ctx context.Context, site sootline.ID, id sootline.LoopID, reading LoopReading) (circuit.Location, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return circuit.Location{}, err
	}
	loop, _, err := (&loopBuilder{r: r, id: id, short: map[string][]string{}}).build()
	if err != nil {
		return circuit.Location{}, err
	}
	c, err := circuit.New(loop)
	if err != nil {
		return circuit.Location{}, err
	}
	return c.LocateShort(circuit.ShortReading{
		FromOut: circuit.Ohms(reading.FromOut), FromIn: circuit.Ohms(reading.FromIn), EndToEnd: circuit.Ohms(reading.EndToEnd),
		Meter: circuit.Ohms(reading.Meter), Cable: cableTolerance, Kelvin: cableKelvin,
	})
}

// How far the table and the assumed temperature of a cable may be off: judgements
// of ours, no source.
const (
	cableTolerance = 0.05
	cableKelvin    = 10
)
