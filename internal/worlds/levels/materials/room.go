package materials

import (
	"fmt"
	"math"
	"time"
)

// room is an area of the site: heads in it share its air.
type room struct {
	name    string
	celsius float64 // in the mean of a year, at the ceiling
	pace    float64 // times the pace of the site's dirt; below 1: a dirty room
	swing   float64 // share of the way by which the turn of the year moves a value
	warmest float64 // share of the year at which it is warmest
	damp    float64 // from 0, dry, to 1, dripping
	works   []works
}

// works raise dust in a room over some days.
type works struct {
	from  time.Time
	days  float64
	share float64 // of the way, in the middle of the room
}

// rooms that a site may have: mean warmth at the ceiling and damp, from memory of such buildings.
var roomKinds = []struct {
	name          string
	celsius, damp float64
}{
	{"Office", 24, 0.1},
	{"Corridor", 22, 0.15},
	{"Plant room", 38, 0.3},
	{"Cold store", 5, 0.7},
	{"Laundry", 31, 0.8},
	{"Workshop", 20, 0.3},
	{"Loft", 27, 0.5},
	{"Basement", 14, 0.75},
}

func newRoom(c chance, p *plan, number int) *room {
	kind := roomKinds[c.IntN(len(roomKinds))]
	return &room{
		name: fmt.Sprintf("%s %d", kind.name, number), celsius: kind.celsius + c.normal(2), pace: c.factor(p.unlike),
		swing: math.Abs(c.normal(p.swing)), warmest: c.between(0.5, 0.65), damp: min(1, max(0, kind.damp+c.normal(0.1))),
	}
}

// season is how far the turn of the year moves a value. It lies in what is read, not in the level.
func (r *room) season(t time.Time) float64 {
	return r.swing * math.Cos(2*math.Pi*(float64(t.YearDay())/365.25-r.warmest))
}

// wet draws how damp a room is on the day of a visit: dampest in the cold half of the year.
func (r *room) wet(c chance, t time.Time) float64 {
	cold := -0.25 * math.Cos(2*math.Pi*(float64(t.YearDay())/365.25-r.warmest))
	return min(1, max(0, r.damp+cold+c.normal(0.3)))
}

// raised is the share of works that has settled by a time.
func (w *works) raised(t time.Time) float64 {
	return min(1, max(0, t.Sub(w.from).Hours()/24/w.days))
}
