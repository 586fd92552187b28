package sootline

// Finding is something the tool concluded about the register: a reason in words
// and the entries that it rests on. It changes nothing.
type Finding struct {
	Code    string   // which rule found it, such as "number-twice"
	Weight  Weight   // how much it matters
	Points  []*Point // the points concerned, none when it concerns the site
	Loop    LoopID   // the loop concerned, or zero
	Reason  string   // one sentence
	WayOut  Ways     // what to do about it
	Entries []ID
}

// Weight says how much a finding matters.
type Weight int

// The weights.
const (
	Hint    Weight = iota // worth knowing
	Warning               // to be put right at the next visit
	Serious               // somebody is needed now
)

// String names the weight.
func (w Weight) String() string {
	return [...]string{"hint", "warning", "serious"}[min(max(w, Hint), Serious)]
}
