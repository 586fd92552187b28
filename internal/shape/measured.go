package shape

import "sootline/internal/app"

// LoopMeters is what was measured of a loop, the last of it against the calculated.
type LoopMeters struct {
	Entries    []MeterEntry  `json:"entries"`
	Last       []MeterFigure `json:"last"`
	Insulation []string      `json:"insulation"`
	Changes    []string      `json:"changes"`
}

// MeterEntry is one measuring, by its entry in the log.
type MeterEntry struct {
	Entry string `json:"entry"`
	Day   string `json:"day"`
}

// MeterFigure is one figure of the last measuring. Calculated and its limits are null where it is not held against anything.
type MeterFigure struct {
	Day        string   `json:"day"`
	What       string   `json:"what"`
	Unit       string   `json:"unit"`
	Measured   float64  `json:"measured"`
	Over       bool     `json:"over" doc:"The meter was over its range: it is at least so much"`
	Calculated *float64 `json:"calculated"`
	Low        *float64 `json:"low"`
	High       *float64 `json:"high"`
	Off        *float64 `json:"off"`
	Sentence   string   `json:"sentence"`
}

func shapeMeters(m *app.LoopMeasured) *LoopMeters {
	if m == nil {
		return nil
	}
	s := &LoopMeters{Entries: []MeterEntry{}, Last: []MeterFigure{}, Insulation: orEmpty(m.Insulation), Changes: orEmpty(m.Changes)}
	for i := range m.All {
		s.Entries = append(s.Entries, MeterEntry{m.All[i].Entry.String(), m.Days[i]})
	}
	for i := range m.Last {
		one := &m.Last[i]
		figure := MeterFigure{Day: one.Day, What: one.What, Unit: one.Unit, Measured: one.Measured, Over: one.Over, Sentence: one.Sentence()}
		if one.Calculated != nil {
			off := one.Off()
			figure.Calculated, figure.Low, figure.High, figure.Off = rounded(one.Calculated), rounded(&one.Low), rounded(&one.High), rounded(&off)
		}
		s.Last = append(s.Last, figure)
	}
	return s
}
