package cards

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Decode reads the number that a card shows, for a type set in a way ("switches 7 high-first on-is-zero", "dials 15",
// "electronic" and so on). What a person could not read without doubt is an error: a lever in the middle, a pointer between
// two digits, sides without words, switches without numbers.
func Decode(svg []byte, how string) (int, error) {
	w, err := parseWay(how)
	if err != nil {
		return 0, err
	}
	seen, err := look(svg)
	if err != nil {
		return 0, err
	}
	switch w.what {
	case "switches":
		return seen.switches(w)
	case "dials":
		return seen.dials(w)
	}
	if len(seen["card-frame"])+len(seen["card-dial"]) > 0 {
		return 0, fmt.Errorf("%s has neither switches nor dials, and some are drawn", how)
	}
	return seen.figures()
}

// Figures reads the number that stands on the card in figures.
func Figures(svg []byte) (int, error) {
	seen, err := look(svg)
	if err != nil {
		return 0, err
	}
	return seen.figures()
}

func (p picture) figures() (int, error) {
	if len(p["card-number"]) != 1 {
		return 0, fmt.Errorf("%d texts card-number", len(p["card-number"]))
	}
	return strconv.Atoi(p["card-number"][0].words)
}

// switches reads a row of switches.
func (p picture) switches(w way) (int, error) {
	frames, levers := p["card-frame"], p["card-lever"]
	if len(frames) != w.size || len(levers) != w.size || len(p["card-dial"]) > 0 {
		return 0, fmt.Errorf("%d frames and %d levers for %d switches", len(frames), len(levers), w.size)
	}
	toOn, err := p.toOn(frames)
	if err != nil {
		return 0, err
	}
	number, seen := 0, map[int]bool{}
	for _, f := range frames {
		name, err := p.nameOf(f, frames)
		if err != nil {
			return 0, err
		}
		if name < 1 || name > w.size || seen[name] {
			return 0, fmt.Errorf("switch %d twice, or not of %d", name, w.size)
		}
		seen[name] = true
		on, err := isOn(f, levers, toOn)
		if err != nil {
			return 0, fmt.Errorf("switch %d: %w", name, err)
		}
		counts := 1 << (name - 1)
		if w.highFirst {
			counts = 1 << (w.size - name)
		}
		if on != w.onIsZero {
			number += counts
		}
	}
	return number, nil
}

// toOn is the direction from the side of OFF to that of ON, by the words beside the row. A row may have them at both ends.
func (p picture) toOn(frames []shape) (point, error) {
	var on, off, all []point
	for _, s := range p["card-side"] {
		words := strings.Fields(strings.ToUpper(s.words))
		switch {
		case len(words) > 0 && words[0] == "ON":
			on = append(on, s.at())
		case len(words) > 0 && words[0] == "OFF":
			off = append(off, s.at())
		}
	}
	for _, f := range frames {
		all = append(all, f.at())
	}
	switch {
	case len(on) > 0 && len(off) > 0:
		return middle(on...).less(middle(off...)), nil
	case len(on) > 0:
		return middle(on...).less(middle(all...)), nil
	case len(off) > 0:
		return middle(all...).less(middle(off...)), nil
	}
	return point{}, errors.New("no words say which side is ON")
}

// isOn says on which side of its frame the lever stands.
func isOn(frame shape, levers []shape, toOn point) (bool, error) {
	lever := levers[nearest(levers, frame.at())]
	for _, corner := range lever.points {
		if !inside(corner, frame) {
			return false, errors.New("no lever is inside its frame")
		}
	}
	by := lever.at().less(frame.at())
	along := slide(frame, by)
	if math.Abs(by.dot(along)) < 0.1*along.dot(along) {
		return false, errors.New("the lever stands in the middle")
	}
	if math.Abs(toOn.dot(along)) < 0.1*along.dot(along) {
		return false, errors.New("the words do not say which half is ON")
	}
	return by.dot(along) > 0 == (toOn.dot(along) > 0), nil
}

// slide is the edge of a frame along which its lever is off the middle.
func slide(frame shape, by point) point {
	a, b := frame.points[1].less(frame.points[0]), frame.points[3].less(frame.points[0])
	if math.Abs(by.dot(b))/b.dot(b) > math.Abs(by.dot(a))/a.dot(a) {
		return b
	}
	return a
}

// inside says whether a place is in a frame, with a hundredth of its size to spare.
func inside(at point, frame shape) bool {
	a, b := frame.points[1].less(frame.points[0]), frame.points[3].less(frame.points[0])
	from := at.less(frame.points[0])
	u, v := from.dot(a)/a.dot(a), from.dot(b)/b.dot(b)
	return u > -0.01 && u < 1.01 && v > -0.01 && v < 1.01
}

// nameOf reads the number under a switch: the name that is nearer to it than to any other.
func (p picture) nameOf(f shape, frames []shape) (int, error) {
	found := []int(nil)
	for _, name := range p["card-name"] {
		if n, err := strconv.Atoi(name.words); err == nil && frames[nearest(frames, name.at())].at() == f.at() {
			found = append(found, n)
		}
	}
	if len(found) != 1 {
		return 0, fmt.Errorf("a switch has %d numbers", len(found))
	}
	return found[0], nil
}

// dials reads tens and units.
func (p picture) dials(w way) (int, error) {
	dials := p["card-dial"]
	if len(dials) != 2 || len(p["card-pointer"]) != 2 || len(p["card-frame"]) > 0 {
		return 0, fmt.Errorf("%d dials and %d pointers for tens and units", len(dials), len(p["card-pointer"]))
	}
	number, seen := 0, map[string]bool{}
	for i := range dials {
		name := p.dialName(dials, i)
		most, counts := 9, 1
		switch name {
		case "TENS":
			most, counts = w.size, 10
		case "UNITS":
		default:
			return 0, fmt.Errorf("a dial is called %q", name)
		}
		if seen[name] {
			return 0, fmt.Errorf("two dials %s", name)
		}
		seen[name] = true
		digit, err := p.digit(dials, i, most)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", name, err)
		}
		number += digit * counts
	}
	return number, nil
}

