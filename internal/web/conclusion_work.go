package web

import (
	"sootline"
)

// What the pages of the work at a site come to.

func (p *visitPage) concludes() conclusion {
	switch {
	case p.Open != nil:
		return conclusion{
			Says: grouped(p.Open.Seen) + " of " + count(p.Open.All, "point", "points") + " done; the visit is open since " + p.Open.From + ".",
			Next: &nextStep{"Capture, on this device", p.Open.Capture, sootline.Technician},
		}
	case p.Plan != nil && len(p.Plan.Stops) == 0:
		return conclusion{Says: "Nothing needs to be seen that fits these minutes."}
	case p.Plan != nil:
		return conclusion{
			Says: count(len(p.Plan.Stops), "point", "points") + " fit " + count(p.Plan.Minutes, "minute", "minutes") + ", with " + grouped(p.Plan.Spare) + " to spare.",
			Next: &nextStep{"Open the visit", "#open", sootline.Technician},
		}
	case p.Last == nil:
		return conclusion{Says: "No visit was made yet: say how many minutes there are, and a round is planned."}
	}
	says := "No visit is open; the last ended " + p.Last.To
	if p.Last.Next != "" {
		says += ", and the next is due " + p.Last.Next
	}
	return conclusion{Says: says + "."}
}

func (p *intakesPage) concludes() conclusion {
	switch {
	case len(p.Waiting) > 0:
		return conclusion{
			Says: count(len(p.Waiting), "intake is", "intakes are") + " handed in and not taken in.",
			Next: &nextStep{"Go on with " + p.Waiting[0].Names, p.Waiting[0].Address, sootline.Technician},
		}
	case len(p.Acts) > 0:
		return conclusion{Says: "Nothing waits: the last was taken in " + p.Acts[0].When + ", by " + p.Acts[0].By + "."}
	}
	return conclusion{Says: "Nothing was taken in yet: choose the listings that you have, whatever their shape."}
}

func (p *benchPage) concludes() conclusion {
	begin := &nextStep{"Begin a run", "#begin", sootline.Technician}
	if len(p.Loops) == 0 {
		return conclusion{
			Says: "No loop is described yet: a run needs to know which numbers a loop takes.",
			Next: &nextStep{"Describe a loop", siteAddress(p.Survey) + "/settings/loop", sootline.Manager},
		}
	}
	for _, run := range p.Runs {
		if run.Ended == "" {
			return conclusion{
				Says: "Run " + run.Name + " is open: " + grouped(run.Done) + " of " + grouped(run.Places) + " set.",
				Next: &nextStep{"Go on with it", run.Address, ""},
			}
		}
	}
	if p.Places > 0 {
		return conclusion{Says: "No run is open; " + count(p.Places, "place is", "places are") + " not set as wanted.", Next: begin}
	}
	return conclusion{Says: "No run is open, and every place is set as wanted.", Next: begin}
}

func (p *logPage) concludes() conclusion {
	c := conclusion{Next: &nextStep{"Add an entry", p.Address + "#add", sootline.Technician}}
	last := p.Survey.Register.Last
	switch n := p.Survey.LogLength(); {
	case n == 0:
		c.Says = "The log is empty."
	default:
		c.Says = count(n, "entry", "entries") + " in the log; the last tells of " + day(last, p.Survey.Zone) + "."
	}
	return c
}

func (p *papersPage) concludes() conclusion {
	c := conclusion{Says: "No paper was issued yet: each is a draft, and says so, until it is.", Next: &nextStep{"Choose a paper", "#shelf-0", ""}}
	if n := len(p.Issued); n > 0 {
		c.Says = count(n, "paper was", "papers were") + " issued, the last " + p.Issued[0].At + ", by " + p.Issued[0].By + "."
	}
	if p.Firm.Trouble != "" {
		c.Says, c.Next = "No paper can be made now: what names the firm cannot be read.", &nextStep{"See why", "#firm", ""}
	}
	return c
}

// concludes names the first thing that is missing of a site's settings, for the judgements rest on them.
func (p *settingsPage) concludes() conclusion {
	unknown, assumed := "", ""
	unknowns, assumptions := 0, 0
	for _, t := range p.Types {
		if !t.Known {
			if unknowns++; unknown == "" {
				unknown = t.Address
			}
		}
	}
	for _, loop := range p.Loops {
		if loop.Assumed {
			if assumptions++; assumed == "" {
				assumed = loop.Address
			}
		}
	}
	switch {
	case unknowns > 0:
		return conclusion{
			Says: count(unknowns, "type has", "types have") + " no sheet yet: their values are not judged.",
			Next: &nextStep{"Write the first sheet", unknown, sootline.Manager},
		}
	case len(p.Loops) == 0:
		return conclusion{Says: "No loop is described yet.", Next: &nextStep{"Describe a loop", p.Base + "/loop", sootline.Manager}}
	case assumptions > 0:
		return conclusion{
			Says: count(assumptions, "loop is", "loops are") + " described by nobody: which numbers they take is assumed.",
			Next: &nextStep{"Describe the first", assumed, sootline.Manager},
		}
	}
	return conclusion{
		Says: "Every loop is described, and every type has its sheet.",
		Next: &nextStep{"Settings wanted of devices", p.Base + "/wanted", ""},
	}
}
