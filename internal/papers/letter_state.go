package papers

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/count"
	"sootline/internal/visit"
)

// toldUntested says what could not be reached, by room and reason, and how much was not tested.
func (p *paperwork) toldUntested() []string {
	during := p.visit().during
	tested := fmt.Sprintf("%d of %d points under test were tested at this visit", during.N+during.NotPassed, during.Of)
	rooms := p.unreachedRooms()
	n := 0
	for _, room := range rooms {
		n += len(room.points)
	}
	items := []string{tested + "; no point is written down as not reached."}
	if p.nobodyCame() {
		items = []string{"No test of any point is recorded."}
	}
	if n > 0 {
		items = []string{howMany(n, "point could not be reached. ", "points could not be reached. ") + sootline.Capital(tested) + "."}
	}
	for _, room := range rooms {
		var refs []string
		for _, point := range room.points {
			refs = append(refs, point.Ref().String())
		}
		items = append(items, firstOf(refs, fmt.Sprintf("%s, %s: %s: ", room.area, howMany(len(refs), "point", "points"), room.why), unreachedAnnex))
	}
	if left := p.undone(); len(left) > 0 {
		items = append(items, howMany(len(left), "point of the round was", "points of the round were")+" left with planned work not done; see "+annexes[unreachedAnnex].name()+".")
	}
	if late := p.pastRule(); len(late) > 0 {
		refs := apart(late)
		items = append(items, firstOf(refs, howMany(len(refs), "point is", "points are")+" past the last day that a rule of the site gives for its test: ", unreachedAnnex))
	}
	return items
}

// room is points that one reason kept from being reached.
type room struct {
	area, why string
	points    []*sootline.Point
}

// unreachedRooms groups the points that could not be reached at the visit, and were not seen at it later either.
func (p *paperwork) unreachedRooms() []room {
	var rooms []room
	for _, e := range p.unreached() {
		area, why := e.point.Area, e.Text
		if area == "" {
			area = "Room not named"
		}
		if why == "" {
			why = "no reason is written down"
		}
		at := slices.IndexFunc(rooms, func(r room) bool { return r.area == area && r.why == why })
		if at < 0 {
			rooms = append(rooms, room{area: area, why: why})
			at = len(rooms) - 1
		}
		rooms[at].points = append(rooms[at].points, e.point)
	}
	slices.SortStableFunc(rooms, func(a, b room) int { return len(b.points) - len(a.points) })
	return rooms
}

// missed is a point with the last word of why it was not reached.
type missed struct {
	sootline.Event
	point *sootline.Point
}

// unreached lists the points that were not reached at the visit, along the cable; one that was tested at it afterwards was.
func (p *paperwork) unreached() []missed {
	within := p.within()
	walks := p.survey().Signals().Walks()
	var all []missed
	for _, point := range alongCable(p.ending().r.Points()) {
		var last *sootline.Event
		for i := range point.Events {
			if e := &point.Events[i]; e.Kind == sootline.UnreachedKind && within(e.Entry) {
				last = e
			}
		}
		if last == nil {
			continue
		}
		after := func(t count.Test) bool { return within(t.Entry) && t.At.After(last.At) }
		if !slices.ContainsFunc(count.TestsOf(point, walks, p.zone), after) {
			all = append(all, missed{*last, point})
		}
	}
	return all
}

// late is a point that should have been tested, and the rule that says so.
type late struct {
	point *sootline.Point
	visit.Obligation
}

// apart names points that are late; two that share a number, with their places.
func apart(all []late) []string {
	sharing := map[string]int{}
	for _, o := range all {
		sharing[o.point.Ref().String()]++
	}
	var refs []string
	for _, o := range all {
		ref := o.point.Ref().String()
		if sharing[ref] > 1 {
			ref = pointPlaced(o.point)
		}
		refs = append(refs, ref)
	}
	return refs
}

// pastRule lists the points whose test was past its last day when the visit ended, once each.
func (p *paperwork) pastRule() []late {
	return overdue(p.endObligations(), visit.Test, visit.Retest)
}

// overdue lists the points at which work of these kinds is past its last day, once each.
func overdue(obligations []visit.Obligation, works ...string) []late {
	var all []late
	seen := map[*sootline.Point]bool{}
	for _, o := range obligations {
		if o.State != visit.Overdue || !slices.Contains(works, o.Work) || len(o.Points) != 1 || seen[o.Points[0]] {
			continue
		}
		seen[o.Points[0]] = true
		all = append(all, late{o.Points[0], o})
	}
	return all
}

// toldOutOfUse says what is still out of use at the end of the visit, and how the site was left.
func (p *paperwork) toldOutOfUse() []string {
	var items []string
	for _, o := range p.endStanding() {
		items = append(items, "Still out of use: "+o.String()+".")
	}
	if len(items) == 0 {
		items = append(items, "Nothing is out of use by the log book.")
	}
	if back := p.backInUse(); len(back) > 0 {
		items = append(items, "Taken out of use for the visit, and back in use: "+strings.Join(back, "; ")+".")
	}
	switch p.closing().Left {
	case sootline.LeftNormal:
		items = append(items, "At its closing the site was left in normal operation.")
	case sootline.LeftNotNormal:
		items = append(items, "At its closing the site was not left in normal operation.")
	default:
		items = append(items, "How the site was left is not written down.")
	}
	return items
}

