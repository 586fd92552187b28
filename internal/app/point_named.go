package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
)

// PointNamed finds the one point that is named: by its id, its reference, or else by
// its serial, by words of its location, or by its type. Where several share a number
// or the words, they are listed.
func PointNamed(r *sootline.Register, name string) (*sootline.Point, error) {
	return pointFor(r, name, "")
}

// PointsNamed finds several points, each as [PointNamed] does, and gives their ids.
func PointsNamed(r *sootline.Register, names []string) ([]sootline.ID, error) {
	var points []sootline.ID
	for _, name := range names {
		p, err := PointNamed(r, name)
		if err != nil {
			return nil, err
		}
		if slices.Contains(points, p.ID) {
			return nil, sootline.Errorf(sootline.Invalid, "name each point once", "%s is named twice", p.Ref())
		}
		points = append(points, p.ID)
	}
	return points, nil
}

// pointFor finds the point that an entry of a kind is about.
func pointFor(r *sootline.Register, name string, kind sootline.Kind) (*sootline.Point, error) {
	if id, err := sootline.ParseID(name); err == nil {
		if p := r.Point(id); p != nil {
			return p, nil
		}
		return nil, sootline.Errorf(sootline.NotFound, "the log shows the ids", "there is no point of the id %s", id).Do(sootline.ReadLog).Or("so does a check").Do(sootline.CheckSite)
	}
	plain, of := sootline.CutRange(strings.TrimSpace(name))
	ref, err := sootline.ParseRef(plain)
	if err != nil {
		return lookedUp(r, name, err)
	}
	points := r.Whose(r.Named(ref, Always), kind, of)
	if len(points) == 0 {
		points = r.Whose(listedAt(r, ref), kind, of)
	}
	switch len(points) {
	case 1:
		return points[0], nil
	case 0:
		if found := pointsByWords(r, name); len(found) == 1 {
			return found[0], nil
		}
		return nil, sootline.Errorf(sootline.NotFound, "see which loops there are", "there is no point %s%s", ref, of).Do(sootline.ShowSite).Or("or take in a schedule").Do(sootline.TakeListings)
	}
	return nil, severalAt(r, ref, points)
}

// listedAt lists the points that a list has at a number, where they were found or set
// elsewhere since and nobody said which is wanted: people know them by the list.
func listedAt(r *sootline.Register, ref sootline.Ref) []*sootline.Point {
	return only(r.Points(), func(p *sootline.Point) bool {
		own := p.Ref()
		return p.Wanted == 0 && p.Listed == ref.Number && ref.In(own)
	})
}

// severalAt refuses a number that several points carry, with how to name one.
func severalAt(r *sootline.Register, ref sootline.Ref, points []*sootline.Point) error {
	var which []string
	for _, p := range points {
		which = append(which, fmt.Sprintf("%s at %s", p.ID, cmp.Or(p.Location, p.Area, "no known place")))
	}
	hint, give := "name one of them by its id, for example the first", points[0].ID.String()
	if one := r.OfRange(slices.Clone(points), sootline.RangeOf(r.Sheet(points[0].Type))); len(one) == 1 {
		hint, give = "end the number with d for the detector, with m for the other", ref.String()+string(sootline.RangeOf(r.Sheet(points[0].Type)))
	}
	return sootline.Errorf(sootline.Conflict, hint, "%d points carry the number %s: %s", len(points), ref, strings.Join(which, ", ")).Do(sootline.Give, "point", give)
}

// mostHits is how many points a sentence lists.
const mostHits = 12

// lookedUp finds a point by other words than a reference; bad is why it is none.
func lookedUp(r *sootline.Register, words string, bad error) (*sootline.Point, error) {
	found := pointsByWords(r, words)
	if len(found) == 1 {
		return found[0], nil
	}
	if len(found) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, sootline.ErrorHint(bad)+"; or a serial, words of a location, or a type", "%w, and no point has it as its serial, in its location or as its type", bad)
	}
	var which []string
	for _, p := range found[:min(mostHits, len(found))] {
		which = append(which, sootline.Joined(p.Ref().String(), cmp.Or(p.Location, p.Area), p.Type))
	}
	if more := len(found) - len(which); more > 0 {
		which = append(which, fmt.Sprintf("%d more", more))
	}
	return nil, sootline.Errorf(sootline.Invalid, "name one of them by its reference", "%d points are found by %q: %s", len(found), strings.TrimSpace(words), strings.Join(which, "; "))
}

// pointsByWords lists the points of a serial; else those whose location is the words,
// else has all of them; else those of a type. Case and spaces do not matter.
func pointsByWords(r *sootline.Register, words string) []*sootline.Point {
	key := sootline.TypeKey(words)
	if key == "" {
		return nil
	}
	parts := strings.Fields(key)
	for _, is := range []func(p *sootline.Point) bool{
		func(p *sootline.Point) bool { return sootline.TypeKey(p.Unit.Serial) == key },
		func(p *sootline.Point) bool { return sootline.TypeKey(p.Location) == key },
		func(p *sootline.Point) bool { return sootline.TypeKey(p.Type) == key },
		func(p *sootline.Point) bool { return hasWords(sootline.TypeKey(p.Location+" "+p.Area), parts) },
		func(p *sootline.Point) bool { return hasWords(sootline.TypeKey(p.Type), parts) },
	} {
		if found := only(r.Points(), is); len(found) > 0 {
			return found
		}
	}
	return nil
}

// hasWords reports whether each part begins a word of the text.
func hasWords(text string, parts []string) bool {
	for _, part := range parts {
		if !strings.HasPrefix(text, part) && !strings.Contains(text, " "+part) {
			return false
		}
	}
	return true
}
