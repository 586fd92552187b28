package web

import (
	"sootline"
	"sootline/internal/app"
)

// radialLines is a radial circuit in words.
type radialLines struct {
	Name, Verdict, Settles, Entry string
	Shown, Fails                  bool
	Found, Assumed                []string
}

// radials tells of the circuits that do not come back to their panels.
func (p *powerPage) radials(survey *app.Survey, role sootline.Role) error {
	if role.May(sootline.Manager) {
		p.State = siteAddress(survey) + "/log?new=" + string(sootline.RadialKind) + "#add"
	}
	powers, err := app.RadialPowers(survey.Register, "")
	for _, one := range powers {
		p.Radials = append(p.Radials, radialLines{
			Name: one.Name(), Verdict: one.Stands.Sentence(), Settles: one.Settles(), Entry: entryAddress(survey, one.Kept.Entry),
			Shown: one.Shown(), Fails: one.Fails(), Found: one.Stands.Lines, Assumed: one.Assumed,
		})
	}
	return err
}
