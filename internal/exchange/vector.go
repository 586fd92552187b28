package exchange

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"sootline"
)

// Range is a run of lines of a station that a book holds whole.
type Range struct {
	First, Last int64
	Hash        sootline.Hash // of the last line; it covers all before it
}

// MarshalJSON writes first, last and hash as a list.
func (r Range) MarshalJSON() ([]byte, error) { return json.Marshal([]any{r.First, r.Last, r.Hash}) }

// UnmarshalJSON reads what MarshalJSON writes.
func (r *Range) UnmarshalJSON(text []byte) error {
	var parts []json.RawMessage
	if err := json.Unmarshal(text, &parts); err != nil {
		return err
	}
	if len(parts) != 3 {
		return fmt.Errorf("a range has %d parts, not 3", len(parts))
	}
	for i, into := range []any{&r.First, &r.Last, &r.Hash} {
		if err := json.Unmarshal(parts[i], into); err != nil {
			return err
		}
	}
	if r.First < 1 || r.Last < r.First {
		return fmt.Errorf("%d to %d is no range", r.First, r.Last)
	}
	return nil
}

// Vector says what a book holds of a site, by station in the order of their numbers.
type Vector struct {
	Site   sootline.ID        `json:"site,omitzero"` // zero: the site is known by its name alone
	Name   string             `json:"name,omitempty"`
	Held   map[string][]Range `json:"held,omitempty"`
	Only   bool               `json:"only,omitempty"`   // it answers an offer: of stations that are not named nothing is lacking
	Photos []string           `json:"photos,omitempty"` // that its entries name and the book lacks, by hash
}

// Against shortens a vector to an answer: to the stations of which the offer has lines that
// the vector lacks, or that contradict it.
func (v *Vector) Against(offer *Vector) Vector {
	answer := Vector{Site: v.Site, Held: map[string][]Range{}, Only: true, Photos: v.Photos}
	for station, ranges := range offer.Held {
		alone := map[string][]Range{station: ranges}
		if spans, err := Lacking(alone, v.Held); err != nil || len(spans) > 0 {
			answer.Held[station] = append([]Range{}, v.Held[station]...)
		}
	}
	return answer
}

// Lacks lists what whoever made the vector lacks of what we hold; see [Lacking].
func (v *Vector) Lacks(ours map[string][]Range) ([]Span, error) {
	if !v.Only {
		return Lacking(ours, v.Held)
	}
	named := maps.Clone(ours)
	maps.DeleteFunc(named, func(station string, _ []Range) bool {
		_, named := v.Held[station]
		return !named
	})
	return Lacking(named, v.Held)
}

// Span is a run of lines that one side holds and the other lacks.
type Span struct {
	Station     string
	First, Last int64
	After       sootline.Hash // of the line before it, which both hold; zero: the other says nothing of one
	Gap         bool          // the holder lacks the line before it
}

// Lacking lists what a book lacks of what we hold, by station and number. Where both
// hold lines to the same end, and the hashes there differ, one of the two was altered.
func Lacking(ours map[string][]Range, theirs map[string][]Range) ([]Span, error) {
	var lacking []Span
	for _, station := range slices.Sorted(maps.Keys(ours)) {
		for i, r := range ours[station] {
			if err := contradiction(station, r, theirs[station]); err != nil {
				return nil, err
			}
			gap := r.First > 1 && (i == 0 || ours[station][i-1].Last+1 < r.First)
			lacking = append(lacking, spans(station, r, theirs[station], gap)...)
		}
	}
	return lacking, nil
}

// contradiction reports a range of theirs that ends where ours does, with another hash.
func contradiction(station string, ours Range, theirs []Range) error {
	for _, r := range theirs {
		if r.Last == ours.Last && r.Hash != ours.Hash {
			return Contradicts(station, r.Last)
		}
	}
	return nil
}

// Contradicts is the error of a line that is not the same in two books.
func Contradicts(station string, seq int64) error {
	return sootline.Errorf(sootline.Conflict, "find out which of the two logs is the station's own; nothing of this site was exchanged",
		"line %d of station %s, or one before it, says one thing here and another there", seq, station)
}

// spans gives what of a range of ours they lack.
func spans(station string, ours Range, theirs []Range, gap bool) []Span {
	theirs = slices.SortedFunc(slices.Values(theirs), func(a, b Range) int { return cmp.Compare(a.First, b.First) })
	var lacking []Span
	next := Span{Station: station, First: ours.First, Gap: gap}
	for _, r := range theirs {
		if r.Last < next.First {
			if r.Last == next.First-1 && !gap {
				next.After = r.Hash
			}
			continue
		}
		if r.First > ours.Last {
			break
		}
		if r.First > next.First {
			next.Last = r.First - 1
			lacking = append(lacking, next)
		}
		next = Span{Station: station, First: r.Last + 1, After: r.Hash}
	}
	if next.First <= ours.Last {
		next.Last = ours.Last
		lacking = append(lacking, next)
	}
	return lacking
}

// Holds reports whether ranges hold a line.
func Holds(ranges []Range, seq int64) bool {
	return slices.ContainsFunc(ranges, func(r Range) bool { return r.First <= seq && seq <= r.Last })
}
