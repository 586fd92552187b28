package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/judge"
	"sootline/internal/paper"
)

// letterItems is how many items of a subject are worded at most: a page has no room for more.
const letterItems = 12

// letterClip is how long an item is at most, in characters: about three lines.
const letterClip = 240

// confirmedTitle is the subject of the cautions.
const confirmedTitle = "Confirmed before"

// letter is page one of the report: what a customer must know, in the order in which it is asked. Each sentence says
// what the log shows, and where it shows nothing, that.
func (p *paperwork) letter() paper.Letter {
	l := paper.Letter{Sign: []string{"technician", "responsible person"}}
	for _, s := range []struct {
		title string
		items []string
		annex annexKey
	}{
		{"What was done", p.toldDone(), doneAnnex},
		{"What was found", p.toldFound(), defectsAnnex},
		{"Resting values", p.valuesWords(), valuesAnnex},
		{"What must be done", p.toldTodo(), defectsAnnex},
		{"What was not tested", p.toldUntested(), unreachedAnnex},
		{"Out of use", p.toldOutOfUse(), doneAnnex},
		{"False alarms", p.toldAlarms(), alarmsAnnex},
		{"Next visit", p.toldNext(), doneAnnex},
		{confirmedTitle, p.toldCautions(), doneAnnex},
		{"Remarks", p.remarks(), doneAnnex},
	} {
		if len(s.items) == 0 {
			continue
		}
		subject := paper.Subject{Title: s.title, Total: len(s.items), See: annexes[s.annex].name()}
		for _, item := range s.items[:min(letterItems, len(s.items))] {
			subject.Items = append(subject.Items, clipped(item))
		}
		l.Subjects = append(l.Subjects, subject)
	}
	return l
}

// clipped shortens an item; what is cut is shown by three dots.
func clipped(text string) string {
	if letters := []rune(text); len(letters) > letterClip {
		return strings.TrimSpace(string(letters[:letterClip])) + " ..."
	}
	return text
}

// toldDone says who was here, when, and what they did.
func (p *paperwork) toldDone() []string {
	if p.nobodyCame() {
		return []string{"No visit is written down, and no test, reading or other work at any point."}
	}
	v := p.visit()
	items := []string{p.attendedWords()}
	during := v.during
	var did []string
	if n := during.N + during.NotPassed; n > 0 {
		says := fmt.Sprintf("%d of %d points under test were tested and passed", during.N, during.Of)
		if during.NotPassed > 0 {
			says += fmt.Sprintf(", %d did not pass", during.NotPassed)
		}
		did = append(did, says)
	}
	for _, x := range []struct {
		n    int
		verb string
	}{{during.Read, "read"}, {v.cleaned, "cleaned"}, {v.replaced, "replaced"}} {
		if x.n > 0 {
			did = append(did, howMany(x.n, "point was ", "points were ")+x.verb)
		}
	}
	if len(did) == 0 {
		return append(items, "Nothing was tested, read, cleaned or replaced, by the log book.")
	}
	return append(items, strings.Join(did, "; ")+".")
}

// attendedWords says who was here, from when to when, as far as that is written down.
func (p *paperwork) attendedWords() string {
	a := p.attendance()
	if a == nil {
		from, to := p.visitSpan()
		days := p.day(from)
		if p.day(to) != days {
			days += " to " + p.day(to)
		}
		by := ""
		if people := p.visit().people; len(people) > 0 {
			by = ", by " + strings.Join(people, ", ")
		}
		return "Work is written down of " + days + by + "; no opening and no closing of a visit is."
	}
	switch {
	case a.Opened == nil:
		return fmt.Sprintf("%s closed a visit on %s; when it was opened is not written down.", by(a.Closed.Entry), p.clockOf(a.Closed.Entry))
	case a.Closed == nil:
		return fmt.Sprintf("%s was here from %s; that the visit was closed is not written down.", by(a.Opened.Entry), p.clockOf(a.Opened.Entry))
	}
	end := p.clockOf(a.Closed.Entry)
	if p.day(a.From()) == p.day(a.To()) && !a.Closed.Entry.Day {
		end = a.To().In(p.zone).Format("15:04 MST")
	}
	says := fmt.Sprintf("%s was here on %s to %s", by(a.Opened.Entry), p.clockOf(a.Opened.Entry), end)
	others := slices.DeleteFunc(slices.Clone(p.visit().people), func(name string) bool { return name == a.Opened.Entry.By })
	if len(others) > 0 {
		says += "; entries are by " + strings.Join(others, ", ") + " too"
	}
	return says + "."
}

