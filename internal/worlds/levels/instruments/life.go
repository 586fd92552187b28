package instruments

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// device is what is fitted at a point, and its whole life.
type device struct {
	id     sootline.ID
	number int // along its loop
	loop   int
	area   *area
	scale  *scale
	drift  drift
	rest   float64 // of this unit when clean, in rooms
	hidden float64 // how much dirt the compensation takes up, in rooms
	noise  float64
	season float64
	phase  float64
	fitted time.Time

	stuckFrom, noisyFrom time.Time
	stuckAt              float64 // in rooms
	ageNow               float64 // what no cleaning takes away, now
	course               course  // on the scale of the first sheet
	looks                []look
	doings               []doing
	events               []levels.Happened
}

// look is what an instrument made of a point at a visit. Written is what the technician wrote of it.
type look struct {
	at      time.Time
	visit   int
	after   bool // the cleaning of that visit
	shown   []float64
	written []float64
}

// doing is work on a point, and how it was noted.
type doing struct {
	kind sootline.Kind
	who  *technician
	noting
}

// life lives a device through the visits of its site, and on until the horizon, when nobody comes any more.
type life struct {
	*device
	r    *rand.Rand
	p    *plan
	cal  *calendar
	firm *firmware
	now  time.Time
}

// firmware shows a type on another scale from a day on.
type firmware struct {
	scale *scale
	to    rescaling
	from  time.Time
	sheet time.Time // when the sheet follows; zero: it never does
	told  bool
}

// shows gives the scale that is shown at an instant.
func (f *firmware) shows(s *scale, at time.Time) rescaling {
	if f == nil || f.scale.name != s.name || at.Before(f.from) {
		return unscaled
	}
	return f.to
}

const stepLong = 20 * dayLong

// run lives it.
func (l *life) run() {
	l.now = l.fitted
	l.mark()
	faults := l.faults()
	for i := range l.cal.visits {
		v := &l.cal.visits[i]
		at := v.at.Add(time.Duration(l.number*40+l.loop*9) * time.Second)
		if !at.After(l.fitted.Add(time.Hour)) {
			continue
		}
		faults = l.happen(faults, at)
		l.advance(at)
		l.visit(i, at)
	}
	l.happen(faults, l.cal.now)
	l.advance(l.cal.now)
	l.ageNow = l.drift.age
	l.advance(l.cal.now.AddDate(levels.Horizon, 0, 0).Add(dayLong))
	if l.area.works.from.After(l.fitted) {
		l.event(levels.Works, l.area.works.from, l.area.works.told)
	}
	if l.firm != nil && l.firm.scale.name == l.scale.name && l.firm.from.After(l.fitted) {
		l.event(levels.Rescaled, l.firm.from, l.firm.told)
	}
	slices.SortStableFunc(l.events, func(a, b levels.Happened) int { return a.Day.Compare(b.Day) })
}

// fault is what befalls a device by itself between visits.
type fault struct {
	kind string
	at   time.Time
}

// faults draws what befalls it until now, in order.
func (l *life) faults() []fault {
	var all []fault
	draw := func(kind string, chance float64) {
		if l.r.Float64() < chance {
			at := l.fitted.Add(time.Duration(l.r.Float64() * float64(l.cal.now.Sub(l.fitted)))).Truncate(time.Minute)
			all = append(all, fault{kind, at})
		}
	}
	draw(levels.Stuck, l.p.stuck)
	draw(levels.Noisy, l.p.noisy)
	draw(levels.Swapped, l.p.swaps)
	slices.SortFunc(all, func(a, b fault) int { return a.at.Compare(b.at) })
	return all
}

// happen brings in the faults before an instant, and gives those that are left.
func (l *life) happen(faults []fault, before time.Time) []fault {
	for len(faults) > 0 && faults[0].at.Before(before) {
		f := faults[0]
		faults = faults[1:]
		l.advance(f.at)
		switch {
		case f.kind == levels.Swapped && l.stuckFrom.IsZero() && l.noisyFrom.IsZero():
			l.swap(f.at)
		case f.kind == levels.Stuck && l.stuckFrom.IsZero():
			l.stuckAt, l.stuckFrom = l.rooms(), f.at
			l.mark()
			l.event(levels.Stuck, f.at, false)
		case f.kind == levels.Noisy && l.stuckFrom.IsZero():
			l.noisyFrom = f.at
			l.event(levels.Noisy, f.at, false)
		}
	}
	return faults
}

