package sootline

import "slices"

// AliasKind is the kind of [Alias].
const AliasKind Kind = "alias"

// Alias says what is meant by a spelling. It is a fact of the site, so that who said
// so is in the log and goes with it, and so that it is taken back as any entry is. It
// changes no entry: it is applied where the register is folded, so that what was
// written before is understood as well, and stands as it was written when the alias
// is withdrawn. A later one of the same spelling replaces it.
type Alias struct {
	Of    AliasOf `json:"of" form:"what is spelled so"`
	Said  string  `json:"said" form:"the spelling"`
	Means string  `json:"means" form:"what is meant; the spelling itself where it is a name of its own"`
}

// AliasOf is what an alias spells.
type AliasOf string

// What has aliases.
const (
	AliasType   AliasOf = "type"
	AliasCause  AliasOf = "cause"
	AliasPerson AliasOf = "person"
	AliasArea   AliasOf = "area"
)

// AliasesOf lists what has aliases.
func AliasesOf() []AliasOf { return []AliasOf{AliasType, AliasArea, AliasCause, AliasPerson} }

func (AliasOf) choices() []Choice {
	return []Choice{
		{string(AliasType), "a type of device"},
		{string(AliasArea), "an area"},
		{string(AliasCause), "a cause"},
		{string(AliasPerson), "a person"},
	}
}

// Kind is AliasKind.
func (Alias) Kind() Kind { return AliasKind }

func (a Alias) say() string {
	if aliasKey(a.Said) == aliasKey(a.Means) {
		return string(a.Of) + " " + quoted(a.Said) + " is a name of its own"
	}
	return string(a.Of) + " " + quoted(a.Said) + " means " + quoted(a.Means)
}

func quoted(text string) string { return "“" + text + "”" }

func (a Alias) check() error {
	if err := checkChoice("alias", string(a.Of), a.Of.choices()); err != nil {
		return err
	}
	if aliasKey(a.Said) == "" || aliasKey(a.Means) == "" {
		return Errorf(Invalid, "", "an alias has the spelling, and what is meant by it")
	}
	return nil
}

// aliasKey is the spelling by which aliases are matched, as types are.
func aliasKey(name string) string { return TypeKey(name) }

// spelled is a spelling of something that has aliases.
type spelled struct {
	of  AliasOf
	key string
}

func (a Alias) fold(r *Register, e *Entry) {
	r.aliases[spelled{a.Of, aliasKey(a.Said)}] = KnownAlias{a, e}
}

// KnownAlias is an alias that holds, with the entry that says so.
type KnownAlias struct {
	Alias
	Entry *Entry
}

// Meant gives what is meant by a spelling: what its alias says, else the spelling. An
// alias is not followed further, so that none goes round in a circle.
func (r *Register) Meant(of AliasOf, said string) string {
	if known, ok := r.aliases[spelled{of, aliasKey(said)}]; ok {
		return known.Means
	}
	return said
}

// HasAlias reports whether somebody said what a spelling means.
func (r *Register) HasAlias(of AliasOf, said string) bool {
	_, ok := r.aliases[spelled{of, aliasKey(said)}]
	return ok
}

// Aliases lists the aliases that hold, by what they are of and their spelling.
func (r *Register) Aliases() []KnownAlias {
	var all []KnownAlias
	for _, of := range AliasesOf() {
		var some []KnownAlias
		for key, known := range r.aliases {
			if key.of == of {
				some = append(some, known)
			}
		}
		slices.SortFunc(some, func(a, b KnownAlias) int { return compareNames(aliasKey(a.Said), aliasKey(b.Said)) })
		all = append(all, some...)
	}
	return all
}

// settleAliases puts what is meant in the place of what was written.
func (r *Register) settleAliases() {
	if len(r.aliases) == 0 {
		return
	}
	causes := func(events []Event) {
		for i := range events {
			events[i].Cause = r.Meant(AliasCause, events[i].Cause)
		}
	}
	causes(r.Events)
	for _, p := range r.points {
		p.Type, p.Area = r.Meant(AliasType, p.Type), r.Meant(AliasArea, p.Area)
		for i := range p.Resets {
			p.Resets[i].Type = r.Meant(AliasType, p.Resets[i].Type)
		}
		causes(p.Events)
	}
}

func (a Alias) facts() []FactSaid {
	return oneFact("what the "+string(a.Of)+" "+quoted(aliasKey(a.Said))+" means", a)
}
