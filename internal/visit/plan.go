package visit

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
)

// Finding is what the readings of a point make worth doing there.
type Finding struct {
	Point *sootline.Point
	Work  string  // Read, Look, Clean or Replace
	Risk  float64 // by how much doing it lowers the risk, as a chance from 0 to 1
	Why   string
}

// Wish is what a visit is planned from.
type Wish struct {
	Minutes     int
	Obligations []Obligation
	Findings    []Finding
	Order       []string // the technician's own order: areas or points; empty: as the site says, or worked out
}

// Task is one piece of work at a point.
type Task struct {
	Point   *sootline.Point
	Work    string
	Minutes int
	Worth   Worth
	Whys    []string
}

// Forced reports whether a rule demands it.
func (t *Task) Forced() bool { return t.Worth.Overdue+t.Worth.Due+t.Worth.Share > 0 }

// Stop is a point of a round with what is to be done there.
type Stop struct {
	Point *sootline.Point
	Floor string
	Tasks []Task
}

// Left is work that did not fit, and why.
type Left struct {
	Task
	Why string
}

// Plan is a round: what to see, in which order, and what was left out.
type Plan struct {
	Minutes int // given
	Work    int // spent at the points
	Setup   int // spent on setting up
	Areas   []sootline.ServiceArea
	Stops   []Stop
	Left    []Left
	Short   []string // rules that no choice of points could meet
}

// usualMinutes is what work at one point takes, the way there included, where
// the site says nothing: choices of ours, no source.
func usualMinutes() map[string]int {
	return map[string]int{Test: 4, Read: 2, Look: 6, Clean: 12, Replace: 15}
}

// Make plans a visit: what the rules demand first, the overdue before the due,
// then the work by which the risk falls most in the time that is left.
func Make(r *sootline.Register, wish Wish) Plan {
	p := planner{r: r, minutes: usualMinutes(), setups: map[string]sootline.ServiceArea{}, byKey: map[taskKey]*Task{}}
	for work, minutes := range r.Site.Service.Minutes {
		p.minutes[work] = minutes
	}
	p.minutes[Retest] = p.minutes[Test]
	for _, area := range r.Site.Service.Areas {
		p.setups[fold(area.Area)] = area
	}
	p.demand(wish.Obligations)
	p.represent(wish.Obligations)
	for _, f := range wish.Findings {
		if f.Risk > 0 {
			p.task(f.Point, f.Work, Worth{Risk: f.Risk}, f.Why)
		}
	}
	return p.choose(wish)
}

type taskKey struct {
	point *sootline.Point
	work  string
}

type planner struct {
	r       *sootline.Register
	minutes map[string]int
	setups  map[string]sootline.ServiceArea // by folded name of the area
	tasks   []*Task
	byKey   map[taskKey]*Task
	short   []string
}