func by(e *sootline.Entry) string { return cmp.Or(e.By, "Somebody not named") }

// clockOf is the day and, where it is known, the time of an entry.
func (p *paperwork) clockOf(e *sootline.Entry) string {
	if e.Day {
		return p.day(e.At)
	}
	return e.At.In(p.zone).Format("2006-01-02, 15:04")
}

// toldFound says what is wrong, the gravest first, then what was put right.
func (p *paperwork) toldFound() []string {
	var items []string
	span := p.defectSpan()
	for _, d := range slices.Concat(span.Open, span.Mended, span.Closed) {
		items = append(items, p.foundWords(d))
	}
	if len(items) == 0 {
		items = append(items, "By the log book no defect is open, and none was closed since the visit before.")
	}
	return items
}

// defectSpan is what the report tells of defects.
func (p *paperwork) defectSpan() app.DefectSpan {
	from, to := p.visitSpan()
	return app.DefectsIn(p.ending().r, previousOr(p, from), to)
}

// foundWords says of a defect how grave it is, where, what and how far it has come.
func (p *paperwork) foundWords(d *sootline.DefectFacts) string {
	grade := sootline.Capital(string(d.Grade))
	says := grade + ", " + placed(d) + ": " + cmp.Or(sootline.Joined(d.Cause, d.Text), string(d.Nature))
	switch d.State {
	case sootline.DefectMended:
		return says + "; mended on " + p.day(d.MendedBy.At) + ", not tried again yet."
	case sootline.DefectClosed:
		return says + "; " + closedWords(d) + " on " + p.day(d.ClosedBy.At) + "."
	}
	return says + "; open since " + p.day(d.Since) + "."
}

// closedWords says what closed a defect.
func closedWords(d *sootline.DefectFacts) string {
	switch d.ClosedBy.Body.Kind() {
	case sootline.RemovedKind:
		return "closed, its point was removed"
	case sootline.RetestedKind, sootline.TestedKind:
		return "put right, and passed its retest"
	}
	return "closed"
}

// placed says where a defect is: its point with the room, else its place.
func placed(d *sootline.DefectFacts) string {
	if d.Point == nil {
		return cmp.Or(d.Place, "the site")
	}
	return pointPlaced(d.Point)
}

// pointPlaced is a point with where it is.
func pointPlaced(point *sootline.Point) string {
	if at := sootline.Joined(point.Area, point.Location); at != "" {
		return point.Ref().String() + " (" + at + ")"
	}
	return point.Ref().String()
}

// pointIn is a point with its room alone, for lists of several.
func pointIn(point *sootline.Point) string {
	if point.Area == "" {
		return point.Ref().String()
	}
	return point.Ref().String() + " (" + point.Area + ")"
}

