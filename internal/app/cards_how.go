package app

import (
	"context"
	"maps"
	"slices"

	"sootline"
	"sootline/internal/address"
)

// TypeHow is how the number of a type is set, and who is of it.
type TypeHow = address.TypeHow

// TypeHows lists how the numbers of a site's types are set.
func (a *App) TypeHows(ctx context.Context, site sootline.ID) ([]TypeHow, error) {
	r, err := a.Register(ctx, site, a.Now())
	if err != nil {
		return nil, err
	}
	return address.TypeHows(r), nil
}

// HowChoice is a way of setting a number, as it is written down and in words.
type HowChoice struct{ Writes, Says string }

// HowChoices lists every way of setting a number that can be written down.
func HowChoices() []HowChoice {
	var all []HowChoice
	for _, s := range address.Setters() {
		all = append(all, HowChoice{s.String(), s.Words()})
	}
	return all
}

// HowOf is how the number of a type is set, as one of [HowChoices] writes it; empty
// where that is not written down.
func HowOf(r *sootline.Register, name string) string {
	setter, err := address.SetterOf(r.Sheet(name))
	if err != nil || setter.How == address.Unknown {
		return ""
	}
	return setter.String()
}

// SayHowSet writes down in a type's sheet how its number is set, in the words that
// [address.ParseSetter] reads. A type without a sheet gets one that says only that.
func (a *App) SayHowSet(ctx context.Context, site sootline.ID, name, how string) error {
	if err := a.Who.MaySee(site); err != nil {
		return err
	}
	setter, err := address.ParseSetter(how)
	if err != nil {
		return err
	}
	if sootline.TypeKey(name) == "" {
		return sootline.Errorf(sootline.Invalid, "name the type", "no type was named")
	}
	return a.settle(ctx, site, func() ([]sootline.Entry, error) {
		r, err := a.Register(ctx, site, a.Now())
		if err != nil {
			return nil, err
		}
		sheet, at := sootline.TypeSheet{Name: name}, sootline.LongAgo
		if known := r.Sheet(name); known != nil {
			sheet, at = *known, a.Now()
		} else if !slices.ContainsFunc(r.Points(), func(p *sootline.Point) bool { return sootline.TypeKey(p.Type) == sootline.TypeKey(name) }) {
			return nil, sootline.Errorf(sootline.NotFound, "see which types there are", "no device is of type %s, and no type sheet is", name).Do(sootline.SayHowSet)
		}
		sheet.Settings = maps.Clone(sheet.Settings)
		if sheet.Settings == nil {
			sheet.Settings = map[string]string{}
		}
		if sheet.Settings[address.HowSetting] == setter.String() {
			return nil, nil
		}
		sheet.Settings[address.HowSetting] = setter.String()
		return []sootline.Entry{a.entry(site, at, sootline.ID{}, sootline.Sheet{TypeSheet: sheet})}, nil
	})
}
