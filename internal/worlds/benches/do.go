package benches

import (
	"errors"
	"fmt"
	"slices"
)

// do has a hand take a device, learn its place, set it, and give it as done.
func (p *player) do(who int) error {
	device := p.grab(func(real) bool { return true })
	place, ok, err := p.hand(who, device)
	if err != nil || !ok {
		return err
	}
	if p.truth.start.First == "place" {
		device = p.grab(func(d real) bool { return d.Type == place.Type })
		if p.rng.IntN(12) == 0 { // a wrong one of the same range
			device = p.grab(func(d real) bool { return d.module == place.Module && d.Type != place.Type })
		}
	}
	if device < 0 || p.devices[device].module != place.Module {
		return nil
	}
	p.set(device, place)
	g := p.given(device, place)
	if s, ok := p.bench.(Storage); ok && p.rng.IntN(15) == 0 {
		if err := p.full(s, who, g); err != nil {
			return err
		}
	}
	return p.give(who, device, g)
}

// hand asks which place is next.
func (p *player) hand(who, device int) (Place, bool, error) {
	var of Device
	s := p.truth.start
	if s.First == "device" {
		if device < 0 {
			return Place{}, false, nil
		}
		of = p.devices[device].Device
	}
	place, ok := p.bench.Hand(who, of)
	p.tell("%d holds %v: %s %v", who, of, place.Name, ok)
	left := p.truth.left(p.truth.seenBy(who))
	open := 0
	for _, l := range left {
		if at := s.Places[s.index(l.Place)]; !l.Skipped && (of.Type == "" || at.Type == of.Type) {
			open++
		}
	}
	if !ok {
		if open > 1 { // the other hand may hold one
			return place, false, fmt.Errorf("no place for hand %d, though %d are open", who, open)
		}
		return place, false, nil
	}
	at := s.index(place.Name)
	switch {
	case at < 0 || place.Number != s.Places[at].Number:
		return place, false, fmt.Errorf("hand %d is given %+v, which is not of the run", who, place)
	case !slices.ContainsFunc(left, func(l Left) bool { return l.Place == place.Name }):
		return place, false, fmt.Errorf("hand %d is given %s, which is done", who, place.Name)
	case of.Type != "" && place.Type != of.Type && open > 1:
		return place, false, fmt.Errorf("hand %d holds a %s and is given %s for a %s", who, of.Type, place.Name, place.Type)
	}
	return s.Places[at], true, nil
}

// set sets a device to the number of a place, now and then to another one.
func (p *player) set(device int, place Place) {
	d := &p.devices[device]
	to := place.Number
	if p.rng.IntN(8) == 0 {
		to = p.truth.start.Places[p.rng.IntN(len(p.truth.start.Places))].Number
	}
	if to > 0 && to <= p.truth.start.Most[d.Type] {
		d.carries = to
	}
}

// given is what the hand gives of it: mostly what is there, now and then a serial that it read off another device, or none.
// A number that is not read back is the place's, so that it is left out only where that is what the device carries or where
// the device cannot carry it.
func (p *player) given(device int, place Place) Given {
	d := p.devices[device]
	g := Given{Place: place.Name, Device: d.Device, Back: d.carries}
	cannot := place.Number == 0 || place.Number > p.truth.start.Most[d.Type]
	if d.carries == place.Number && p.rng.IntN(4) == 0 || cannot && p.rng.IntN(2) == 0 {
		g.Back = 0
	}
	switch p.rng.IntN(25) {
	case 0:
		g.Device.Serial = ""
	case 1, 2:
		g.Device.Serial = p.devices[p.rng.IntN(len(p.devices))].Serial
	}
	return g
}

// full gives a device while the storage of a hand is full.
func (p *player) full(s Storage, who int, g Given) error {
	s.Full(who, true)
	g.Sure = true
	_, err := p.bench.Done(who, g)
	s.Full(who, false)
	p.tell("%d gives %+v with full storage: %v", who, g, err)
	if err == nil {
		return errors.New("it could not be stored, and no error is given")
	}
	return p.check()
}

// give gives a device, looks at what is said, and at a question mends, insists, puts it back or rejects it.
func (p *player) give(who, device int, g Given) error {
	blocked, err := p.once(who, device, g)
	if err != nil || !blocked {
		return err
	}
	if err := p.check(); err != nil {
		return fmt.Errorf("after what was not written: %w", err)
	}
	s := p.truth.start
	switch p.rng.IntN(5) {
	case 0, 1: // mends what can be mended
		place := s.Places[s.index(g.Place)]
		if d := &p.devices[device]; place.Number > 0 && place.Number <= s.Most[d.Type] {
			d.carries = place.Number
		}
		g.Device, g.Back = p.devices[device].Device, p.devices[device].carries
		_, err = p.once(who, device, g)
	case 2, 3:
		g.Sure = true
		if g.Back == 0 {
			g.Back = p.devices[device].carries
		}
		_, err = p.once(who, device, g)
	case 4:
		err = p.reject(who, device)
	}
	return err
}

// once gives a device once; blocked says that it was not written.
func (p *player) once(who, device int, g Given) (blocked bool, err error) {
	must := p.truth.must(who, g)
	remarks, err := p.bench.Done(who, g)
	p.tell("%d gives %+v, which truly is %v: %v %v", who, g, p.devices[device], remarks, err)
	if err != nil {
		return false, fmt.Errorf("done: %w", err)
	}
	said := codes(remarks)
	for _, code := range must {
		if !slices.Contains(said, code) {
			return false, fmt.Errorf("%+v: %s is not said, only %v", g, code, said)
		}
	}
	blocked = grave(remarks, Refused) || grave(remarks, Asked) && !g.Sure
	if blocked && len(must) == 0 && p.plain(who, g) {
		return false, fmt.Errorf("%+v is sound, and not taken: %v", g, remarks)
	}
	if blocked {
		return true, nil
	}
	p.devices[device].inBox = false
	line := Line{g.Place, g.Device.Serial, g.Device.Type, p.truth.start.numberOf(g)}
	p.truth.write(act{who: who, what: "done", place: p.truth.start.index(g.Place), device: device, line: line, said: said})
	return false, nil
}

// plain says whether there is nothing at all that could be asked about: a serial of its own that the list has with this type, a
// place that is open, a number that the plan gives to no other.
func (p *player) plain(who int, g Given) bool {
	v, start := p.truth.seenBy(who), p.truth.start
	at := start.Places[start.index(g.Place)]
	for _, other := range start.Places {
		if other.Name != at.Name && (start.overlap(at, at.Number, other, other.Number) || start.overlap(at, start.numberOf(g), other, other.Number)) {
			return false
		}
	}
	if n := start.numberOf(g); n < start.LowestNumber || n > start.Most[g.Device.Type] {
		return false
	}
	open := slices.Contains(p.truth.left(v), Left{Place: g.Place})
	listed := len(start.Box) == 0 || slices.Contains(start.Box, g.Device)
	return open && listed && g.Device.Serial != "" && !p.truth.rejected(v, p.devices, g.Device.Serial) && !start.twice()
}

// rejected says whether a device with a serial was rejected, in the sight of a view.
func (t *truth) rejected(v view, devices []real, serial string) bool {
	return slices.ContainsFunc(t.rejects(v, devices), func(d Device) bool { return d.Serial == serial })
}