// swap puts another unit in; the log tells of it or not.
func (l *life) swap(at time.Time) {
	l.drift.dirt, l.drift.age, l.drift.wear = 0, 0, 0
	l.unit()
	l.mark()
	told := l.r.Float64() < l.p.swapTold
	l.event(levels.Swapped, at, told)
	if told {
		l.doings = append(l.doings, doing{sootline.ReplacedKind, l.cal.visits[0].teams[0].who, noting{at: at, noted: at}})
	}
}

// unit draws what differs from unit to unit.
func (l *life) unit() {
	l.rest = 0.06 * l.r.NormFloat64()
	l.hidden = 0
	if l.scale.hides() {
		l.hidden = 0.35 + 0.5*l.r.Float64()
	}
}

// advance lets time pass until an instant, which may be now.
func (l *life) advance(to time.Time) {
	for l.now.Before(to) {
		next := l.now.Add(stepLong)
		if next.After(to) {
			next = to
		}
		hid := l.hides()
		l.drift.step(l.r, years(next.Sub(l.now)), l.area.works.rate(l.now)*years(next.Sub(l.now))*l.reach())
		l.now = next
		l.mark()
		if hid && !l.hides() && l.stuckFrom.IsZero() && !l.now.After(l.cal.now) {
			l.event(levels.CompensationUsed, l.now, false)
		}
	}
}

// reach is how much of the works in its area comes to this point: it stays the same while they last.
func (l *life) reach() float64 { return 0.4 + 1.2*math.Mod(float64(l.number)*0.618, 1) }

// hides reports whether its compensation still takes up what lies in it.
func (l *life) hides() bool { return l.hidden > 0 && l.drift.dirt < l.hidden }

// rooms is its level, in rooms. A compensation that is used up lets all further dirt through, and a little
// more: it had raised the gain.
func (l *life) rooms() float64 {
	switch {
	case !l.stuckFrom.IsZero():
		return l.stuckAt
	case l.hidden > 0:
		return l.rest + l.drift.age + 1.5*math.Max(0, l.drift.dirt-l.hidden)
	}
	return l.rest + l.drift.age + l.drift.dirt
}

// mark keeps the level as it is now.
func (l *life) mark() { l.course.add(l.now, l.scale.shows(l.rooms())) }

func (l *life) event(kind string, at time.Time, noted bool) {
	l.events = append(l.events, levels.Happened{Kind: kind, Day: at, Noted: noted})
}

// visit reads the point, and cleans it where the technician thinks so.
func (l *life) visit(i int, at time.Time) {
	team := &l.cal.visits[i].teams[l.loop%2]
	if u := l.r.Float64(); u < l.p.skipped {
		if u < l.p.skipped/2 { // half of them say so
			l.doings = append(l.doings, doing{sootline.UnreachedKind, team.who, noting{at: at, noted: at}})
		}
		return
	}
	l.look(i, at, team, false)
	if l.scale.kind == sootline.Gas || !l.wantsCleaning(team) {
		return
	}
	l.clean(at.Add(4*time.Minute), team.who)
	if l.r.Float64() < team.who.again {
		l.advance(at.Add(9 * time.Minute))
		l.look(i, l.now, team, true)
	}
}

// wantsCleaning: the technician goes by what is shown, which the firmware may show on another scale.
func (l *life) wantsCleaning(t *team) bool {
	last := &l.looks[len(l.looks)-1]
	shown := l.scale.rooms(l.firm.shows(l.scale, last.at).back(last.shown[0]))
	return l.r.Float64() < t.who.routine || shown > t.who.cleanAt && l.r.Float64() < t.who.care
}

// clean takes dirt away, all or half, and notes it as this technician does.
func (l *life) clean(at time.Time, who *technician) {
	l.advance(at)
	kind, left := levels.Cleaned, 0.08*l.r.Float64()
	if l.r.Float64() < who.half {
		kind, left = levels.HalfCleaned, 0.35+0.35*l.r.Float64()
	}
	l.drift.dirt *= left
	l.mark()
	n := who.notes(l.r, at)
	if n.noted.After(l.cal.now) || n.at.Before(l.fitted.Add(dayLong)) {
		n = noting{never: true}
	}
	if !n.never {
		l.doings = append(l.doings, doing{sootline.CleanedKind, who, n})
	}
	onItsDay := !n.never && sootline.DayOf(n.at, time.UTC) == sootline.DayOf(at, time.UTC)
	l.event(kind, at, onItsDay && kind == levels.Cleaned) // nobody writes that half of it stayed
}
