package sootline

import (
	"bytes"
	"slices"
)

// Dispute is an entry that two stations corrected otherwise, neither with the word
// of the other before it. The later one holds.
type Dispute struct {
	Entry *Entry    // as it was written
	Says  [2]*Entry // the corrections, the one that holds last
}

// Disputes lists the entries that stations corrected otherwise, until somebody
// amends them again.
func (r *Register) Disputes() []Dispute { return r.disputes }

// disputes finds the corrections that hold and differ from the one before them, of
// another station. Whoever had that station's lines up to it, as an import pins
// them, knew it and meant to change it.
func disputes(entries []*Entry, amended map[ID]*Entry) []Dispute {
	if len(amended) == 0 {
		return nil
	}
	before := correctionsBefore(entries, amended)
	var all []Dispute
	for _, e := range entries {
		holds, other := amended[e.ID], before[e.ID]
		if other == nil || other.Station == holds.Station || knew(entries, holds, other) || sameCorrection(holds, other) {
			continue
		}
		all = append(all, Dispute{e, [2]*Entry{other, holds}})
		delete(before, e.ID) // several stations may have noted the entry itself
	}
	return all
}

// correctionsBefore gives, for each entry whose correction holds, the last one
// before it that nobody took back.
func correctionsBefore(entries []*Entry, amended map[ID]*Entry) map[ID]*Entry {
	before := map[ID]*Entry{}
	order, _ := lastFirst(entries)
	for _, e := range order {
		c, ok := e.Body.(Corrected)
		if !ok || amended[e.ID] != nil || amended[c.Entry] == nil || amended[c.Entry].ID == e.ID {
			continue
		}
		if _, corrected := amended[c.Entry].Body.(Corrected); corrected && before[c.Entry] == nil {
			before[c.Entry] = e
		}
	}
	return before
}

// knew reports whether an amendment was written in sight of the other, or its
// station had pinned it before.
func knew(entries []*Entry, e, other *Entry) bool {
	if slices.Contains(saw(e.Body), other.ID) {
		return true
	}
	return slices.ContainsFunc(entries, func(pin *Entry) bool {
		p, ok := pin.Body.(Pinned)
		return ok && pin.Station == e.Station && pin.Seq < e.Seq && slices.ContainsFunc(p.Heads, func(h Head) bool {
			return h.Station == other.Station && h.Seq >= other.Seq
		})
	})
}

func sameCorrection(a, b *Entry) bool {
	says := func(e *Entry) []byte {
		c, _ := e.Body.(Corrected)
		c.Why, c.Seen = "", nil
		said, err := appendBody(nil, c)
		if err != nil {
			return nil
		}
		return said
	}
	return bytes.Equal(says(a), says(b))
}
