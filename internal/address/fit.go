package address

import (
	"fmt"
	"slices"

	"sootline"
)

// Fit says whether the devices of one range of a loop get a number each.
type Fit struct {
	Range   Range
	Devices int
	Numbers int    // how many the loop has for them
	Needed  int    // how many devices and spares take
	Spares  int    // how many are to stay free
	HowMany int    // how many devices fit, counted in walk order, with the spares kept
	Why     string // why not all of them do; empty when they do
}

// Fits looks before planning whether the devices fit: one Fit a range, and one
// in all where the loop has a single range.
func Fits(l Loop, s Spares) ([]Fit, error) { return l.fits(s, nil) }

// fits looks whether the devices fit, where the spares may be asked for each block.
func (l Loop) fits(s Spares, blocks [][]int) ([]Fit, error) {
	if err := checked(l, s); err != nil {
		return nil, err
	}
	ranges := []Range{Sensors}
	if l.Span.Separate {
		ranges = append(ranges, Modules)
	}
	var fits []Fit
	for _, r := range ranges {
		f := l.fitOf(r)
		f.Spares = s.of(f.Needed)
		if s.Each {
			f.Spares *= l.blocksOf(r, blocks)
		}
		f.Needed += f.Spares
		l.count(&f)
		fits = append(fits, f)
	}
	return fits, nil
}

// blocksOf counts the blocks that have devices of a range.
func (l Loop) blocksOf(r Range, blocks [][]int) int {
	n := 0
	for _, block := range blocks {
		if slices.ContainsFunc(block, func(i int) bool { return l.rangeOf(&l.Devices[i]) == r }) {
			n++
		}
	}
	return n
}

// fitOf counts the numbers that the devices of a range need, without spares.
func (l Loop) fitOf(r Range) Fit {
	f := Fit{Range: r, Numbers: l.Span.Numbers()}
	for i := range l.Devices {
		d := &l.Devices[i]
		if l.rangeOf(d) == r {
			f.Devices++
			f.Needed += d.width()
		}
	}
	return f
}

// count finds how many devices fit, and why not more: first by counting, then
// by placing them on the empty loop, those that fit in the fewest places first.
func (l Loop) count(f *Fit) {
	left := f.Numbers - f.Spares
	for _, i := range l.Walk() {
		d := &l.Devices[i]
		if l.rangeOf(d) != f.Range {
			continue
		}
		if left -= d.width(); left < 0 {
			break
		}
		f.HowMany++
	}
	if f.HowMany < f.Devices {
		f.Why = fmt.Sprintf("%d devices and %d spares need %d numbers, and loop %s has %d", f.Devices, f.Spares, f.Needed, l.Name, f.Numbers)
		return
	}
	p := newPlanner(l, nil)
	all := p.ofRange(f.Range)
	numbers, out := p.packed(f.Range, all)
	if out >= 0 {
		d := l.Devices[out]
		f.HowMany = len(slices.DeleteFunc(all, func(i int) bool { return numbers[i] == 0 }))
		f.Why = fmt.Sprintf("%s takes %d in a row, up to first number %d at most, and loop %s has no such run left",
			d.Name, d.width(), min(d.Setter.Most(), l.Span.Last-d.width()+1), l.Name)
		if d.width() == 1 {
			f.Why = fmt.Sprintf("%s can be set to %d at most, and loop %s has no number left up to there", d.Name, d.Setter.Most(), l.Name)
		}
	}
}

// err is the sentence for a loop that does not hold its devices.
func (f Fit) err(l Loop) error {
	why := f.Why
	if why == "" {
		why = fmt.Sprintf("%d devices need %d numbers, and the loop has %d", f.Devices, f.Needed, f.Numbers)
	}
	of := "devices"
	if l.Span.Separate {
		of = f.Range.String()
	}
	return sootline.Errorf(sootline.Invalid, "leave fewer spares, or move devices to another loop",
		"loop %s cannot hold all its %s: %s", l.Name, of, why)
}

func checked(l Loop, s Spares) error {
	if err := l.Span.Check(); err != nil {
		return err
	}
	if s.Count < 0 || s.Percent < 0 || s.Percent > 900 || s.Count > 0 && s.Percent > 0 {
		return sootline.Errorf(sootline.Invalid, "give a count or a share in percent, not both",
			"%d spares and %d percent are not a wish for spares", s.Count, s.Percent)
	}
	if s.Each && s.Percent > 0 {
		return sootline.Errorf(sootline.Invalid, "give a count of spares for each block", "a share of %d percent is of all numbers, not of each block", s.Percent)
	}
	for i := range l.Devices {
		d := &l.Devices[i]
		if d.Width < 0 || d.Width > l.Span.Last {
			return sootline.Errorf(sootline.Invalid, "mend the type sheet", "%s takes %d numbers, and loop %s ends at %d", d.Name, d.Width, l.Name, l.Span.Last)
		}
		if err := d.Setter.Check(); err != nil {
			return fmt.Errorf("%s: %w", d.Name, err)
		}
	}
	return nil
}
