package demo

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// pick takes up to n points that fit and have no trouble of their own yet, and
// reserves them.
func (w *world) pick(n int, fits func(*point) bool) []*point {
	var free []*point
	for _, p := range w.points {
		if !w.taken[p] && fits(p) {
			free = append(free, p)
		}
	}
	w.rng.Shuffle(len(free), func(i, j int) { free[i], free[j] = free[j], free[i] })
	free = free[:min(n, len(free))]
	for _, p := range free {
		w.taken[p] = true
	}
	return free
}

// calm reports whether a point is a smoke detector in a room so clean that a
// trouble planted there is not drowned by dust.
func calm(p *point) bool { return p.is(smoke) && p.room.dust < quiet }

func (w *world) tell(kind TruthKind, at time.Time, text string, points ...*point) {
	truth := Truth{Kind: kind, At: at, Text: text}
	for _, p := range points {
		truth.Points = append(truth.Points, p.ref.String())
	}
	w.truths = append(w.truths, truth)
}

// plantNumbers makes the troubles with numbers, and the point that nobody sees.
func (w *world) plantNumbers() {
	next := map[*point]*point{}
	for i, p := range w.points[1:] {
		next[w.points[i]] = p
	}
	hasTwin := func(p *point) bool {
		twin := next[p]
		return calm(p) && twin != nil && calm(twin) && twin.room == p.room
	}
	for _, p := range w.pick(1, hasTwin) {
		twin := next[p]
		twin.ref = p.ref
		p.unread, twin.unread, w.taken[twin] = true, true, true
		w.tell(DuplicateNumber, w.from, fmt.Sprintf("The schedule gives number %d to two devices, %q and %q.",
			p.ref.Number, p.location, twin.location), p)
	}
	for _, p := range w.pick(1, calm) {
		was := p.ref.Number
		p.ref.Number = unsetNumber
		w.tell(UnsetNumber, w.from, fmt.Sprintf("The device at %q was never given a number; %d is free for it.", p.location, was), p)
	}
	for _, p := range w.pick(1, calm) {
		p.unread = true
		w.tell(NeverRead, p.fitted, fmt.Sprintf("Nobody ever got to the detector at %q: no reading, no test.", p.location), p)
	}
}

// noisySD is the spread of the noisy unit, in counts.
const noisySD = 5

// plantUnits makes the units that were odd from the beginning.
func (w *world) plantUnits() {
	for _, p := range w.pick(1, calm) {
		p.sd = noisySD
		w.tell(Noisy, w.from, fmt.Sprintf("Readings scatter with a standard deviation of %d counts; the type's is %g.", noisySD, p.device.sd), p)
	}
	for _, p := range w.pick(1, calm) {
		value := float64(int(p.clean) + 2)
		p.clean, p.sd, p.swing = value, 0, 0
		p.spells = []spell{{from: w.from, rest: value}}
		w.tell(Stuck, w.from, fmt.Sprintf("Every reading is %g.", value), p)
	}
	farToGo := func(p *point) bool { return calm(p) && p.swing == 0 && p.clean <= p.device.clean }
	for _, p := range w.pick(1, farToGo) {
		atEnd := p.device.high - 1
		p.spells[0].rate = 0
		p.spells[0].bend = (atEnd - p.clean) / (Years * Years)
		w.tell(Accelerating, w.from, fmt.Sprintf("The rise grows year by year; the level reaches %.1f at the end, the high limit is %g.", atEnd, p.device.high), p)
	}
}

// plantSlip writes one reading of the last year but one down at ten times its
// value.
func (w *world) plantSlip(readings []reading) {
	var rows []int
	for i, r := range readings {
		if r.year == Years-2 && calm(r.point) && !w.taken[r.point] {
			rows = append(rows, i)
		}
	}
	r := &readings[rows[w.rng.IntN(len(rows))]]
	r.samples = []int{r.samples[0] * 10}
	w.tell(Slip, r.at, fmt.Sprintf("%d was written for %d.", r.samples[0], r.samples[0]/10), r.point)
}

// seeEnd tells what is so of whole groups, and of every point when the story
// ends.
func (w *world) seeEnd() {
	var bandless []*point
	rooms := map[string][]*point{}
	var dustyRooms []string
	for _, p := range w.points {
		switch {
		case p.is(smoke) && p.room.dust >= dusty:
			if rooms[p.room.name] == nil {
				dustyRooms = append(dustyRooms, p.room.name)
			}
			rooms[p.room.name] = append(rooms[p.room.name], p)
		case p.is(gas) && len(p.spells) == 1:
			w.tell(AgeingCell, p.fitted.AddDate(p.device.life, 0, 0),
				fmt.Sprintf("The cell sank from %.1f to %.1f.", p.level(w.from), p.level(w.until)), p)
		case p.judged() && !p.device.banded():
			bandless = append(bandless, p)
		}
		w.judgeAtEnd(p)
	}
	for _, name := range dustyRooms {
		w.tell(DustyRoom, w.from, fmt.Sprintf("%s: %g counts a year settle in a smoke detector.", name, rooms[name][0].room.dust), rooms[name]...)
	}
	w.tell(NoBand, w.from, fmt.Sprintf("The sheet of type %s states no limits.", bandless[0].device.name), bandless...)
}

// judgeAtEnd tells whether the point's level is outside its band at the end, or
// will be before the next visit.
func (w *world) judgeAtEnd(p *point) {
	if !p.judged() || !p.device.banded() || p.unread {
		return
	}
	inside := func(at time.Time) bool {
		level := p.level(at)
		return level >= p.device.low && level <= p.device.high
	}
	if inside(w.until) {
		for at := w.until; !at.After(w.until.AddDate(0, VisitMonths, 0)); at = at.AddDate(0, 0, 1) {
			if !inside(at) {
				w.tell(Leaving, at, fmt.Sprintf("The level is %.1f; the band goes from %g to %g.", p.level(w.until), p.device.low, p.device.high), p)
				return
			}
		}
		return
	}
	since := w.until
	for !inside(since.AddDate(0, 0, -1)) {
		since = since.AddDate(0, 0, -1)
	}
	w.tell(Outside, since, fmt.Sprintf("The level is %.1f; the band goes from %g to %g.", p.level(w.until), p.device.low, p.device.high), p)
}

// sortedTruths puts the truths in the order of their kinds, then of time, then
// of their first points.
func (w *world) sortedTruths() []Truth {
	order := map[TruthKind]int{}
	for i, kind := range TruthKinds() {
		order[kind] = i
	}
	slices.SortStableFunc(w.truths, func(a, b Truth) int {
		if a.Kind != b.Kind {
			return order[a.Kind] - order[b.Kind]
		}
		if !a.At.Equal(b.At) {
			return a.At.Compare(b.At)
		}
		return strings.Compare(a.Points[0], b.Points[0])
	})
	return w.truths
}
