package judge

// habit is how often a site cleans without writing it down, once a look has shown that a detector is dirty: the
// share of such looks after which the next one, with nothing noted between, lies most of the way back at rest, or
// part of it.
type habit struct{ cleaned, half float64 }

const (
	dirtyFrom   = -0.05 // in bands from the limit: nobody cleans what lies far below it for its value
	mostWay     = 0.75  // of the way back to rest counts as cleaned
	partWay     = 0.25  // and this as part of it
	habitWorth  = 6     // looks that what is believed of all sites counts for:
	usualForget = 0.02  // one in fifty; from memory of the trade
)

// learnHabit counts what followed on looks that showed dirt.
func (m *model) learnHabit() {
	dirty, cleaned, half := 0.0, 0.0, 0.0
	for _, p := range m.points {
		for i := 2; i < len(p.looks); i++ {
			if p.apart(i) || p.apart(i-1) || p.z[i-1] < dirtyFrom || !p.kin.scale.upper {
				continue
			}
			if p.z[i-2]-p.kin.rest < (p.z[i-1]-p.kin.rest)/3 {
				continue // a look alone may be a slip of the pen
			}
			dirty++
			switch way := (p.z[i-1] - p.z[i]) / (p.z[i-1] - p.kin.rest); {
			case way > mostWay && way < 2:
				cleaned++
			case way > partWay && way <= mostWay:
				half++
			}
		}
	}
	m.habit = habit{
		cleaned: (cleaned + habitWorth*usualForget) / (dirty + habitWorth),
		half:    (half + habitWorth*usualForget/4) / (dirty + habitWorth),
	}
}
