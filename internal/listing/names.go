package listing

import "strings"

// mostNames bounds the names that a table's own columns teach.
const mostNames = 4096

// learnNames takes the names of people, types and places in the table's own columns for words that say nothing of
// how a test went. A name of several words counts only whole, but for people, who are called by one of theirs.
// What a table of words has is no name, whatever column it stands in.
func (s *study) learnNames() {
	if s.u.Kind != KindEvents {
		return
	}
	for i, c := range s.u.Columns {
		field := c.Field
		if field == Unused && s.matches[i].strength >= strengthExact {
			field = s.matches[i].field
		}
		switch field {
		case By, Type, Location, Area, Floor, Zone:
			s.learnNamesIn(i, field == By)
		}
	}
}

func (s *study) learnNamesIn(column int, people bool) {
	for _, row := range s.sample {
		if row.Line <= s.u.HeaderLine || column >= len(row.Cells) {
			continue
		}
		name := fold(row.Cells[column])
		s.u.lx.learnName(name)
		if people {
			for word := range strings.FieldsSeq(name) {
				s.u.lx.learnName(word)
			}
		}
	}
}

func (lx *lexicon) learnName(name string) {
	const mostWords = 6
	words := strings.Fields(name)
	if lx.names == mostNames || len(words) == 0 || len(words) > mostWords || lx.isWord(name) {
		return
	}
	for _, word := range words {
		if class := lx.verdicts[word]; class != "" && class != sayFiller || lx.hidesFailure(word) || lx.nearFailure(word) {
			return // no name shall make a word of failure, denial or doubt harmless
		}
	}
	lx.verdicts[name] = sayFiller
	lx.longest = max(lx.longest, len(words))
	lx.names++
}

// isWord: a table has it.
func (lx *lexicon) isWord(phrase string) bool {
	_, ok := lx.verdicts[phrase]
	return ok
}
