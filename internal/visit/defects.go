package visit

import (
	"cmp"
	"fmt"

	"sootline"
)

// Retest is the work of trying again what failed, or what was mended. Where it is
// to be done at a point, its test is done with it.
const Retest = "retest"

// DefectRule is what defects ask for, as a rule among the others.
func DefectRule() sootline.ServiceRule {
	return sootline.ServiceRule{
		Name: "defects", Form: sootline.RetestForm, Known: sootline.KnownOwn,
		Text: "what failed its test is tested again until it passes; what was mended is tried again",
	}
}

// askDefects: the test of a failed point is due at once, until it passes; what
// was mended waits for its retest at the next visit. No rule of a standard is
// needed for that.
func (d *diary) askDefects() []Obligation {
	var all []Obligation
	for _, defect := range d.r.OpenDefects() {
		if p := defect.Point; p != nil && (!p.Placed || p.Removed != nil) {
			continue // there is nothing there to be tried again
		}
		o := Obligation{
			Rule: DefectRule(), Work: Retest, Of: cmp.Or(defect.Where(), "the site"), Since: d.day(defect.Since), State: Due,
		}
		for _, e := range defect.Story {
			o.Entries = append(o.Entries, e.ID)
		}
		if defect.Point != nil {
			o.Points, o.Of, o.Need = []*sootline.Point{defect.Point}, "", 1
		}
		switch {
		case defect.Nature == sootline.FailedTest:
			failed := d.day(defect.Seen[len(defect.Seen)-1].At)
			o.Until, o.Why = failed, fmt.Sprintf("failed its test on %s", failed)
			if failed < d.in.On {
				o.State = Overdue
			}
			if defect.MendedBy != nil {
				o.Why += fmt.Sprintf(", mended on %s", d.day(defect.MendedBy.At))
			}
		case defect.State == sootline.DefectMended:
			o.Why = fmt.Sprintf("%s, mended on %s, not tried again yet", defect.What(), d.day(defect.MendedBy.At))
		default:
			continue
		}
		all = append(all, o)
	}
	return all
}

// DefectFindings gives the open defects at points that are worth a look on the
// next round. What a look is worth is a choice of ours by grade, no source: a
// serious one as much as a reading that leaves all open.
func DefectFindings(r *sootline.Register) []Finding {
	worth := map[sootline.DefectGrade]float64{sootline.CriticalDefect: 1, sootline.SeriousDefect: 0.5, sootline.MinorDefect: 0.1}
	var all []Finding
	for _, d := range r.OpenDefects() {
		if d.State == sootline.DefectOpen && d.Point != nil && d.Point.Placed && d.Nature != sootline.FailedTest {
			all = append(all, Finding{Point: d.Point, Work: Look, Risk: worth[d.Grade], Why: d.What()})
		}
	}
	return all
}
