package sootline

import "cmp"

// OpenedKind is the kind of [Opened].
const OpenedKind Kind = "opened"

// Opened states the facts and rules of a site. A later one replaces the fields
// that it gives.
type Opened struct {
	Name   string `json:"name,omitempty"`
	Zone   string `json:"zone,omitempty"` // IANA time zone; empty: UTC
	Remark string `json:"remark,omitempty"`
	Rules  Rules  `json:"rules,omitzero"`
	SiteFacts
}

// Kind is OpenedKind.
func (Opened) Kind() Kind { return OpenedKind }

func (o Opened) say() string {
	said := Joined(labelledText("site", o.Name), labelledText("time zone", o.Zone), o.Remark, o.Rules.say(), o.SiteFacts.say())
	return cmp.Or(said, "facts of the site, none of them told")
}

func (o Opened) check() error {
	if o.Rules.VisitMonths < 0 || o.Rules.ForgottenDays < 0 || o.Rules.PooledSD < 0 || !finite(o.Rules.PooledSD) {
		return Errorf(Invalid, "", "a rule of a site is a number from 0")
	}
	return o.Rules.Losses.check()
}

// checkNew refuses a zone that is not known. Logs may hold one: they are read all
// the same.
func (o Opened) checkNew() error {
	if o.Name != "" {
		if _, err := ProperName("site", o.Name, MostSiteName); err != nil {
			return err
		}
	}
	_, err := ZoneNamed(o.Zone)
	return err
}

func (o Opened) fold(r *Register, e *Entry) {
	r.Site.ID = e.Site
	replace(&r.Site.Name, o.Name)
	if o.Zone != "" {
		r.Site.foldZone(o.Zone, e)
	}
	replace(&r.Site.Remark, o.Remark)
	o.SiteFacts.fold(&r.Site.SiteFacts)
	replace(&r.Site.Rules.VisitMonths, o.Rules.VisitMonths)
	replace(&r.Site.Rules.ForgottenDays, o.Rules.ForgottenDays)
	replace(&r.Site.Rules.PooledSD, o.Rules.PooledSD)
	o.Rules.Losses.fold(&r.Site.Rules.Losses)
}

// foldZone takes the zone that an entry gives. One that is not known leaves the site
// in UTC, and is kept to be told of.
func (s *Site) foldZone(zone string, e *Entry) {
	s.Zone, s.ZoneUnknown, s.zoneSaid = zone, "", e.ID
	if _, err := ZoneNamed(zone); err != nil {
		s.Zone, s.ZoneUnknown = "", zone
	}
}

// replace puts a given value in the place of an old one; a zero value was not
// given.
func replace[T comparable](old *T, given T) {
	var none T
	if given != none {
		*old = given
	}
}

// facts lists what is given, field by field: the others stay as they were.
func (o Opened) facts() []FactSaid {
	form, err := FormOf(o)
	if err != nil {
		return nil
	}
	var all []FactSaid
	for _, field := range FieldsOf(OpenedKind) {
		if form[field.Key] == "" {
			continue
		}
		if alone, err := BodyOf(OpenedKind, Form{field.Key: form[field.Key]}); err == nil {
			all = append(all, FactSaid{Fact{What: "of the site: " + field.Label}, alone})
		}
	}
	return all
}
