package address

import (
	"cmp"
	"context"
	"slices"
)

// Mistake is a kind of explanation.
type Mistake int

// The kinds of explanation; of two that account for as much, the one named
// first here is the likelier (a choice of ours, no source).
const (
	StillUnset   Mistake = iota // nobody has set the device
	MisSet                      // the device is set to another number
	OtherFitted                 // another type of device is fitted
	Silent                      // the device is not there, has no power or is faulty
	LostStretch                 // neighbours do not answer: the cable is open between them
	Stranger                    // a device answers that the register does not know
	DoubleNumber                // two devices answer to one number
	Exchange                    // two devices have each other's numbers
	ShiftedRun                  // a run of devices is set one number off
	AllMisread                  // every device of a type is set by the same misreading
)

// Misplaced is a device and the number that it is thought to answer to.
type Misplaced struct {
	Device int // index in Loop.Devices
	Wanted int
	At     int // 0: it does not answer
}

// Explanation is one mistake that would account for some of the traces.
type Explanation struct {
	Kind    Mistake
	How     Misreading  // for MisSet, DoubleNumber and AllMisread where Misread
	Misread bool        // the numbers come of a misreading
	Moved   []Misplaced // the devices that are not as they should be
	Number  int         // the number where it shows first
	Clears  int         // traces that it accounts for
	Left    int         // mistakes that would have to be made beside it, each counted alone
	Says    string      // what happened, as a sentence
	Prove   string      // how to make sure on site

	accounted []int // answers that it accounts for without moving a device
}

// Diagnosis is what a list of what answers tells.
type Diagnosis struct {
	Traces []Trace // what differs, by range and number
	// Mistakes together account for all traces, the one that accounts for most
	// first. Each is the likeliest single explanation of what those before it
	// leave open.
	Mistakes []Explanation
	// Rivals of the first mistake account for as much with as few mistakes.
	Rivals []Explanation
}

// mostRivals is how many rivals are worth reading.
const mostRivals = 5

// Explain compares what answers on a loop with the numbers its devices should
// have, and looks for the fewest mistakes that account for the differences: at
// each turn every single mistake is tried, and the one is taken that leaves the
// fewest others to be made. A single mistake that accounts for everything is
// always found; several are found one by one, so that their number is an upper
// bound. Devices that should have no number are left out. It gives the error of the
// context where that ends first.
func Explain(ctx context.Context, l Loop, answers []Answer) (Diagnosis, error) {
	s, err := newScene(l, answers)
	if err != nil {
		return Diagnosis{}, err
	}
	b := belief{number: make([]int, len(l.Devices)), accounted: map[int]bool{}}
	for i, d := range s.loop.Devices {
		b.number[i] = d.Wanted
	}
	on := s.newBoard(b)
	d := Diagnosis{Traces: on.all()}
	for traces := d.Traces; len(traces) > 0; traces = on.all() {
		if err := ctx.Err(); err != nil {
			return Diagnosis{}, err
		}
		candidates := on.candidates(traces)
		if len(d.Mistakes) == 0 {
			d.Rivals = rivals(candidates)
		}
		d.Mistakes = append(d.Mistakes, candidates[0])
		on = s.newBoard(on.after(candidates[0]))
	}
	for i := range d.Mistakes {
		s.tell(&d.Mistakes[i])
	}
	for i := range d.Rivals {
		s.tell(&d.Rivals[i])
	}
	return d, nil
}

// rivals are the candidates after the first that are as good and say something
// else.
func rivals(candidates []Explanation) []Explanation {
	told := candidates[:1:1]
	for _, c := range candidates[1:] {
		same := func(e Explanation) bool { return e.Kind == c.Kind && slices.Equal(e.Moved, c.Moved) }
		if c.Left == candidates[0].Left && len(told) <= mostRivals && !slices.ContainsFunc(told, same) {
			told = append(told, c)
		}
	}
	return told[1:]
}

// candidates tries every single mistake and orders those that account for some
// trace, the likeliest first. Some always do: each trace has an explanation of
// its own.
func (b *board) candidates(traces []Trace) []Explanation {
	by := sorted(traces)
	var all []Explanation
	for _, c := range slices.Concat(b.alone(by), b.paired(by), b.doubled(by), b.exchanged(by), b.shifted(by), b.lost(by), b.allMisread()) {
		if c.Clears, c.Left = b.try(c); c.Clears > 0 {
			all = append(all, c)
		}
	}
	slices.SortStableFunc(all, func(a, b Explanation) int {
		return cmp.Or(cmp.Compare(a.Left, b.Left), cmp.Compare(a.doubt(), b.doubt()), cmp.Compare(len(a.Moved), len(b.Moved)), cmp.Compare(a.Number, b.Number))
	})
	return all
}

// doubt orders kinds of explanation; a number that comes of a misreading is
// likelier than one that comes of nothing known.
func (e Explanation) doubt() int {
	if e.Misread {
		return 10*int(e.Kind) + int(e.How)
	}
	return 10*int(e.Kind) + 9
}

// bySign is the traces by sign.
type bySign struct{ missing, unexpected, wrong, flicker []Trace }

func sorted(traces []Trace) bySign {
	var by bySign
	for _, t := range traces {
		switch t.Sign {
		case NoAnswer:
			by.missing = append(by.missing, t)
		case Unexpected:
			by.unexpected = append(by.unexpected, t)
		case WrongType:
			by.wrong = append(by.wrong, t)
		case Flickering:
			by.flicker = append(by.flicker, t)
		}
	}
	return by
}
