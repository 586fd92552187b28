package papers

import (
	"cmp"
	"context"
	"fmt"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/judge"
	"sootline/internal/paper"
	"sootline/internal/visit"
)

// remedyKind is a sort of things to be put right, as it is counted.
type remedyKind struct{ one, several string }

var (
	openDefect   = remedyKind{"open defect", "open defects"}
	mendedDefect = remedyKind{"defect mended and not tried again", "defects mended and not tried again"}
	calledFor    = remedyKind{"point to clean now or replace by its readings", "points to clean now or replace by their readings"}
	outOfUse     = remedyKind{"part out of use", "parts out of use"}
	lateTest     = remedyKind{"point not tested within its rule", "points not tested within their rules"}
)

// Remedy is one thing to be put right.
type Remedy struct {
	Kind  string `json:"kind"` // what sort of thing it is
	Where string `json:"where"`
	What  string `json:"what"` // is wrong, and why
	Needs string `json:"needs"`
	By    string `json:"by,omitempty"`    // a day, or "now"; left out: none is agreed
	Since string `json:"since,omitempty"` // a day
}

// Remedies lists what is to be put right on a site as of an instant, as the remedial list has it.
func Remedies(ctx context.Context, a *app.App, site sootline.ID, on time.Time) ([]Remedy, error) {
	p, err := workOf(ctx, a, site, Wish{On: on})
	if err == nil {
		err = p.survey().Judge(ctx)
	}
	if err != nil {
		return nil, err
	}
	all := []Remedy{}
	for _, r := range p.remedies() {
		all = append(all, Remedy{r.kind.one, r.where, r.what, r.needs, r.until, r.since})
	}
	return all, nil
}

// remedy is one thing to be put right.
type remedy struct {
	kind                             remedyKind
	where, what, needs, until, since string
}

// remedies lists what is to be put right on the site as of the day of the paper, the gravest first: defects, what the
// readings call for at once, what is out of use, and what was not tested within its rule.
func (p *paperwork) remedies() []remedy {
	var all []remedy
	for _, d := range p.r.OpenDefects() {
		if d.State == sootline.DefectOpen {
			all = append(all, p.remedyOf(d, openDefect))
		}
	}
	for _, d := range p.r.OpenDefects() {
		if d.State == sootline.DefectMended {
			all = append(all, p.remedyOf(d, mendedDefect))
		}
	}
	for _, group := range app.ByAction(p.assessment().Judgements) {
		if group.Action != judge.CleanNow && group.Action != judge.Replace {
			continue
		}
		for i := range group.Judgements {
			j := &group.Judgements[i]
			because := ""
			if len(j.Reasons) > 0 {
				because = j.Sentences()[0]
			}
			all = append(all, remedy{kind: calledFor, where: pointPlaced(j.Point), what: because, needs: string(group.Action), until: "now", since: p.day(j.ReadAt)})
		}
	}
	for _, o := range (&app.DueList{Register: p.r, Zone: p.zone}).Standing() {
		where := o.What
		if o.Point != nil {
			where = pointPlaced(o.Point)
		}
		r := remedy{kind: outOfUse, where: where, what: "out of use", needs: "put back into use, and proved"}
		if o.Since.Known() {
			r.since = o.Since.String()
		}
		all = append(all, r)
	}
	return append(all, p.lateRemedies()...)
}

func (p *paperwork) remedyOf(d *sootline.DefectFacts, kind remedyKind) remedy {
	r := remedy{kind: kind, where: placed(d), what: d.What(), needs: needs(d), until: d.ByDay, since: p.day(d.Since)}
	if d.Agreed != "" {
		r.needs = sootline.Joined(r.needs, "agreed: "+d.Agreed)
	}
	return r
}

// lateRemedies lists the points whose test is past the last day of a rule; a failed test is a defect already.
func (p *paperwork) lateRemedies() []remedy {
	var all []remedy
	on := visit.DayOf(p.wish.On, p.zone)
	for _, o := range overdue(app.Obligations(p.r, p.survey().Signals(), on, 0, p.zone), visit.Test) {
		all = append(all, remedy{
			kind: lateTest, where: pointPlaced(o.point), what: "not tested within its rule: " + o.Why + " (" + visit.Source(&o.Rule) + ")",
			needs: o.Work, until: o.Until.String(),
		})
	}
	return all
}

// fillRemedial lists what is to be put right, with room to price, agree and tick off each by hand.
func fillRemedial(p *paperwork, d *paper.Document) error {
	d.Title = "Remedial list"
	all := p.remedies()
	t := paper.Table{
		Title: "To be put right",
		Columns: []paper.Column{
			{Name: "no.", Right: true},
			{Name: "where"},
			{Name: "what, and why"},
			{Name: "needs"},
			{Name: "by"},
			{Name: "since"},
			{Name: "price"},
			{Name: "agreed"},
			{Name: "done"},
		},
		None: "By the log book nothing is to be put right. What nobody looked at or wrote down is not known here.",
	}
	for i, r := range all {
		t.Rows = append(t.Rows, []paper.Cell{
			paper.Count(i + 1), paper.Text(r.where), paper.Text(r.what), paper.Text(r.needs), paper.Text(cmp.Or(r.until, "no day agreed")), paper.Text(r.since),
			paper.Blank(), paper.Tick(), paper.Tick(),
		})
	}
	blocks := append(paragraphs(remedySummary(all)), t)
	blocks = append(blocks, p.photosOf(p.r.OpenDefects())...)
	d.Parts = []paper.Part{{Blocks: append(blocks, paper.Signatures{Roles: []string{"for the customer", "for the firm"}})}}
	return nil
}

// remedySummary counts what is on the list, sort by sort.
func remedySummary(all []remedy) string {
	counts := map[remedyKind]int{}
	var parts []string
	for _, r := range all {
		counts[r.kind]++
	}
	for _, kind := range []remedyKind{openDefect, mendedDefect, calledFor, outOfUse, lateTest} {
		if counts[kind] > 0 {
			parts = append(parts, howMany(counts[kind], kind.one, kind.several))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf("%s: %s. The gravest stand first.", howMany(len(all), "thing is to be put right", "things are to be put right"), strings.Join(parts, ", "))
}
