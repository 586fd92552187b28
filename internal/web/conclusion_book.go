package web

import (
	"fmt"

	"sootline"
)

// What the pages of the whole book come to.

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
