package web

import (
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// What the pages about the devices of a site come to.

func (p *sitePage) concludes() conclusion {
	if p.Begin {
		return conclusion{Says: "This site has no point yet.", Next: &nextStep{"Take in a listing", siteAddress(p.Survey) + "/intake", sootline.Technician}}
	}
	return conclusion{Says: p.State, Next: &nextStep{"Plan a visit", siteAddress(p.Survey) + "/visit", sootline.Technician}}
}

func (p *pointsPage) concludes() conclusion {
	if p.All == 0 {
		return conclusion{Says: "The site has no point yet.", Next: &nextStep{"Take in a listing", siteAddress(p.Survey) + "/intake", sootline.Technician}}
	}
	c := conclusion{Next: &nextStep{"Add a device", p.Address + "/add", sootline.Technician}}
	var needs []string
	for _, g := range app.ByAction(p.Survey.Judged().Judgements) {
		if g.Action == app.Leave {
			continue
		}
		action := string(g.Action)
		if len(needs) == 0 {
			c.Mark, c.Next = mark(action), &nextStep{"Show those to " + imperative(action), p.Address + "?state=" + queryWord(action), ""}
		}
		needs = append(needs, grouped(len(g.Judgements))+" to "+imperative(action))
	}
	if c.Says = count(p.All, "point", "points") + ": " + strings.Join(needs, ", ") + "."; len(needs) == 0 {
		c.Says = count(p.All, "point", "points") + ", and none that needs somebody."
	}
	return c
}

// imperative words what is to be done to a point as an act: "to …".
func imperative(action string) string {
	switch action {
	case string(app.LookAgain):
		return "read again"
	case string(app.ReadFirst):
		return "read first"
	}
	return action
}

func (p *loopPage) concludes() conclusion {
	if p.Loop == "" {
		return noLoop(siteAddress(p.Survey))
	}
	points, needs := 0, 0
	for _, point := range p.Survey.Register.Points() {
		if point.LoopID().String() != p.Loop {
			continue
		}
		points++
		if j := p.Survey.Judgement(point); j != nil && j.Action != app.Leave {
			needs++
		}
	}
	says := count(points, "point stands", "points stand") + " on loop " + p.Loop
	if needs > 0 {
		says += ", of which " + count(needs, "needs", "need") + " somebody"
	}
	return conclusion{Says: says + ".", Next: &nextStep{"Its points as a table", p.Table, ""}}
}

func (p *defectsPage) concludes() conclusion {
	c := conclusion{Next: &nextStep{"Write a defect down", defectsAddress(p.Survey) + "#add", sootline.Technician}}
	switch first := slices.Concat(p.Open, p.Mended); {
	case len(p.Open) > 0:
		c.Says = count(len(p.Open), "defect is", "defects are") + " open, the gravest " + p.Open[0].Grade
		if len(p.Mended) > 0 {
			c.Says += "; " + grouped(len(p.Mended)) + " mended and not tried again yet"
		}
		c.Says += "."
		c.Next = &nextStep{"Go on with the gravest: " + p.Open[0].Where, p.Open[0].Address, ""}
	case len(first) > 0:
		c.Says = "No defect is open; " + count(len(p.Mended), "one is", "are") + " mended and not tried again yet."
		if len(p.Mended) == 1 {
			c.Says = "No defect is open; one is mended and not tried again yet."
		}
		c.Next = &nextStep{"Try it again: " + first[0].Where, first[0].Address, ""}
	default:
		c.Says = "No defect is open."
	}
	return c
}

func (p *defectPage) concludes() conclusion {
	c := conclusion{Says: sootline.AsSentence(p.Grade + ", open since " + p.Since)}
	switch sootline.DefectState(p.State) {
	case sootline.DefectMended:
		c.Says = sootline.AsSentence(p.Grade + ", mended on " + p.Turned + ": it waits for its retest")
	case sootline.DefectOpen:
	default:
		c.Says = "Closed on " + p.Turned + "."
		return c
	}
	if len(p.Steps) > 0 {
		c.Next = &nextStep{p.Steps[0].Title, "#step-" + string(p.Steps[0].Kind), sootline.Technician}
	}
	return c
}

func (p *questionsPage) concludes() conclusion {
	if len(p.Asked) == 0 {
		return conclusion{Says: "Nothing to ask: what is open was answered, or is too uncertain to ask about."}
	}
	return conclusion{
		Says: count(len(p.Asked), "question waits", "questions wait") + " for somebody who knows.",
		Why:  "What seems to have happened, and nobody wrote down. Nothing is changed unless somebody who knows says yes.",
	}
}

func (p *numbersPage) concludes() conclusion {
	if p.Loop == "" {
		return noLoop(siteAddress(p.Survey))
	}
	counts := map[string]int{}
	for _, table := range p.Tables {
		for _, of := range table.Counts {
			counts[of.Standing] += of.Count
		}
	}
	says := grouped(counts[string(app.NumberTaken)]) + " taken, " + grouped(counts[string(app.NumberFree)]) + " free"
	if n := counts[string(app.NumberClashing)]; n > 0 {
		return conclusion{
			Mark: "✕", Says: count(n, "number clashes", "numbers clash") + "; " + says + ".",
			Next: &nextStep{"Order of changes", p.Base + "/order?loop=" + queryWord(p.Loop), ""},
		}
	}
	return conclusion{Says: "No number clashes; " + says + ".", Next: &nextStep{"Plan numbers", p.Base + "/plan?loop=" + queryWord(p.Loop), ""}}
}

func (p *listeningPage) concludes() conclusion {
	if len(p.Sources) == 0 {
		return conclusion{Says: "Nothing is listened to at this site.", Next: &nextStep{"Say where a source is heard", "#keep", sootline.Manager}}
	}
	var wrong []string
	for i := range p.Sources {
		if s := &p.Sources[i]; !s.Fine {
			wrong = append(wrong, s.Name+": "+string(s.State))
		}
	}
	if len(wrong) == 0 {
		return conclusion{Says: "All sources are heard: " + strconv.Itoa(len(p.Sources)) + "."}
	}
	return conclusion{Says: sootline.AsSentence(strings.Join(wrong, "; "))}
}

func (p *apartPage) concludes() conclusion {
	if n := len(p.Facts); n > 0 {
		return conclusion{Mark: "▲", Says: count(n, "fact is", "facts are") + " to be settled."}
	}
	return conclusion{Says: "Nothing was changed in two places, or all of it is settled."}
}
