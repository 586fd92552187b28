package web

import (
	"fmt"

	"sootline"
)

// What the pages of the whole book come to.

func (p *todayPage) concludes() conclusion {
	if p.All == 0 {
		return conclusion{} // how to begin stands there instead
	}
	if p.Needing == 0 {
		says := "Nothing needs anybody now"
		switch {
		case p.Behind > 0:
			says += ", as far as the list is up to date"
		case p.All > 1:
			says += " at any of " + grouped(p.All) + " sites"
		}
		return conclusion{Says: says + "."}
	}
	c := conclusion{Mark: "▲", Says: grouped(p.Needing) + " of " + count(p.All, "site needs", "sites need") + " somebody now."}
	if len(p.Sites) > 0 && p.Page == 1 && p.Search == "" && p.Customer == "" { // else the first here may need nobody
		c.Next = &nextStep{"Begin at " + p.Sites[0].Name, p.Sites[0].Address, ""}
	}
	return c
}

// concludes tells of the first line that can be shown, for the lines stand in the order of their turn.
func (p *dueEverywherePage) concludes() conclusion {
	for i := range p.Sites {
		if first := &p.Sites[i]; first.Known {
			c := first.comes()
			c.Says, c.Why = "First here, "+first.Name+": "+c.Says, sootline.AsSentence(first.Behind)
			return c
		}
	}
	return conclusion{}
}

func (p *duePage) concludes() conclusion {
	c := p.comes()
	c.Says = sootline.Capital(c.Says)
	return c
}

// comes is what the obligations of a site come to, as the rest of a sentence.
func (d *dueSite) comes() conclusion {
	visit := &nextStep{"Plan a visit", d.Plan, sootline.Technician}
	switch {
	case d.Overdue > 0:
		return conclusion{Mark: "▲", Says: grouped(d.Overdue) + " overdue, and " + grouped(d.Due) + " due at a visit today.", Next: visit}
	case d.Due > 0:
		return conclusion{Says: "nothing is overdue, and " + grouped(d.Due) + " due at a visit today.", Next: visit}
	case d.Next == "":
		return conclusion{Says: "nothing is due."}
	}
	return conclusion{Says: "nothing is due today; next due " + d.Next + "."}
}

func (p *peoplePage) concludes() conclusion {
	if p.Open {
		return conclusion{
			Says: "Nobody is listed: whoever works at this machine is manager.",
			Next: &nextStep{"Add somebody", "#add", sootline.Manager},
			Why:  "Once the book knows a person, everybody signs in, at this machine too.",
		}
	}
	managers := 0
	for _, one := range p.People {
		if one.Role == string(sootline.Manager) {
			managers++
		}
	}
	return conclusion{
		Says: count(len(p.People), "person", "people") + " may sign in, " + count(managers, "as a manager", "as managers") + ".",
		Next: &nextStep{"Invite somebody", "#invite", sootline.Manager},
	}
}

// concludes names the gravest trouble of all places, and else when all was last kept.
func (p *backupsPage) concludes() conclusion {
	if len(p.Places) == 0 {
		if p.Scheduled {
			return conclusion{Says: "No backup was made yet; one is kept every " + p.Every + " where something was written since."}
		}
		return conclusion{Mark: "▲", Says: "No backups are kept: what this machine loses is lost."}
	}
	for _, trouble := range []struct {
		is   func(*backupPlace) bool
		says string
	}{
		{func(b *backupPlace) bool { return b.Gone != "" }, "What was kept at %s is gone."},
		{func(b *backupPlace) bool { return b.Failed != "" }, "The last try to keep a backup at %s failed."},
		{func(b *backupPlace) bool { return b.Drill != "" }, "A backup at %s could not be put back when that was tried."},
		{func(b *backupPlace) bool { return b.Overdue }, "A backup at %s is overdue."},
		{func(b *backupPlace) bool { return b.Last == "" }, "Nothing was kept at %s yet."},
		{func(b *backupPlace) bool { return b.Ahead != "" }, "A backup at %s is dated after now."},
		{func(b *backupPlace) bool { return b.DrillLate }, "Whether a backup at %s can be put back was not tried for long."},
		{func(b *backupPlace) bool { return !b.Scheduled }, "This server keeps no backups at %s now."},
	} {
		for i := range p.Places {
			if trouble.is(&p.Places[i]) {
				return conclusion{Mark: "▲", Says: fmt.Sprintf(trouble.says, p.Places[i].Place)}
			}
		}
	}
	return conclusion{Says: "The last backup is of " + p.Places[0].Last + "; nothing is wrong with any."}
}

func (p *phonesPage) concludes() conclusion {
	if len(p.Pairing) > 0 {
		return conclusion{Says: "A phone can be added now: look at the picture with its camera."}
	}
	phones := 0
	for i := range p.Phones {
		if p.Phones[i].Purpose != "calendar" {
			phones++
		}
	}
	switch phones {
	case 0:
		return conclusion{Says: "No phone captures for this book yet."}
	}
	return conclusion{Says: count(phones, "phone captures", "phones capture") + " for this book."}
}

func (p *accountPage) concludes() conclusion {
	if !p.Known {
		return conclusion{Says: "Nobody is signed in by a password here, so that there is nothing to change."}
	}
	factor := "a second factor is asked for"
	if !p.Factor {
		factor = "the password alone opens the book"
	}
	says := p.Name + ", " + p.Role + ": signed in at " + count(len(p.Sessions), "place", "places") + "; " + factor + "."
	if p.Factor {
		return conclusion{Says: says}
	}
	return conclusion{Says: says, Next: &nextStep{"Set up a second factor", "#factor", ""}}
}
