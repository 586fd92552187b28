package web

import "sootline"

// What the pages that lead to other numbers come to.

// noLoop is what a page of numbers comes to where there is no loop.
func noLoop(base string) conclusion {
	return conclusion{Says: "No loop is described yet.", Next: &nextStep{"Describe a loop", base + "/settings/loop", sootline.Manager}}
}

func (p *orderPage) concludes() conclusion {
	switch {
	case p.Loop == "":
		return noLoop(siteAddress(p.Survey))
	case len(p.Steps) > 0:
		return conclusion{Says: count(p.Moved, "device moves", "devices move") + " in " + count(len(p.Steps), "setting", "settings") + "."}
	case p.Trouble != "" || len(p.Says) > 0:
		return conclusion{Says: "No order of changes can be given."}
	}
	return conclusion{Says: "No device is to change its number.", Next: &nextStep{"Plan numbers", p.Base + "/plan?loop=" + queryWord(p.Loop), ""}}
}

func (p *foundPage) concludes() conclusion {
	switch {
	case p.Loop == "":
		return noLoop(siteAddress(p.Survey))
	case p.List == "":
		return conclusion{Says: "No list was handed in: choose one, or type what answers."}
	case p.Places > 0:
		return conclusion{Says: "They differ from the register in " + count(p.Places, "place", "places") + "; " + count(len(p.Mistakes), "mistake", "mistakes") + " would account for that."}
	}
	return conclusion{Says: p.Agrees}
}

func (p *cardsPage) concludes() conclusion {
	switch {
	case p.Loop == "":
		return noLoop(siteAddress(p.Survey))
	case len(p.Cards) == 0:
		return conclusion{Says: "No device is on this loop."}
	}
	c := conclusion{Says: count(len(p.Cards), "card", "cards") + " of loop " + p.Loop + "."}
	if len(p.Asked) > 0 {
		c.Says = count(len(p.Cards), "card", "cards") + " of loop " + p.Loop + "; how some devices are set is not known."
	}
	return c
}