func (p picture) dialName(dials []shape, i int) string {
	for _, s := range p["card-name"] {
		if nearest(dials, s.at()) == i {
			return strings.ToUpper(s.words)
		}
	}
	return ""
}

// digit reads one dial, whose digits go from 0 to the most.
func (p picture) digit(dials []shape, i, most int) (int, error) {
	centre := dials[i].at()
	direction, err := p.pointed(dials, i)
	if err != nil {
		return 0, err
	}
	seen, best, next := map[int]bool{}, math.Inf(1), math.Inf(1)
	digit := -1
	for _, s := range p["card-digit"] {
		n, err := strconv.Atoi(s.words)
		if err != nil || nearest(dials, s.at()) != i {
			continue
		}
		if seen[n] || n < 0 || n > most {
			return 0, fmt.Errorf("%d twice, or beyond %d", n, most)
		}
		seen[n] = true
		switch apart := turn(s.at().less(centre).angle(), direction); {
		case apart < best:
			best, next, digit = apart, best, n
		case apart < next:
			next = apart
		}
	}
	if len(seen) != most+1 {
		return 0, fmt.Errorf("%d digits of %d", len(seen), most+1)
	}
	if best > next/2 {
		return 0, errors.New("the pointer stands between two digits")
	}
	return digit, nil
}

// pointed is where the pointer of a dial points: from its end at the centre to the other one.
func (p picture) pointed(dials []shape, i int) (float64, error) {
	centre := dials[i].at()
	for _, line := range p["card-pointer"] {
		from, to := line.points[0], line.points[1]
		if to.far(centre) < from.far(centre) {
			from, to = to, from
		}
		if nearest(dials, from) != i {
			continue
		}
		if from.far(centre) > 0.2*from.far(to) {
			return 0, errors.New("the pointer does not begin at the centre")
		}
		return to.less(from).angle(), nil
	}
	return 0, errors.New("no pointer")
}