// endStanding lists what is out of use at the end of the visit.
func (p *paperwork) endStanding() []app.OutOfUse {
	return (&app.DueList{Register: p.ending().r, Zone: p.zone}).Standing()
}

// backInUse lists what the opening took out of use and is not out of use at the end.
func (p *paperwork) backInUse() []string {
	a := p.attendance()
	if a == nil {
		return nil
	}
	var back []string
	for _, what := range a.Said().Disabled {
		if !slices.ContainsFunc(p.endStanding(), func(o app.OutOfUse) bool { return o.Point == nil && o.What == what }) {
			back = append(back, what)
		}
	}
	return back
}

// falseSince lists the false alarms between the visit before and the end of this one.
func (p *paperwork) falseSince() []count.Signal {
	from, to := p.visitSpan()
	since := previousOr(p, from)
	var all []count.Signal
	for _, s := range p.survey().Signals().All {
		if !s.Asked && count.False(s.Category) && s.At.After(since) && !s.At.After(to) {
			all = append(all, s)
		}
	}
	return all
}

// toldAlarms says which false alarms there were since the visit before.
func (p *paperwork) toldAlarms() []string {
	all := p.falseSince()
	if len(all) == 0 {
		if !p.alarmsRecorded() {
			return []string{"Whether there were false alarms is not recorded."}
		}
		return []string{"No false alarm is written down since the visit before."}
	}
	items := []string{howMany(len(all), "false alarm is", "false alarms are") + " written down since the visit before; in twelve months " + falseAlarms(p) + "."}
	for _, s := range all {
		where := "no point named"
		if s.Point != nil {
			where = pointPlaced(s.Point)
		}
		items = append(items, sootline.Joined(p.clockOf(s.Entry), where, string(s.Category), s.Cause, s.Text)+".")
	}
	return items
}

// alarmsRecorded reports whether the log covers any of the twelve months, so that no alarm in it says something.
func (p *paperwork) alarmsRecorded() bool {
	return p.alarmReport().Year.Known() || p.figures().Signals.Signals > 0
}

// toldNext says by when the next visit is due, by rule and as agreed.
func (p *paperwork) toldNext() []string {
	var items []string
	for _, o := range p.endObligations() {
		if o.Work == visit.Attend && o.Until.Known() {
			items = append(items, fmt.Sprintf("The next visit is due by %s: %s.", o.Until, o.Why))
		}
	}
	if len(items) == 0 {
		items = append(items, "By when the next visit is due is not known: "+p.whyNoVisitDay()+".")
	}
	if first := p.ending().Next; first.Day.Known() {
		items = append(items, "First of all that is due: "+first.String()+".")
	}
	if said := p.closing().Next; said != "" && said != p.ending().Next.Day.String() {
		items = append(items, "Agreed at the closing: "+said+".")
	}
	return items
}

func (p *paperwork) whyNoVisitDay() string {
	if slices.ContainsFunc(visit.Rules(p.r), func(rule sootline.ServiceRule) bool { return rule.Form == sootline.VisitForm }) {
		return "no visit before is written down"
	}
	return "no rule of the site says how often somebody comes"
}

// endObligations lists what the rules ask for at the end of the visit.
func (p *paperwork) endObligations() []visit.Obligation {
	r, to := p.ending().r, p.endsOn()
	return app.Obligations(r, app.SignalsOf(r, p.zone), visit.DayOf(to, p.zone), 0, p.zone)
}

// endsOn is the instant as of which the report tells how the site stands.
func (p *paperwork) endsOn() time.Time {
	if _, to := p.visitSpan(); to.Before(p.wish.On) {
		return to
	}
	return p.wish.On
}

// toldCautions says what was confirmed before the work began.
func (p *paperwork) toldCautions() []string {
	a := p.attendance()
	if a == nil {
		return nil
	}
	var items []string
	confirmed := a.Said().Confirmed
	for _, c := range app.Cautions() {
		if slices.Contains(confirmed, c.Key) {
			items = append(items, sootline.Capital(c.Text)+".")
		}
	}
	if len(items) == 0 {
		return []string{"That the cautions were confirmed is not written down."}
	}
	return items
}

// remarks lists what was said in words at the opening, between, and at the closing.
func (p *paperwork) remarks() []string {
	var items []string
	a := p.attendance()
	if a != nil {
		items = append(items, a.Said().Text)
	}
	within := p.within()
	if p.nobodyCame() {
		within = func(*sootline.Entry) bool { return false }
	}
	for _, e := range p.log.Holding() {
		if note, ok := e.Body.(sootline.Note); ok && rests(e, p.wish.On) && within(e) {
			items = append(items, p.noteWords(e, note))
		}
	}
	items = append(items, p.closing().Text)
	return slices.DeleteFunc(items, func(s string) bool { return s == "" })
}

func (p *paperwork) noteWords(e *sootline.Entry, note sootline.Note) string {
	if point := p.r.Point(e.Point); point != nil && note.Text != "" {
		return point.Ref().String() + ": " + note.Text
	}
	return note.Text
}
