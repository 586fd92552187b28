package shape

import "sootline"

// Kind is a kind of entry: what it is, who may write it, and what it says.
type Kind struct {
	Kind      string      `json:"kind"`
	Says      string      `json:"says"`
	About     string      `json:"about" enum:"point,site,either" doc:"What an entry of it is about; either: a point, or the site"`
	Role      string      `json:"role" doc:"The least that may write it"`
	Phone     bool        `json:"phone" doc:"It is captured while walking"`
	ByHand    bool        `json:"by_hand" doc:"It is offered where entries are added one by one"`
	ByProgram bool        `json:"by_program" doc:"It is written by the program alone"`
	Fields    []KindField `json:"fields" doc:"The keys of what it says; none for amendments"`
}

// KindField is one key of what an entry of a kind says.
type KindField struct {
	Key     string       `json:"key"`
	Label   string       `json:"label"`
	Input   string       `json:"input" doc:"How a form takes it: text, whole, number, samples, flag, choice, settings, lines, entry, photo, day or json"`
	Needed  bool         `json:"needed"`
	Seldom  bool         `json:"seldom,omitempty" doc:"It is hardly ever typed"`
	Typed   string       `json:"typed,omitempty" doc:"The pattern of a reading as it is typed, unit and all: a regular expression"`
	Danger  float64      `json:"danger,omitempty" doc:"The reading from which nobody goes on"`
	Over    string       `json:"over,omitempty" doc:"The key that says of it that the meter was over its range, so that it is at least so much"`
	Choices []KindChoice `json:"choices"`
}

// KindChoice is one of several that a key can have.
type KindChoice struct {
	Value string `json:"value"`
	Says  string `json:"says"`
}

// Kinds are the kinds of the table.
type Kinds struct {
	Kinds []Kind `json:"kinds"`
}

// OfKinds shapes the table of kinds.
func OfKinds() Kinds {
	all := Kinds{Kinds: []Kind{}}
	for _, facts := range sootline.Kinds() {
		all.Kinds = append(all.Kinds, ofKind(facts))
	}
	return all
}

// phoneKinds shapes the kinds that a phone captures while walking: what is written at
// the bench alone is not among them.
func phoneKinds() []Kind {
	kinds := []Kind{}
	for _, facts := range sootline.Kinds() {
		if facts.Phone && facts.ByUse == "" && facts.Kind != sootline.FittedKind {
			kinds = append(kinds, ofKind(facts))
		}
	}
	return kinds
}

func ofKind(facts sootline.KindFacts) Kind {
	kind := Kind{
		Kind: string(facts.Kind), Says: facts.Says, About: "either", Role: string(facts.Role), Phone: facts.Phone,
		ByHand: facts.ByHand, ByProgram: facts.ByProgram, Fields: []KindField{},
	}
	switch {
	case facts.OfPoint:
		kind.About = "point"
	case facts.OfSite:
		kind.About = "site"
	}
	for _, field := range sootline.FieldsOf(facts.Kind) {
		shown := KindField{Key: field.Key, Label: field.Label, Input: string(field.Input), Needed: field.Needed, Over: field.Over, Seldom: field.Seldom, Typed: field.Typed(), Danger: field.Danger, Choices: []KindChoice{}}
		for _, c := range field.Choices {
			shown.Choices = append(shown.Choices, KindChoice{c.Value, c.Says})
		}
		kind.Fields = append(kind.Fields, shown)
	}
	return kind
}
