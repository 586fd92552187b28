package app

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/ear"
	"sootline/internal/store"
)

// KeptSource says where a source of a site is heard.
type KeptSource struct {
	Name, Panel string
	Via         string // a kind of source, of [SourceKinds]
	Address     string
	Speed       int
	Places      string // of a source of values: which value is of which point, a table as [App.ReadMapText] reads it
	Minutes     int    // of a source of values: how often they are read; 0: once a day
}

// KeepSource keeps with the site where a source is heard. How its lines are read stays as it is.
func (a *App) KeepSource(ctx context.Context, site sootline.ID, k KeptSource) error {
	if err := a.Who.MaySee(site); err != nil {
		return err
	}
	k.Name, k.Address = strings.TrimSpace(k.Name), strings.TrimSpace(k.Address)
	if err := sourceName(k.Name); err != nil {
		return err
	}
	if err := ear.Check(ear.Kind(k.Via), k.Address); err != nil {
		return err
	}
	if ear.Kind(k.Via).OfValues() {
		read, err := a.ReadMapText(ctx, site, k.Via, k.Places)
		if err != nil {
			return err
		}
		k.Places = read.Places
	} else if k.Places != "" {
		return sootline.Errorf(sootline.Invalid, "leave the list of values away, or choose a kind that gives values", "a source of kind %q gives text, and no values", k.Via)
	}
	return a.changeSource(ctx, site, k.Name, func(s *sootline.Source) error {
		s.Places, s.Minutes = k.Places, k.Minutes
		s.Panel = cmp.Or(k.Panel, s.Panel)
		s.Via, s.Address, s.Speed = k.Via, k.Address, k.Speed
		return nil
	})
}

// DropSource says that a source is not heard any more, nor read. What was heard stays beside the book, and entries stay in the log.
func (a *App) DropSource(ctx context.Context, site sootline.ID, name string) error {
	if _, err := a.SourceNamed(ctx, site, name); err != nil {
		return err
	}
	return a.changeSource(ctx, site, name, func(s *sootline.Source) error {
		*s = sootline.Source{Name: name}
		return nil
	})
}

// TakeBackTaught reads the lines of a source as they were read before somebody taught it last, or no more where nobody had.
func (a *App) TakeBackTaught(ctx context.Context, site sootline.ID, name string) error {
	now, err := a.SourceNamed(ctx, site, name)
	if err != nil {
		return err
	}
	if now.Style == "" {
		return sootline.Errorf(sootline.Conflict, "", "nobody has taught how the lines of source %q are read", name)
	}
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return err
	}
	var styles []string // one behind the other; taken back: the last is off
	for _, e := range log.Holding() {
		s, ok := e.Body.(sootline.Source)
		switch {
		case !ok || s.Name != name:
		case len(styles) > 0 && s.Style == styles[len(styles)-1]:
		case len(styles) > 1 && s.Style == styles[len(styles)-2]:
			styles = styles[:len(styles)-1]
		default:
			styles = append(styles, s.Style)
		}
	}
	before := ""
	if n := len(styles); n > 1 {
		before = styles[n-2]
	}
	return a.changeSource(ctx, site, name, func(s *sootline.Source) error {
		s.Style, s.Text = before, "taken back"
		return nil
	})
}

// SourceNamed finds a source of the site.
func (a *App) SourceNamed(ctx context.Context, site sootline.ID, name string) (sootline.Source, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return sootline.Source{}, err
	}
	s, ok := log.Fold(a.Now()).Sources[name]
	if !ok {
		return s, sootline.Errorf(sootline.NotFound, "see which there are", "the site has no source %q", name).Do(sootline.ListSources)
	}
	return s, nil
}

// changeSource writes a source anew, with what is changed in it.
func (a *App) changeSource(ctx context.Context, site sootline.ID, name string, change func(*sootline.Source) error) error {
	if err := a.Who.MaySee(site); err != nil {
		return err
	}
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return err
	}
	s := log.Fold(a.Now()).Sources[name]
	s.Name, s.Text = name, ""
	if err := change(&s); err != nil {
		return err
	}
	return a.writeTo(ctx, site, func(tx *store.Tx) error {
		e := a.entry(site, a.Now(), sootline.ID{}, s)
		if !a.Form.Zero() {
			e.ID = a.Form
		}
		there, err := tx.Has(site, e.ID)
		if err != nil || there[e.ID] {
			return err // the form was handed in before
		}
		return a.note(tx, site, e)
	})
}

// sourceName refuses a name that cannot be a folder's.
func sourceName(name string) error {
	if _, err := sootline.ProperName("source", name, 40); err != nil {
		return err
	}
	if strings.ContainsAny(name, `/\:`) || strings.HasPrefix(name, ".") {
		return sootline.Errorf(sootline.Invalid, "choose one without slashes and colons", "%q cannot be the name of a source: it names a folder", name)
	}
	return nil
}

// sourceNames lists the sources that are kept with the site, and those of which something was heard on this machine.
func sourceNames(r *sootline.Register, heard []string) []string {
	names := slices.Clone(heard)
	for name := range r.Sources {
		names = append(names, name)
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// GivesValues reports whether a kind of source gives values and no text.
func GivesValues(via string) bool { return ear.Kind(via).OfValues() }

// SourceKindFacts is a kind of source, and what it is.
type SourceKindFacts struct{ Kind, Says string }

// SourceKinds lists the kinds of sources, in the order in which they are offered.
func SourceKinds() []SourceKindFacts {
	var all []SourceKindFacts
	for _, k := range ear.Kinds() {
		all = append(all, SourceKindFacts{string(k), k.Says()})
	}
	return all
}
