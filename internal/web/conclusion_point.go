package web

import (
	"sootline"
	"sootline/internal/app"
)

// concludes says how a point stands and what to do there: put it back into use before anything else, then what its value
// asks for now, then what is wrong.
func (p *pointPage) concludes() conclusion {
	c := p.standing()
	switch {
	case p.Removed != "":
		return conclusion{Says: "Removed on " + p.Removed + ": this is its history.", Next: &nextStep{"Add an event", p.Address + "#add", sootline.Technician}}
	case p.OffSince != "":
		says := "Disabled since " + p.OffSince
		if p.OffWhy != "" {
			says += ": " + p.OffWhy
		}
		return conclusion{Off: true, Says: says + ".", Why: c.Says, Next: &nextStep{"Put it back into use", p.form(sootline.RestoredKind), sootline.Technician}}
	case len(p.Defects) > 0 && !p.pressing():
		first := p.Defects[0]
		c.Why, c.Says = joinedSentences(c.Says, c.Why), count(len(p.Defects), "defect is", "defects are")+" not closed: "+first.What+", since "+first.Since+"."
		c.Next = &nextStep{"Go on with the defect", first.Address, ""}
	}
	return c
}

// pressing reports whether its value asks for somebody now.
func (p *pointPage) pressing() bool {
	return p.Judged != nil && (p.Judged.Action == string(app.CleanNow) || p.Judged.Action == string(app.Replace))
}

// standing says how its value stands.
func (p *pointPage) standing() conclusion {
	read := &nextStep{"Add a reading", p.form(sootline.ReadKind), sootline.Technician}
	if p.Judged == nil {
		what := "This device"
		if p.Kind != "" {
			what = "A " + p.Kind
		}
		return conclusion{Says: what + " is tested, not judged by a value.", Next: &nextStep{"Write a test down", p.form(sootline.TestedKind), sootline.Technician}}
	}
	j := p.Judged
	says := verdictWords(j.Verdict) + ": " + j.Action
	if j.Reads != "" {
		of := ""
		if j.Quantity != "" {
			of = " " + j.Quantity
		}
		says = j.Reads + of + " on " + j.ReadAt + ", " + says
	}
	c := conclusion{Mark: mark(j.Verdict), Says: sootline.AsSentence(says), Next: read}
	if len(j.Reasons) > 0 {
		c.Why = sootline.AsSentence(j.Reasons[0])
	}
	switch j.Action {
	case string(app.CleanNow), string(app.CleanAtVisit):
		c.Next = &nextStep{"It was cleaned: write it down", p.form(sootline.CleanedKind), sootline.Technician}
	case string(app.Replace):
		if p.Replace != nil {
			c.Next = &nextStep{"It was replaced: write it down", "#replace", sootline.Technician}
		}
	}
	return c
}

// verdictWords says how a value lies to its band.
func verdictWords(verdict string) string {
	switch verdict {
	case string(app.Above), string(app.Below), string(app.Inside):
		return verdict + " its band"
	case string(app.NoBand):
		return "no band is known"
	case string(app.NoReading):
		return "not read yet"
	}
	return verdict
}

// form is the address of the form that writes one kind of entry down.
func (p *pointPage) form(kind sootline.Kind) string {
	return p.Address + "?new=" + queryWord(string(kind)) + "#add"
}
