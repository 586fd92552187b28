package app

import (
	"fmt"
	"time"

	"sootline"
)

// Sentences tell what is known of the chain, from its end to what witnesses it.
func (c *ChainVerdict) Sentences(zone *time.Location) []string {
	said := []string{c.signature()}
	if c.Key != nil && c.Signed < c.Last {
		said = append(said, fmt.Sprintf("Of it %s not signed.", stretch(c.Signed+1, c.Last)))
	}
	for _, s := range c.Unsigned {
		if !c.Here || s.First > c.Signed {
			continue // the station's own signature, or none
		}
		said = append(said, fmt.Sprintf("Of it %s older here than the first signature over them, which cannot tell what they said before.", stretch(s.First, s.Last)))
	}
	for i := range c.Witnesses {
		said = append(said, c.Witnesses[i].sentence(zone))
	}
	return append(said, c.witnessed())
}

func (c *ChainVerdict) signature() string {
	switch {
	case c.Key == nil:
		return "Not signed."
	case c.Here:
		return fmt.Sprintf("Signed in this book up to line %d; whoever holds the book's file holds the key.", c.Signed)
	}
	return fmt.Sprintf("Signed in another book up to line %d, with the key that this book saw first.", c.Signed)
}

func (c *ChainVerdict) witnessed() string {
	switch c.Outside {
	case 0:
		return "Nothing outside this book witnesses any of it."
	case c.Last:
		return "Witnessed from outside this book to its end."
	}
	return fmt.Sprintf("Witnessed from outside this book up to line %d; %s witnessed by nothing outside it.", c.Outside, stretch(c.Outside+1, c.Last))
}

func (w *Witness) sentence(zone *time.Location) string {
	if w.File != "" {
		return fmt.Sprintf("Line %d is in %s.", w.Seq, w.File)
	}
	text := fmt.Sprintf("Line %d was pinned by station %s on %s", w.Seq, w.Entry.Station, w.Entry.Noted.In(zone).Format(time.DateOnly))
	if kind := w.Entry.Body.Kind(); kind != sootline.PinnedKind {
		text += fmt.Sprintf(" (%s, entry %s)", kind, w.Entry.ID)
	}
	if !w.Outside {
		return text + ", which this book could write anew."
	}
	return text + "."
}

// stretch names lines from one number to another, with the verb to be.
func stretch(first, last int64) string {
	if first == last {
		return fmt.Sprintf("line %d is", first)
	}
	return fmt.Sprintf("lines %d to %d are", first, last)
}

// Limits tell what a verification without faults cannot know.
func (v *Verification) Limits() []string {
	said := []string{"This cannot know of a station whose every line and head was taken away, if nothing here names it."}
	var keys, open bool
	for i := range v.Chains {
		chain := &v.Chains[i]
		keys = keys || chain.Key != nil && !chain.Here
		open = open || chain.Outside < chain.Last
	}
	if keys {
		said = append(said, "The key of a station that signs in another book is the one that came in first: whether it is the station's own shows by comparing it there: the check of its log tells it.")
	}
	if open {
		said = append(said, "What nothing outside this book witnesses, whoever holds its file could have rewritten or cut off: compare with an export or a backup that somebody else keeps.")
	}
	return said
}
