package shape

import (
	"sootline"
	"sootline/internal/app"
)

// Apart lists the facts that were changed in two places.
type Apart struct {
	Facts []ApartFact `json:"facts"`
}

// ApartFact is one of them; the last entry holds until it is settled.
type ApartFact struct {
	What    string       `json:"what"`
	Point   string       `json:"point,omitempty" doc:"The point's reference; left out: of the site"`
	Entries []ApartEntry `json:"entries"`
}

// ApartEntry is one of the entries that changed it.
type ApartEntry struct {
	Entry string `json:"entry"`
	Says  string `json:"says" doc:"In words"`
	By    string `json:"by"`
	Noted string `json:"noted"`
	Holds bool   `json:"holds" doc:"Until somebody settles it"`
}

// OfApart shapes facts that were changed in two places.
func OfApart(lines []app.ApartLine) Apart {
	out := Apart{Facts: []ApartFact{}}
	for _, line := range lines {
		fact := ApartFact{What: line.What, Point: line.Ref}
		for _, said := range line.Says {
			fact.Entries = append(fact.Entries, ApartEntry{said.Entry.ID.String(), said.Says, said.Entry.By, instant(said.Entry.Noted), said.Holds})
		}
		out.Facts = append(out.Facts, fact)
	}
	return out
}

// Settled is what was written to settle a fact.
type Settled struct {
	Entries []Entry `json:"entries"`
}

// OfSettled shapes the entries that settle facts.
func OfSettled(written []sootline.Entry) (Settled, error) {
	out := Settled{Entries: []Entry{}}
	for i := range written {
		e, err := OfEntry(&written[i])
		if err != nil {
			return out, err
		}
		out.Entries = append(out.Entries, e)
	}
	return out, nil
}
