package address

import "sootline"

// Place is somewhere along the cable where the loop can be opened: an isolator
// or the base of a device. It stands for the stretch that ends with it. Opened
// there and fed from the front end only, devices up to it answer and those
// behind it do not.
type Place struct {
	Name   string
	Effort int  // of opening it, in any one unit such as minutes; 1 to 10000
	Chance int  // that one of those looked for is on its stretch, in any one unit; 1 to 1000, 0 counts as 1
	Single bool // its stretch holds one device only
}

// The bounds of a search, whose work grows with the cube of the places.
const (
	mostPlaces = 300
	mostEffort = 10_000
	mostChance = 1_000
)

// Search finds one device, the end of a lost stretch, or both of two devices
// that answer to one number, by opening one place after another.
type Search struct {
	plan  *halving
	known []stretch
	asked []Opened
}

// Opened is a place that was opened, and how many of those looked for answered.
type Opened struct{ Place, Answered int }

// Next is what to do next and what is to be expected of it.
type Next struct {
	Place  int     // index of the place to open
	Effort float64 // expected in all, in the unit of the efforts
	Steps  float64 // places to open, expected
	Worst  int     // places to open at most
}

// stretch is a run of places known to hold so many of those looked for: one, or
// two.
type stretch struct{ holds, first, last int }

// SearchOne looks for one device, or for the place where a stretch is lost.
func SearchOne(places []Place) (*Search, error) { return newSearch(places, 1) }

// SearchTwo looks for both of two devices that answer to one number.
func SearchTwo(places []Place) (*Search, error) { return newSearch(places, 2) }

func newSearch(places []Place, holds int) (*Search, error) {
	if len(places) < 1 || len(places) > mostPlaces {
		return nil, sootline.Errorf(sootline.Invalid, "take isolators only, or a part of the loop",
			"a search needs 1 to %d places, found %d", mostPlaces, len(places))
	}
	for _, p := range places {
		if p.Effort < 1 || p.Effort > mostEffort || p.Chance < 0 || p.Chance > mostChance {
			return nil, sootline.Errorf(sootline.Invalid, "give minutes, and chances as small whole numbers",
				"place %q: effort is from 1 to %d and chance from 0 to %d, found %d and %d", clip(p.Name), mostEffort, mostChance, p.Effort, p.Chance)
		}
	}
	if holds == 2 && len(places) == 1 && places[0].Single {
		return nil, sootline.Errorf(sootline.Invalid, "list the other places too", "two devices cannot be on a stretch that holds one")
	}
	s := &Search{plan: newHalving(places)}
	s.known = s.plan.settle(stretch{holds, 0, len(places) - 1})
	return s, nil
}

// Next gives the place to open next, so that the least effort is expected in
// all; ok is false when nothing is left to find out.
func (s *Search) Next() (next Next, ok bool) {
	next.Place = nobody
	for _, k := range s.known {
		if k.first == k.last {
			continue
		}
		b := s.plan.best(k)
		if next.Place == nobody {
			next.Place = b.open
		}
		weight := float64(s.plan.weight(k))
		next.Effort += float64(b.effort) / weight
		next.Steps += float64(b.steps) / weight
		next.Worst += b.worst
	}
	return next, next.Place != nobody
}

// Record notes that a place was opened, the one that Next named or another, and
// how many of those looked for answered then. An answer that contradicts what
// is known already is an error and changes nothing.
func (s *Search) Record(place, answered int) error {
	if place < 0 || place >= s.plan.n {
		return sootline.Errorf(sootline.Invalid, "", "there is no place %d, the search has %d", place+1, s.plan.n)
	}
	left := answered
	var known []stretch
	for _, k := range s.known {
		before := min(max(left, 0), k.holds)
		switch {
		case k.last <= place:
			before = k.holds
			known = append(known, k)
		case k.first > place:
			before = 0
			known = append(known, k)
		default:
			known = append(known, s.plan.split(k, place, before)...)
		}
		left -= before
	}
	if left != 0 || !s.plan.possible(known) {
		return sootline.Errorf(sootline.Conflict, "open an earlier place again: a contact may be loose, or the list of places not in cable order",
			"%d answering with %q open contradicts what was seen before", answered, s.plan.places[place].Name)
	}
	s.known = known
	s.asked = append(s.asked, Opened{place, answered})
	return nil
}

// Asked lists what was recorded, in order.
func (s *Search) Asked() []Opened { return s.asked }

// Found gives for each of those looked for the first and last place between
// which it is: equal ones when its stretch is known.
func (s *Search) Found() [][2]int {
	var found [][2]int
	for _, k := range s.known {
		for range k.holds {
			found = append(found, [2]int{k.first, k.last})
		}
	}
	return found
}
