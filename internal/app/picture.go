package app

import (
	"sootline/internal/chart"
	"sootline/internal/circuit"
)

// Picture draws the volts along the loop, healthy and under the worst fault, with
// the least that each device works with.
func (p *Power) Picture() *chart.Picture {
	drawn := chart.Profile{
		Title:  p.Profile.Title,
		Metres: float64(p.Profile.Length),
		Least:  profileMarks(p.Profile.Least),
	}
	for _, s := range p.Profile.Series {
		drawn.Series = append(drawn.Series, chart.ProfileRun{Name: s.Name, At: profileMarks(s.Marks)})
	}
	return drawn.Picture()
}

func profileMarks(marks []circuit.Mark) []chart.ProfileAt {
	at := make([]chart.ProfileAt, len(marks))
	for i, m := range marks {
		at[i] = chart.ProfileAt{Metres: float64(m.Metres), Volts: float64(m.Volts), Point: m.Point, Spur: m.Spur}
	}
	return at
}
