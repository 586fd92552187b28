package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/count"
	"sootline/internal/paper"
)

// fillLog copies the log book between two dates, under the fields that the model of BS 5839-1 annex F asks for (from
// memory, in our own words).
func fillLog(p *paperwork, d *paper.Document) error {
	from, to := p.wish.From, p.wish.To
	if to.IsZero() {
		to = p.wish.On
	}
	d.Title = "Log book"
	span := "from its beginning to " + p.day(to)
	if !from.IsZero() {
		span = "from " + p.day(from) + " to " + p.day(to)
	}
	within := func(e *sootline.Entry) bool { return !e.At.Before(from) && !e.At.After(to) }
	t := p.logTable("Every entry", within)
	d.Parts = []paper.Part{{Blocks: []paper.Block{
		paper.Paragraph{Text: fmt.Sprintf("The log book %s: %s. An entry is never changed; one that was corrected or withdrawn says so.", span, howMany(len(t.Rows), "entry", "entries"))},
		p.logHead(), p.logEvents(within), t,
	}}}
	return nil
}

// logHead is what stands at the front of a log book.
func (p *paperwork) logHead() paper.Fields {
	return p.group(certificateGroup{fields: []certificateField{
		filledBy("site", siteName), addressFact("address of the premises"),
		fact("responsible person", func(f *sootline.SiteFacts) string { return sootline.Joined(f.Responsible, f.Contact) }),
		filledBy("firm", firmName), filledBy("call-out number of the firm", firmPhone),
		filledBy("previous visit", visitDay), filledBy("next due", nextDue), filledBy("weekly test: the user's next", weeklyWords),
		filledBy("automatic detectors", func(p *paperwork) string { return p.figures().Of(app.DetectorsFigure).Value }),
		filledBy("false alarms in twelve months", falseAlarms), filledBy("rate of false alarms", func(p *paperwork) string { return rateWords(&p.alarmReport().Year) }),
	}})
}

// weeklyWords says by when, and at which call point, the user tests next.
func weeklyWords(p *paperwork) string {
	n := p.ending().Next
	if !n.User.Known() {
		return ""
	}
	return "by " + n.User.String()
}

// logEvents lists alarms, faults and defects, with what became of each.
func (p *paperwork) logEvents(within func(*sootline.Entry) bool) paper.Table {
	t := paper.Table{Title: "Alarms, faults and defects", None: "No alarm, fault or defect is written down in that time."}
	for _, name := range []string{"date", "time", "device", "event", "category", "cause", "action taken", "cleared on", "by"} {
		t.Columns = append(t.Columns, paper.Column{Name: name})
	}
	add := func(e *sootline.Entry, where, event, category, cause, action, cleared string) {
		t.Rows = append(t.Rows, []paper.Cell{
			p.date(e.At), paper.Text(clock(e, p.zone)), paper.Text(where), paper.Text(event), paper.Text(category), paper.Text(cause), paper.Text(action), paper.Text(cleared), paper.Text(e.By),
		})
	}
	for _, s := range p.survey().Signals().All {
		if !within(s.Entry) {
			continue
		}
		where := ""
		if s.Point != nil {
			where = s.Point.Ref().String()
		}
		category := string(s.Category)
		if s.Asked {
			category = "nobody said whether it was a test"
		} else if count.False(s.Category) {
			category = "false alarm: " + category
		}
		add(s.Entry, where, "alarm", category, sootline.Joined(s.Cause, s.Text), "", "")
	}
	for _, d := range p.r.Defects() {
		if len(d.Seen) == 0 || !within(d.Seen[0]) {
			continue
		}
		action, cleared := d.Agreed, ""
		if d.MendedBy != nil {
			action = sootline.Joined(action, sootline.Say(d.MendedBy.Body))
		}
		if d.ClosedBy != nil {
			cleared = p.day(d.ClosedBy.At)
		}
		add(d.Seen[0], d.Where(), string(d.Nature), "", sootline.Joined(d.Cause, d.Text), action, cleared)
	}
	slices.SortStableFunc(t.Rows, func(a, b []paper.Cell) int {
		return cmp.Or(strings.Compare(a[0].String(), b[0].String()), strings.Compare(a[1].String(), b[1].String()))
	})
	return t
}

// logTable lists the entries that are wanted, as they happened; those of one instant, as they were written.
func (p *paperwork) logTable(title string, wanted func(*sootline.Entry) bool) paper.Table {
	t := paper.Table{
		Title:   title,
		Columns: []paper.Column{{Name: "happened"}, {Name: "point"}, {Name: "kind"}, {Name: "says"}, {Name: "by"}, {Name: "noted"}},
		None:    "There is no entry.",
	}
	entries := slices.DeleteFunc(slices.Clone(p.log.Entries()), func(e *sootline.Entry) bool { return !rests(e, p.wish.On) || !wanted(e) })
	slices.SortStableFunc(entries, func(a, b *sootline.Entry) int {
		return cmp.Or(a.At.Compare(b.At), a.Noted.Compare(b.Noted), strings.Compare(a.Station, b.Station), cmp.Compare(a.Seq, b.Seq))
	})
	for _, e := range entries {
		ref := ""
		if point := p.r.Point(e.Point); point != nil {
			ref = point.Ref().String()
		}
		says := sootline.Say(e.Body)
		if by := p.log.Amendment(e.ID); by != nil {
			says = strings.TrimPrefix(says+"; "+string(by.Body.Kind())+" on "+p.day(by.Noted), "; ")
		}
		t.Rows = append(t.Rows, []paper.Cell{
			paper.Text(p.when(e)), paper.Text(ref), paper.Text(string(e.Body.Kind())), paper.Text(says), paper.Text(e.By), p.date(e.Noted),
		})
	}
	return t
}

func (p *paperwork) when(e *sootline.Entry) string {
	if !e.At.After(sootline.LongAgo) {
		return "not known"
	}
	return e.When(p.zone, "2006-01-02 15:04")
}
