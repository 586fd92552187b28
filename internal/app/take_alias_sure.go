package app

import (
	"slices"

	"sootline"
)

// doubtAlias refuses an alias that nobody can mean as a spelling: of a type that has a sheet of its own, whose points would
// all be judged by another one, or for a type that nothing in the book has.
func doubtAlias(r *sootline.Register, body sootline.Alias) error {
	if body.Of != sootline.AliasType || sootline.TypeKey(body.Said) == sootline.TypeKey(body.Means) {
		return nil
	}
	has := func(name string) bool {
		key := sootline.TypeKey(name)
		return slices.ContainsFunc(r.Sheets(), func(s *sootline.TypeSheet) bool { return sootline.TypeKey(s.Name) == key })
	}
	fitted := func(name string) bool {
		key := sootline.TypeKey(name)
		return slices.ContainsFunc(r.Points(), func(p *sootline.Point) bool { return sootline.TypeKey(p.Type) == key })
	}
	switch {
	case has(body.Said):
		return sootline.Errorf(sootline.Doubtful, "say that you are certain", "%s has a type sheet of its own: as a spelling of %s, all its points would be judged by another band", body.Said, body.Means)
	case !has(body.Means) && !fitted(body.Means):
		return sootline.Errorf(sootline.Doubtful, "bring the type sheet first, or say that you are certain", "no type sheet and no point of this site is called %s", body.Means)
	}
	return nil
}