// valuesWords says how many of the values read at the visit lie outside, and how many points are on the way.
func (p *paperwork) valuesWords() []string {
	var out, onWay []string
	read := p.visit().during.Read
	for _, group := range app.ByAction(p.judged().Judgements) {
		for i := range group.Judgements {
			j := &group.Judgements[i]
			switch {
			case outside(j) && p.readThen(j):
				_, band := reading(j)
				out = append(out, fmt.Sprintf("%s reads %v of %s", j.Point.Ref(), j.Value, band))
			case lies(j) != "":
				onWay = append(onWay, j.Point.Ref().String())
			}
		}
	}
	switch {
	case len(out) > 0:
		return p.onWayWords([]string{firstOf(out, howMany(len(out), "value lies outside its band: ", "values lie outside their bands: "), valuesAnnex)}, onWay)
	case read == 0 && p.nobodyCame():
		return p.onWayWords([]string{"No resting value is recorded."}, onWay)
	case read == 0:
		return p.onWayWords([]string{"No resting value was read at this visit."}, onWay)
	}
	return p.onWayWords([]string{"Of the values read at this visit none lies outside a band that is known."}, onWay)
}

func (p *paperwork) onWayWords(items, refs []string) []string {
	if len(refs) > 0 {
		items = append(items, firstOf(refs, howMany(len(refs), "point besides is outside by an earlier value, or on the way out: ", "points besides are outside by earlier values, or on the way out: "), valuesAnnex))
	}
	return items
}

// readThen reports whether the value that was judged was read at the visit.
func (p *paperwork) readThen(j *judge.Judgement) bool {
	within := p.within()
	return slices.ContainsFunc(j.Point.Readings, func(r sootline.Reading) bool { return r.At.Equal(j.ReadAt) && within(r.Entry) })
}

// firstOf names the first of a list behind what is said of it.
func firstOf(names []string, says string, annex annexKey) string {
	const most = 5
	if len(names) > most {
		return says + strings.Join(names[:most], ", ") + " and more; see " + annexes[annex].name() + "."
	}
	return says + strings.Join(names, ", ") + "."
}

// toldTodo says what must be done, by whom, by when: critical defects, then what the readings call for at once, which is
// a line or two, then the other defects, the gravest first.
func (p *paperwork) toldTodo() []string {
	var critical, items []string
	span := p.defectSpan()
	for _, d := range slices.Concat(span.Open, span.Mended) {
		if d.Grade == sootline.CriticalDefect {
			critical = append(critical, p.needWords(d))
		} else {
			items = append(items, p.needWords(d))
		}
	}
	items = slices.Concat(critical, p.calledFor(), items)
	if len(items) == 0 {
		return []string{"No remedial work is open by the log book, and no reading calls for cleaning or replacing at once."}
	}
	return items
}

// calledFor says which points the readings call to clean now or to replace.
func (p *paperwork) calledFor() []string {
	var items []string
	for _, group := range app.ByAction(p.judged().Judgements) {
		if group.Action != judge.CleanNow && group.Action != judge.Replace {
			continue
		}
		refs := make([]string, len(group.Judgements))
		for i := range group.Judgements {
			refs[i] = pointIn(group.Judgements[i].Point)
		}
		items = append(items, firstOf(refs, fmt.Sprintf("%s by the readings, %s: ", sootline.Capital(string(group.Action)), howMany(len(refs), "point", "points")), valuesAnnex))
	}
	return items
}

// needWords says of a defect what it needs, by when, and who does it, as far as that was agreed.
func (p *paperwork) needWords(d *sootline.DefectFacts) string {
	return placed(d) + ": " + needs(d) + ", " + p.termOf(d) + "; " + cmp.Or(d.Agreed, "who does it is not agreed") + "."
}

// needs is what is to be done about a defect.
func needs(d *sootline.DefectFacts) string {
	switch {
	case d.State == sootline.DefectMended && d.Needs != "":
		return d.Needs + ", then try it again"
	case d.State == sootline.DefectMended:
		return "try it again"
	}
	return cmp.Or(d.Needs, "to be mended and tried again")
}

// termOf is the day by which a defect is to be put right, as agreed.
func (p *paperwork) termOf(d *sootline.DefectFacts) string {
	switch {
	case d.ByDay == "":
		return "no day agreed"
	case d.ByDay < p.endsOn().In(p.zone).Format(time.DateOnly):
		return "by " + d.ByDay + ", which is past"
	}
	return "by " + d.ByDay
}
