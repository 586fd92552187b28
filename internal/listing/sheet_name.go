package listing

import (
	"fmt"
	"maps"
	"strings"
)

// SheetMeant is what a person said of a sheet whose name speaks against its rows.
type SheetMeant string

// What a person may say.
const (
	SheetTaken SheetMeant = "taken"
	SheetLeft  SheetMeant = "left"
)

func (lx *lexicon) learnDraftWords() {
	lx.drafts = maps.Clone(lx.formers)
	eachWord(draftWords, func(_, word string) { lx.drafts[word] = true })
}

// isDraft: the name of a sheet says so by a word, or has the number that spreadsheet programs give to a copy, as in
// "Loop 1 (2)" (common practice, no source).
func (lx *lexicon) isDraft(name string) bool {
	if number, ok := strings.CutSuffix(strings.TrimSpace(name), ")"); ok {
		if at := strings.LastIndex(number, " ("); at > 0 {
			if n, ok := wholeNumber(number[at+2:]); ok && n > 1 {
				return true
			}
		}
	}
	if voidPhrase(name) != "" {
		return true
	}
	for word := range strings.FieldsSeq(fold(name)) {
		if lx.drafts[word] {
			return true
		}
	}
	return false
}

// doubtSheet asks about a sheet whose name speaks against its rows.
func (s *study) doubtSheet() {
	u := s.u
	name := withoutExtension(s.t.Name)
	if u.Kind == KindUnknown || name == "" || u.profile.DraftSheet == SheetTaken || !u.lx.isDraft(name) {
		return
	}
	if u.profile.DraftSheet == SheetLeft {
		u.Kind, u.KindWhy, u.Questions = KindUnknown, "its name says that its rows do not hold, and it was answered to leave it out", nil
		return
	}
	u.askOnce(AskSheet, fmt.Sprintf("The sheet is called %q, as if its rows did not hold. Shall they be taken?", name),
		Choice{string(SheetTaken), "yes, take them"}, Choice{string(SheetLeft), "no, leave the sheet out"})
}
