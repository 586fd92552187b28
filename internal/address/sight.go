package address

import (
	"fmt"
	"slices"
)

// Sighting is a device and the number at which a list shows it.
type Sighting struct{ Device, At int }

// Sightings tells of which devices a list shows the number at which they answer:
// those whose serial it gives, and those that alone can be what answers. Of the
// others it says, a sentence a kind, what the list does not show.
func Sightings(l Loop, answers []Answer, d Diagnosis) (seen []Sighting, untold []string, err error) {
	s, err := newScene(l, answers)
	if err != nil {
		return nil, nil, err
	}
	w := &witness{scene: s, diagnosis: d, at: map[int]int{}, by: map[int]int{}}
	for k, mistake := range d.Mistakes {
		for _, moved := range mistake.Moved {
			w.at[moved.Device], w.by[moved.Device] = moved.At, k
		}
	}
	for _, i := range s.walk {
		at, moved := w.at[i]
		if !moved {
			at = s.loop.Devices[i].Wanted
		}
		if at == 0 || at >= len(s.at[0]) {
			continue
		}
		if why := w.doubts(i, at); why != shown {
			w.untold[why] = append(w.untold[why], i)
			continue
		}
		seen = append(seen, Sighting{i, at})
	}
	return seen, w.sentences(), nil
}

// doubt is a kind of reason for which a list does not show where a device is.
type doubt int

const (
	shown     doubt = iota
	unheard         // nothing that may be it answers there: what is told of that is a mistake's
	elsewhere       // its serial answers at another number too
	stayed          // it was found or set elsewhere before, and may answer there still
	another         // another device may be what answers there
	rivalled        // another explanation that is not far off has it elsewhere
	doubts
)

// witness holds a list against what is thought to have happened.
type witness struct {
	*scene
	diagnosis Diagnosis
	at, by    map[int]int // by device: the number it is thought to be at, and the mistake that says so
	untold    [doubts][]int
}

// doubts says why a list does not show a device at a number.
func (w *witness) doubts(i, at int) doubt {
	var own []int // numbers at which its serial answers
	for a, owner := range w.owner {
		if n := w.answers[a].Number; owner == i && !slices.Contains(own, n) {
			own = append(own, n)
		}
	}
	switch {
	case len(own) > 1 || len(own) == 1 && own[0] != at:
		return elsewhere
	case len(own) == 1:
		return shown
	}
	heard := w.heardAs(i, at)
	d := &w.loop.Devices[i]
	switch {
	case len(heard) == 0:
		return unheard
	case d.Seen && d.Found != at && d.Found < len(w.scene.at[0]) && len(w.heardAs(i, d.Found)) > 0:
		return stayed
	case w.mayBeAnother(i, heard):
		return another
	case w.isRivalled(i, at):
		return rivalled
	}
	return shown
}

// heardAs lists the answers at a number that may be a device's.
func (w *witness) heardAs(i, n int) []int {
	var all []int
	for _, a := range w.scene.at[w.loop.rangeOf(&w.loop.Devices[i])][n] {
		if w.agrees(i, a) {
			all = append(all, a)
		}
	}
	return all
}

// mayBeAnother reports whether what is taken for one device by itself may be
// another that is missing. A misreading that makes the one number of the other
// points at its device; one switch or dial off points at many.
func (w *witness) mayBeAnother(i int, heard []int) bool {
	k, moved := w.by[i]
	if !moved {
		return false
	}
	mistake := &w.diagnosis.Mistakes[k]
	switch mistake.Kind {
	case MisSet, DoubleNumber:
		if mistake.Misread && mistake.How < OneSwitch && k < mostRivalled {
			return false
		}
	case StillUnset:
	default:
		return false
	}
	for _, t := range w.diagnosis.Traces {
		other := t.Device
		if t.Sign != NoAnswer || other == i || slices.Contains(w.owner, other) {
			continue
		}
		if slices.ContainsFunc(heard, func(a int) bool { return w.agrees(other, a) }) {
			return true
		}
	}
	return false
}

// nearRival is how much less likely a rival is, in decibans, that still leaves a
// device's number open: ten times (common practice for odds, no source).
const nearRival = 10

// isRivalled reports whether an explanation that is not far off has a device
// at another number.
func (w *witness) isRivalled(i, at int) bool {
	for k := range w.diagnosis.Rivals {
		r := &w.diagnosis.Rivals[k]
		if r.Far >= nearRival {
			continue
		}
		m := slices.IndexFunc(r.Moved, func(m Misplaced) bool { return m.Device == i })
		mistake, moved := w.by[i]
		if m >= 0 && r.Moved[m].At != at || m < 0 && moved && slices.Contains(r.Instead, mistake) {
			return true
		}
	}
	return false
}

// sentences tells what the list does not show.
func (w *witness) sentences() []string {
	var all []string
	for why, format := range map[doubt]string{
		elsewhere: "the serial answers at another number than the explanation has, or at two: %s",
		stayed:    "found or set elsewhere before, where something that may be it answers too, and without its serial the list cannot tell: %s",
		another:   "what answers may be another of the devices that are missing, and without serials the list cannot tell: %s",
		rivalled:  "another explanation that is not much less likely has it elsewhere: %s",
	} {
		if of := w.untold[why]; len(of) > 0 {
			all = append(all, fmt.Sprintf(format, w.namesOf(of, why)))
		}
	}
	slices.Sort(all)
	return all
}

// namesOf lists devices, with the number at which they stood where that is the doubt.
func (w *witness) namesOf(devices []int, why doubt) string {
	var all []string
	for _, i := range devices {
		name := w.nameOf(i)
		if why == stayed {
			name += fmt.Sprintf(" at %d", w.loop.Devices[i].Found)
		}
		all = append(all, name)
	}
	return listed(all)
}
