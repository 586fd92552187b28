package papers

import (
	"maps"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/paper"
)

// What the record fills is not overridden: who sees something wrong on a paper
// corrects the record. What a person adds where the record says nothing stands
// marked, with the name of who added it.

// known says how a field of a paper is known.
type known string

// The ways of knowing a field.
const (
	recorded known = "recorded"
	handed   known = "by hand"
	notKnown known = "not known"
)

// knownBy is how what the record fills is known.
func knownBy(value string) known {
	if value == "" {
		return notKnown
	}
	return recorded
}

// field is a field of a paper, filled by the record, else by hand, else a line to
// write on; it says which.
func (p *paperwork) field(f certificateField) paper.Field {
	if f.fill != nil {
		if value := f.fill(p); value != "" {
			return paper.Field{Name: f.name, Value: value, Known: string(recorded)}
		}
	}
	if value := p.byHand(f.name); value != "" {
		return paper.Field{Name: f.name, Value: value, Known: string(handed)}
	}
	return paper.Field{Name: f.name, Known: string(notKnown)}
}

// group is the fields of a group.
func (p *paperwork) group(g certificateGroup) paper.Fields {
	fields := paper.Fields{}
	for _, f := range g.fields {
		fields.Rows = append(fields.Rows, p.field(f))
	}
	return fields
}

// byHand gives what somebody added, marked as such; empty: nobody did.
func (p *paperwork) byHand(name string) string {
	value := strings.TrimSpace(p.wish.Fields[name])
	if value == "" {
		return ""
	}
	by := p.wish.By
	if by == "" {
		by = "somebody not named"
	}
	return value + " (added by hand by " + by + ")"
}

// checkFields refuses what the paper has no field for, since dropping it would
// lose what somebody wrote, and what the record says itself.
func (p *paperwork) checkFields() error {
	fields := fieldsOfKind(p.wish.Kind)
	var names []string
	for _, f := range fields {
		if !f.fact {
			names = append(names, f.name)
		}
	}
	for _, given := range slices.Sorted(maps.Keys(p.wish.Fields)) {
		at := slices.IndexFunc(fields, func(f certificateField) bool { return f.name == given })
		switch {
		case len(fields) == 0:
			return sootline.Errorf(sootline.Invalid, "certificates and the visit report have some", "the paper %s has no fields to fill in", p.wish.Kind)
		case at < 0:
			return sootline.Errorf(sootline.Invalid, "its fields: "+strings.Join(names, "; "), "the paper %s has no field %q", p.wish.Kind, given)
		case fields[at].fact:
			return sootline.Errorf(sootline.Invalid, "write it down once, for all papers", "%q is a fact of the site and lives in its log", given).Do(sootline.StateFacts)
		case fields[at].fill != nil:
			if says := fields[at].fill(p); says != "" {
				return sootline.Errorf(sootline.Invalid, "where it is wrong, correct the entries that it rests on", "the record says %q of %q, and a paper says what the record says", says, given).
					Do(sootline.ReadLog)
			}
		}
	}
	return nil
}

// fieldsOfKind lists the fields of a kind of paper.
func fieldsOfKind(kind string) []certificateField {
	var fields []certificateField
	if kind == "visit" {
		for _, group := range visitGroups() {
			fields = append(fields, group.fields...)
		}
		return fields
	}
	for _, c := range certificates() {
		if c.key == kind {
			for _, group := range c.groups {
				fields = append(fields, group.fields...)
			}
		}
	}
	return fields
}
