package shape

import (
	"sootline"
	"sootline/internal/app"
)

// Walk is how an open visit stands, the answer of `visit walk --json`.
type Walk struct {
	Opened   string   `json:"opened"`
	Round    int      `json:"round"` // points of the round
	Seen     []Tick   `json:"seen"`
	Waiting  []string `json:"waiting"`
	Still    []string `json:"still"` // of a kind that cannot be made to act
	Others   []Tick   `json:"may_be_real"`
	Unlike   []Tick   `json:"unlike"` // what a panel said that the register has otherwise
	Standing []string `json:"out_of_use"`
	Caution  string   `json:"caution"`
}

// Tick is a point that was seen to act.
type Tick struct {
	Point   string `json:"point"`
	PointID string `json:"point_id"`
	At      string `json:"at"`
	Day     bool   `json:"day"` // only the day is known
	Kind    string `json:"kind"`
	Why     string `json:"why"`
	Entry   string `json:"entry"`
}

// OfWalk shapes it.
func OfWalk(v *app.VisitState) Walk {
	shape := Walk{
		Opened: instant(v.Visit.From()), Round: len(v.Visit.Round), Seen: ofTicks(v.Walk.Seen), Others: ofTicks(v.Walk.Others), Unlike: ofTicks(v.Walk.Unlike),
		Waiting: append([]string{}, Refs(v.Walk.Waiting)...), Still: append([]string{}, Refs(v.Walk.Still)...), Standing: []string{}, Caution: Caution,
	}
	for _, what := range v.Standing {
		shape.Standing = append(shape.Standing, what.String())
	}
	return shape
}

func ofTicks(ticks []app.Tick) []Tick {
	all := []Tick{}
	for _, t := range ticks {
		all = append(all, Tick{t.Point.Ref().String(), t.Point.ID.String(), instant(t.At), t.Day, string(t.Kind), t.Why, t.Entry.String()})
	}
	return all
}

// RuleSets are the sets of rules that a site can choose from, the answer of `visit rules --sets --json`.
type RuleSets struct {
	Sets []RuleSet `json:"sets"`
}

// RuleSet is one of them; its rules are as docs/formats/rules.md has them.
type RuleSet struct {
	Name  string                 `json:"name"`
	Says  string                 `json:"says"`
	Rules []sootline.ServiceRule `json:"rules"`
}

// OfRuleSets shapes them.
func OfRuleSets(sets []app.RuleSet) RuleSets {
	shape := RuleSets{Sets: []RuleSet{}}
	for _, set := range sets {
		shape.Sets = append(shape.Sets, RuleSet{set.Name, set.Says, set.Rules})
	}
	return shape
}
