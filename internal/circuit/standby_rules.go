package circuit

// Figure is a number of a rule set with where it came from.
type Figure struct {
	Value  float64
	Source Source
	Note   string
}

// StandbyRule is how one clause sizes a battery. It is data, to be edited.
type StandbyRule struct {
	Name    string
	Clause  string
	Standby Figure // hours
	Alarm   Figure // hours
	Margin  Figure // factor on the whole
	// A battery gives less when emptied fast: where the alarm current exceeds HighRate of the capacity, per hour, the
	// alarm term counts HighFactor times. HighRate 0: the clause has no such rule.
	HighRate, HighFactor Figure
	// Aged is set where the margin already allows for ageing, or where the clause asks for no more than its margin; an
	// ageing factor is then not put on top.
	Aged bool
}

// StandbyRules is the set to start from. "Read" here means read in a secondary source that restates the standard; every
// figure needs a licensed copy before it is relied on.
func StandbyRules() []StandbyRule {
	bs := func(name string, standby, alarm Figure) StandbyRule {
		return StandbyRule{
			Name: name, Clause: "BS 5839-1:2017 25.4 and annex D (annex E in 2025): 1.25 (T1 I1 + D I2 T2)",
			Standby: standby, Alarm: alarm,
			Margin:     Figure{1.25, Read, "ageing; restated in a practitioners' forum on the 2002 edition"},
			HighRate:   Figure{1.0 / 20, Read, "the same; the 2025 wording was not read"},
			HighFactor: Figure{1.75, Read, "unless the battery's data give another figure"},
			Aged:       true,
		}
	}
	half := Figure{0.5, Read, "half an hour of alarm"}
	ts := func(name string, hours float64, note string) StandbyRule {
		return StandbyRule{
			Name: name, Clause: "CEN/TS 54-14:2018 A.6.8", Standby: Figure{hours, Remembered, note},
			Alarm: Figure{0.5, Remembered, ""}, Margin: Figure{1, Remembered, "no factor known: ageing is to be added"},
		}
	}
	nfpa := func(name, clause string, minutes, margin float64, note string) StandbyRule {
		return StandbyRule{
			Name: name, Clause: clause, Standby: Figure{24, Read, ""}, Alarm: Figure{minutes / 60, Read, ""},
			Margin: Figure{margin, Read, note}, Aged: true,
		}
	}
	const margin2010, margin2022 = "20 per cent since 2010, taken as the whole of what the clause asks", "25 per cent; the clause number differs between sources"
	return []StandbyRule{
		bs("BS 5839-1, life protection (L, M)", Figure{24, Read, "two one-page guides"}, half),
		bs("BS 5839-1, property (P), attended or signalled", Figure{24, Read, "continuously attended"}, half),
		bs("BS 5839-1, property (P), unattended", Figure{72, Read, "up to 72 h; not checked: 24 h beyond the longest time that nobody is there"}, half),
		bs("BS 5839-1, with a generator that starts by itself", Figure{6, Remembered, ""}, half),
		ts("CEN/TS 54-14", 72, ""),
		ts("CEN/TS 54-14, repair within a day", 30, "fault notified at once and repair within 24 h contracted"),
		ts("CEN/TS 54-14, all on site", 4, "spares, staff and generator on site"),
		nfpa("NFPA 72 before 2022", "NFPA 72:2010 to 2019 10.6.7.2", 5, 1.2, margin2010),
		nfpa("NFPA 72 before 2022, voice", "NFPA 72:2010 to 2019 10.6.7.2", 15, 1.2, margin2010),
		nfpa("NFPA 72:2022", "NFPA 72:2022 10.6.7.2.14 or 10.6.10.1", 5, 1.25, margin2022),
		nfpa("NFPA 72:2022, voice", "NFPA 72:2022 10.6.7.2.14 or 10.6.10.1", 15, 1.25, margin2022),
	}
}

// UsualSizes are the capacities in which sealed 12 V lead-acid batteries are commonly sold, in ampere-hours (common
// practice, no source).
func UsualSizes() []AmpHours { return []AmpHours{1.2, 2.1, 3.4, 7, 12, 17, 24, 38, 65, 100} }

// Warmth is a temperature with the factor by which a battery must be larger there.
type Warmth struct {
	Celsius Celsius
	Factor  float64
}

// WarmthFactors is IEEE 485 table 1, for lead-acid batteries rated at 25 C (from memory; a published cubic fit to the
// table agrees within 0.014).
func WarmthFactors() []Warmth {
	return []Warmth{
		{-3.9, 1.520},
		{1.7, 1.350},
		{4.4, 1.300},
		{7.2, 1.250},
		{10.0, 1.190},
		{12.8, 1.150},
		{15.6, 1.110},
		{18.3, 1.080},
		{20.0, 1.056},
		{21.1, 1.040},
		{22.2, 1.029},
		{25.0, 1.000},
		{26.7, 0.980},
		{29.4, 0.960},
		{32.2, 0.940},
		{35.0, 0.930},
		{37.8, 0.910},
		{40.6, 0.890},
		{43.3, 0.880},
		{46.1, 0.870},
		{48.9, 0.860},
		{51.7, 0.850},
	}
}
