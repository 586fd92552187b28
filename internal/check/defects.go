package check

import (
	"cmp"
	"fmt"
	"strings"

	"sootline"
)

// defects finds what is wrong and not mended, the gravest first.
func (c checker) defects() []sootline.Finding {
	var findings []sootline.Finding
	for _, d := range c.OpenDefects() {
		if d.State == sootline.DefectOpen {
			f := defectFinding(d, DefectOpen, gravity(d.Grade), "since "+day(d.Since))
			f.WayOut = sootline.Out("mend it, then say so").Do(sootline.StepDefect, d.Name)
			if d.Nature == sootline.FailedTest {
				f.WayOut = sootline.Out("mend it, then test it again").Do(sootline.AddEntry, string(sootline.TestedKind), d.Point.Ref().String())
			}
			findings = append(findings, f)
		}
	}
	return findings
}

// mended finds the defects that were mended and not tried again.
func (c checker) mended() []sootline.Finding {
	var findings []sootline.Finding
	for _, d := range c.OpenDefects() {
		if d.State == sootline.DefectMended {
			f := defectFinding(d, DefectMended, min(gravity(d.Grade), sootline.Warning), "mended on "+day(d.MendedBy.At.In(c.on.Location()))+", not tried again yet")
			f.WayOut = sootline.Out("try it at the next round, then say so").Do(sootline.StepDefect, d.Name)
			findings = append(findings, f)
		}
	}
	return findings
}

// gravity is the weight of a defect that is open.
func gravity(grade sootline.DefectGrade) sootline.Weight {
	switch grade {
	case sootline.CriticalDefect:
		return sootline.Serious
	case sootline.MinorDefect:
		return sootline.Hint
	}
	return sootline.Warning
}

func defectFinding(d *sootline.DefectFacts, code string, weight sootline.Weight, how string) sootline.Finding {
	f := sootline.Finding{Code: code, Weight: weight}
	if d.Point != nil {
		f.Points, f.Loop = []*sootline.Point{d.Point}, d.Point.LoopID()
	}
	f.Reason = fmt.Sprintf("%s: %s, %s", cmp.Or(d.Where(), "the site"), d.What(), how)
	for _, part := range [...]struct{ label, text string }{{"needs", d.Needs}, {"told", d.Told}, {"agreed", d.Agreed}, {"by", d.ByDay}} {
		if part.text != "" {
			f.Reason += "; " + part.label + " " + strings.TrimSuffix(part.text, ".")
		}
	}
	for _, e := range d.Story {
		f.Entries = append(f.Entries, e.ID)
	}
	return f
}

// strayStep finds what was told of no defect of the site.
func (c checker) strayStep() []sootline.Finding {
	var findings []sootline.Finding
	for _, e := range c.StraySteps() {
		f := sootline.Finding{
			Code: DefectUnknown, Weight: sootline.Warning, Entries: []sootline.ID{e.ID},
			Reason: fmt.Sprintf("an entry of %s (%s) names no defect that the site had then, and changes nothing", day(e.At.In(c.on.Location())), sootline.Say(e.Body)),
			WayOut: sootline.Out("put it right").Do(sootline.CorrectEntry, e.ID.String()).Or("or take it back").Do(sootline.WithdrawEntry, e.ID.String()).Or("see which defects there are").Do(sootline.ListDefects),
		}
		if e.Body.Kind() == sootline.TestedKind {
			f.Reason = fmt.Sprintf("a failed test of %s names no point: which device failed is not known", day(e.At.In(c.on.Location())))
		}
		findings = append(findings, f)
	}
	return findings
}
