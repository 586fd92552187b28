package shape

import "sootline/internal/app"

// Radial is a circuit that does not come back to the panel.
type Radial struct {
	Circuit string   `json:"circuit"`
	Stands  string   `json:"stands"`
	Verdict string   `json:"verdict"`
	Settles string   `json:"settles"`
	Found   []string `json:"found"`
	Missing []string `json:"missing"`
	Assumed []string `json:"assumed"`
	Entry   string   `json:"entry"`
}

func shapeRadials(radials []*app.RadialPower) []Radial {
	list := []Radial{}
	for _, p := range radials {
		list = append(list, Radial{
			Circuit: p.Name(), Stands: string(p.Stands.Says), Verdict: p.Stands.Sentence(), Settles: p.Settles(),
			Found: orEmpty(p.Stands.Lines), Missing: orEmpty(p.Stands.Missing), Assumed: orEmpty(p.Assumed), Entry: p.Kept.Entry.String(),
		})
	}
	return list
}
