package shape

import "sootline"

// Areas are what is known of the areas of a site, the answer of `site area --json`.
type Areas struct {
	Site  string `json:"site"`
	Areas []Area `json:"areas"`
}

// Area is an area of the schedule, or one that was described.
type Area struct {
	Area   string   `json:"area"`
	Floor  string   `json:"floor"` // empty: nobody said
	M2     *float64 `json:"m2"`    // null: nobody said
	Points int      `json:"points"`
}

// OfAreas shapes them: those that were described first, then the others in the order of the register.
func OfAreas(r *sootline.Register) Areas {
	shape := Areas{Site: r.Site.Name, Areas: []Area{}}
	at := map[string]int{}
	for _, facts := range r.Areas() {
		area := Area{Area: facts.Area, Floor: facts.Floor}
		if facts.M2 > 0 {
			area.M2 = &facts.M2
		}
		at[facts.Area] = len(shape.Areas)
		shape.Areas = append(shape.Areas, area)
	}
	for _, p := range r.Points() {
		name := p.Area
		if facts := r.Area(p.Area); facts != nil {
			name = facts.Area
		}
		if name == "" {
			continue
		}
		i, ok := at[name]
		if !ok {
			i = len(shape.Areas)
			at[name] = i
			shape.Areas = append(shape.Areas, Area{Area: name})
		}
		shape.Areas[i].Points++
	}
	return shape
}
