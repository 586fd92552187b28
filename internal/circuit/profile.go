package circuit

// Profile is the voltage along the loop as data, for whatever draws it.
type Profile struct {
	Title  string
	Length Metres // of the ring
	Series []Series
	Least  []Mark // least working volts, device by device
}

// Series is one state of the loop.
type Series struct {
	Name  string
	Marks []Mark // in cable order; a stretch that is not fed has none
}

// Mark is one point of a series.
type Mark struct {
	Metres Metres // along the ring from OUT; for a point on a spur, of the place where the spur leaves
	Volts  Volts
	Point  string
	Spur   bool
}

// Profile draws the states with the given names along the ring, with each device's least volts.
func (c *Circuit) Profile(title string, names []string, states []*Solution) *Profile {
	at, length := c.metres()
	pr := &Profile{Title: title, Length: length}
	for i := range c.loop.Points {
		if p := &c.loop.Points[i]; p.Least > 0 && !p.Junction {
			pr.Least = append(pr.Least, Mark{at[i], p.Least, p.Name, p.Spur != ""})
		}
	}
	for k, sol := range states {
		series := Series{Name: names[k]}
		for i := range c.loop.Points {
			if sol.Exists && sol.Fed[i] {
				p := &c.loop.Points[i]
				series.Marks = append(series.Marks, Mark{at[i], sol.Volts[i], p.Name, p.Spur != ""})
			}
		}
		pr.Series = append(pr.Series, series)
	}
	return pr
}

// metres gives each point's place along the ring. Cables without a length count as one metre each, so that a loop of
// measured ohms can be drawn.
func (c *Circuit) metres() (at []Metres, length Metres) {
	at = make([]Metres, len(c.loop.Points))
	for _, p := range c.ring {
		length += max(c.loop.Points[p].Cable.Metres, 0)
		if c.loop.Points[p].Cable.Metres == 0 {
			length++
		}
		at[p] = length
	}
	for _, sp := range c.spurs {
		for _, p := range sp.points {
			at[p] = at[c.ring[sp.at]]
		}
	}
	length += c.loop.Return.Metres
	if c.loop.Return.Metres == 0 {
		length++
	}
	return at, length
}
