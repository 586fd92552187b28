package app

import (
	"fmt"
	"slices"
	"time"

	"sootline"
)

// look is the last look at a point that this intake took, by its day alone.
type look struct {
	at       time.Time
	quantity string
	samples  []float64
}

// remarkSecond tells of a reading of a day on which the point had another value, where neither says at what time: one of
// them may be mistyped, or be of another point. Both are kept.
func (t *taker) remarkSecond(o *TableOutcome, line int, p *sootline.Point, e *sootline.Entry, read sootline.Read) {
	if !e.Day {
		return
	}
	if t.looks == nil {
		t.looks = map[sootline.ID]look{}
	}
	before, again := t.looks[p.ID]
	again = again && before.at.Equal(e.At) && before.quantity == read.Quantity
	if !again {
		at := slices.IndexFunc(p.Readings, func(r sootline.Reading) bool { return r.At.Equal(e.At) && r.Quantity == read.Quantity })
		if again = at >= 0; again {
			before.samples = p.Readings[at].Samples
		}
	}
	t.looks[p.ID] = look{e.At, read.Quantity, read.Samples}
	if again && !slices.Equal(before.samples, read.Samples) {
		o.remark(line, fmt.Sprintf("%s has %v on %s as well as %v: both are kept; withdraw the one that is wrong", p.Ref(), before.samples, t.day(e.At), read.Samples))
	}
}