func fold(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// task adds work at a point, or another reason for work that is there already.
func (p *planner) task(point *sootline.Point, work string, worth Worth, why string) {
	key := p.workAt(point, work)
	t := p.byKey[key]
	if t == nil {
		t = &Task{Point: point, Work: work, Minutes: p.minutes[key.work]}
		p.byKey[key] = t
		p.tasks = append(p.tasks, t)
	}
	risk := t.Worth.Risk + worth.Risk
	worth.Risk, t.Worth.Risk = 0, 0
	if worth.exceeds(t.Worth) {
		t.Worth = worth
	}
	t.Worth.Risk = risk
	t.Whys = append(t.Whys, why)
}

// urgency ranks what a rule demands. An even share spreads work ahead of its
// time, so it waits behind what would be too late at the visit after this one.
func urgency(o *Obligation) Worth {
	switch {
	case o.share:
		return Worth{Share: 1}
	case o.State == Overdue:
		return Worth{Overdue: 1}
	}
	return Worth{Due: 1}
}

// inRound reports whether work is done on a visit at a point.
func inRound(work string) bool {
	return work == Retest || work == Test || work == Read || work == Replace
}

// workAt names a task: where a point is retested, its test and a look at it are
// part of that.
func (p *planner) workAt(point *sootline.Point, work string) taskKey {
	if again := (taskKey{point, Retest}); (work == Test || work == Look) && p.byKey[again] != nil {
		return again
	}
	return taskKey{point, work}
}

// demand adds what the rules ask of single points, retests first.
func (p *planner) demand(obligations []Obligation) {
	for _, retests := range []bool{true, false} {
		p.demandOf(obligations, retests)
	}
}

func (p *planner) demandOf(obligations []Obligation, retests bool) {
	for i := range obligations {
		if o := &obligations[i]; (o.Work == Retest) == retests && o.State != Met && o.Of == "" && o.Need > 0 && inRound(o.Work) {
			p.task(o.Points[0], o.Work, urgency(o), reason(o))
		}
	}
}

// reason says in a line which rule demands work at a point, and by when.
func reason(o *Obligation) string {
	text := o.Rule.Name + ": " + o.Why
	if o.Of != "" {
		text = o.Rule.Name + ", for " + o.Of
	}
	if o.Until.Known() {
		text += ", by " + o.Until.String()
	}
	return text
}

// represent chooses the points by which the rules are met that ask for some of
// several: points that are demanded already count, the rest are those tested
// longest ago. Zones come first, since what is chosen for them counts towards
// the shares.
func (p *planner) represent(obligations []Obligation) {
	for _, zones := range []bool{true, false} {
		for i := range obligations {
			o := &obligations[i]
			if o.State != Met && o.Of != "" && o.Need > 0 && inRound(o.Work) && (o.Rule.Form == sootline.ZoneForm) == zones {
				p.fill(o)
			}
		}
	}
}

func (p *planner) fill(o *Obligation) {
	short := o.Need
	var free []*sootline.Point
	for _, point := range o.Points {
		if t := p.byKey[p.workAt(point, o.Work)]; t != nil && t.Forced() {
			short--
		} else {
			free = append(free, point)
		}
	}
	p.nearer(o, free)
	for _, point := range free[:max(0, min(short, len(free)))] {
		p.task(point, o.Work, urgency(o), reason(o))
	}
	if short > len(free) {
		p.short = append(p.short, fmt.Sprintf("%s: there are %d points too few", reason(o), short-len(free)))
	}
}

// nearer prefers, among points tested on one day, those whose areas are set up
// anyway, and then those that take less to set up.
func (p *planner) nearer(o *Obligation, free []*sootline.Point) {
	open := map[string]bool{}
	for _, t := range p.tasks {
		open[fold(t.Point.Area)] = true
	}
	away := func(point *sootline.Point) int {
		area := fold(point.Area)
		if open[area] {
			return -1
		}
		return p.setups[area].Setup
	}
	slices.SortStableFunc(free, func(a, b *sootline.Point) int {
		return cmp.Or(cmp.Compare(o.last[a], o.last[b]), cmp.Compare(away(a), away(b)))
	})
}

// choose fills the time.
func (p *planner) choose(wish Wish) Plan {
	plan := Plan{Minutes: max(0, wish.Minutes), Short: p.short}
	lots, members := p.lots()
	picked := Pick(plan.Minutes, lots)
	stops := map[*sootline.Point][]Task{}
	for i, chosen := range picked {
		if len(chosen) > 0 && lots[i].Setup > 0 {
			area := p.setups[fold(members[i][0].Point.Area)]
			plan.Areas = append(plan.Areas, area)
			plan.Setup += area.Setup
		}
		for at, t := range members[i] {
			if !slices.Contains(chosen, at) {
				plan.Left = append(plan.Left, Left{Task: *t})
				continue
			}
			stops[t.Point] = append(stops[t.Point], *t)
			plan.Work += t.Minutes
		}
	}
	p.excuse(&plan)
	plan.Stops = p.walk(stops, wish.Order)
	return plan
}

// lots groups the tasks by area, in the order of the register.
func (p *planner) lots() ([]Lot, [][]*Task) {
	var lots []Lot
	var members [][]*Task
	index := map[string]int{}
	for _, t := range p.tasks {
		area := fold(t.Point.Area)
		i, known := index[area]
		if !known {
			i = len(lots)
			index[area] = i
			lots = append(lots, Lot{Setup: p.setups[area].Setup})
			members = append(members, nil)
		}
		lots[i].Items = append(lots[i].Items, Item{t.Minutes, t.Worth})
		members[i] = append(members[i], t)
	}
	return lots, members
}

// excuse says of all that was left why it was.
func (p *planner) excuse(plan *Plan) {
	spare := plan.Minutes - plan.Work - plan.Setup
	ready := map[string]bool{}
	for _, area := range plan.Areas {
		ready[fold(area.Area)] = true
	}
	for i := range plan.Left {
		left := &plan.Left[i]
		setup := p.setups[fold(left.Point.Area)]
		needs := plural(left.Minutes, "minute", "minutes")
		whole := left.Minutes
		if setup.Setup > 0 && !ready[fold(left.Point.Area)] {
			needs += fmt.Sprintf(" and %d to set up %s", setup.Setup, setup.Area)
			if setup.Why != "" {
				needs += " (" + setup.Why + ")"
			}
			whole += setup.Setup
		}
		switch {
		case whole > plan.Minutes:
			left.Why = fmt.Sprintf("needs %s, more than the whole visit", needs)
		case left.Forced():
			left.Why = fmt.Sprintf("demanded, but needs %s; %d are left beside other work that is demanded", needs, spare)
		default:
			left.Why = fmt.Sprintf("needs %s; %d are left, and what was chosen counts for more", needs, spare)
		}
	}
	slices.SortStableFunc(plan.Left, func(a, b Left) int {
		switch {
		case a.Worth.exceeds(b.Worth):
			return -1
		case b.Worth.exceeds(a.Worth):
			return 1
		}
		return 0
	})
}
