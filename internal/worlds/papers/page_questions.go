package papers

import (
	"fmt"
	"strings"
)

// Questions are the five that a customer has, with what answers them on page one alone. Without a visit there is one:
// whether there was any.
func (s *Story) Questions() []Question {
	if s.Opened.IsZero() {
		return []Question{{"was anybody here?", []Answer{like("no visit is written down", `\bno visit|\bvisit[^.]{0,40}not (?:recorded|known|written)|\bnobody was here`)}}}
	}
	return []Question{
		{"what was wrong?", s.wrong()},
		{"is anything still out of use?", s.outOfUse()},
		{"what must I do, and by when?", s.todo()},
		{"what could not be tested?", s.untested()},
		{"when do you come next?", []Answer{{"the word next, and a day within seven months of the visit", s.next}}},
		{"who was here, when, and who signs?", []Answer{says(s.Person), says(s.Opened.Format("15:04")), says(s.Closed.Format("15:04")), says(forms(s.Opened)...), says("signature", "signed")}},
	}
}

// wrong is answered by each defect with its place, and the count of values outside; else by saying that there was none,
// or that nobody looked.
func (s *Story) wrong() []Answer {
	var all []Answer
	for _, d := range s.Defects {
		p := s.Points[d.Point]
		all = append(all, says(d.Says), near(d.Says+" at "+p.Area+" or "+p.Ref(), escape(d.Says), lower(p.Area)+`|`+escape(p.Ref()), 200))
		if d.State == "closed" {
			all = append(all, near(d.Says+": put right at the visit", escape(d.Says), `mended|put right|closed|repaired|passed`, 200))
		}
		if d.Grade == "critical" {
			all = append(all, near(d.Says+": how grave", escape(d.Says), `critical|danger|without protection|at once`, 200))
		}
	}
	if n := len(s.Outside); n > 0 {
		all = append(all, counted(n, `values?|readings?|points?|devices?|detectors?`, `\boutside\b|\babove\b`))
	}
	switch {
	case s.Shape == Nothing:
		return []Answer{like("nobody looked", `nothing was (?:done|tested|seen|looked at)|no (?:point|test|device)|0 of \d+|none (?:of the points )?(?:was|were) tested`)}
	case len(all) == 0:
		return []Answer{like("nothing was found", `nothing (?:was )?(?:found|wrong)|no (?:defects?|findings?|faults?)\b|without findings`)}
	}
	return all
}

func (s *Story) outOfUse() []Answer {
	if s.Normal() {
		return []Answer{near("nothing is out of use", `out of use`, `\bnothing\b|\bnone\b|\bno part\b`, 60)}
	}
	return []Answer{near("smoke doors are out of use", `out of use`, `smoke doors`, 120)}
}

// todo is answered by each defect that is not closed: what it needs, by when, and who agreed to do it.
func (s *Story) todo() []Answer {
	var all []Answer
	for _, d := range s.Defects {
		if d.State != "closed" {
			var days []string
			for _, form := range forms(d.By) {
				days = append(days, escape(form))
			}
			all = append(all, says(d.Needs), near(d.Needs+" by "+days[1], escape(d.Needs), strings.Join(days, "|"), 150), says(d.Agreed))
		}
	}
	if len(all) == 0 {
		all = append(all, like("nothing must be done", `nothing (?:to (?:be )?do|must be done|needs|is needed|for you)|no (?:action|work|remedial)|not? (?:defects?|remedial)`))
	}
	return all
}

// untested is answered by how many, where and why.
func (s *Story) untested() []Answer {
	n := len(s.Unreached)
	switch {
	case s.Shape == Nothing:
		return []Answer{like("no point was tested", `(?:no|none|0|nothing)\b.{0,40}\btested|not tested|untested`)}
	case n == 0:
		return []Answer{like("every point was", fmt.Sprintf(`(?:nothing|none|no point).{0,60}(?:reached|untested|left out)|(?:every|all).{0,40}(?:tested|reached)|%d of %d`, len(s.Points), len(s.Points)))}
	}
	return []Answer{
		counted(n, `points?|devices?|detectors?`, `not (?:be )?(?:reach|test)(?:ed)?|untested|unreached|locked`), says(lockedRoom), says(s.Why, "locked"),
	}
}

// Whole is what the report says on any page. Of a photo it sees the word beside its defect, and no picture.
func (s *Story) Whole() []Question {
	if s.Opened.IsZero() {
		return nil
	}
	all := []Question{
		{"which cautions were confirmed?", []Answer{near("the responsible person knows", `responsible person`, `know|agree|told|informed`, 80), says("monitoring"), says("inhibited", "outputs")}},
		{"what was taken out of use, and put back?", nil},
		{"what was remarked?", nil},
		{"which values were outside?", nil},
		{"which points were not reached?", nil},
		{"which unwanted alarms were there?", nil},
		{"which defects have a photo?", nil},
	}
	for _, what := range s.Disabled {
		all[1].By = append(all[1].By, says(what))
	}
	for _, what := range s.Restored {
		all[1].By = append(all[1].By, near(what+": back in use", escape(what), `back in use|restored|put back`, 160))
	}
	for _, what := range s.Remarks {
		if what != "" {
			all[2].By = append(all[2].By, says(what))
		}
	}
	for _, d := range s.Defects {
		if d.Photo {
			all[6].By = append(all[6].By, near(d.Says+": a photo", escape(d.Says), `\bphoto`, 300))
		}
	}
	for _, v := range s.Outside {
		ref := s.Points[v.Point].Ref()
		all[3].By = append(all[3].By, behind(fmt.Sprintf("%s read %d", ref, v.Says), ref, fmt.Sprintf(`\b%d\b`, v.Says)))
	}
	for _, i := range s.Unreached {
		ref := s.Points[i].Ref()
		all[4].By = append(all[4].By, near(ref+" was not reached", escape(ref), `reached|locked`, 160))
	}
	if s.Alarm != nil {
		all[5].By = []Answer{says(s.Alarm.Cause), says("unwanted"), says(forms(s.Alarm.At)...)}
	}
	return all
}
