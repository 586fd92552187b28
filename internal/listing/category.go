package listing

import (
	"fmt"
	"slices"
	"strings"
)

// Why an alarm was given is one of few categories. Words of the listing's own are asked about one by one, and the rows
// that have them wait for the answer.

// categoryNames gives the categories in the order of their table.
func categoryNames() (all []string) {
	eachWord(categoryWords, func(name, _ string) {
		if !slices.Contains(all, name) {
			all = append(all, name)
		}
	})
	return all
}

func isCategory(name string) bool { return slices.Contains(categoryNames(), name) }

// categoryTexts say of each category what it means.
var categoryTexts = map[string]string{
	"unwanted": "unwanted: the surroundings acted as a fire does", "equipment": "equipment: a fault of the system", "malicious": "malicious: somebody who knew better",
	"good intent": "good intent: somebody who believed there was a fire", "fire": "fire: there was one", "test": "test: given to try the system",
}

// openCategory is a word for why alarms were given that nobody knows.
type openCategory struct {
	words       string
	rows, first int
}

// mostCategories bounds the words that are asked about at once; answered, they make room for the others.
const mostCategories = 20

// noteCategory keeps a cell of the column of categories that is to be asked about.
func (u *Understanding) noteCategory(cell string, line int) {
	cell = strings.Join(strings.Fields(cell), " ")
	if cell == "" || u.lx.isVacant(cell) || u.lx.alarmCategory(cell) != "" || u.profile.Categories[fold(cell)] != "" {
		return
	}
	for i := range u.openCategories {
		if fold(u.openCategories[i].words) == fold(cell) {
			u.openCategories[i].rows++
			return
		}
	}
	if len(u.openCategories) < mostCategories {
		u.openCategories = append(u.openCategories, openCategory{strings.Clone(cell), 1, line})
	}
}

// askCategories asks about each of them.
func (u *Understanding) askCategories() {
	for _, open := range u.openCategories {
		var choices []Choice
		for _, name := range categoryNames() {
			choices = append(choices, Choice{name, categoryTexts[name]})
		}
		choices = append(choices, Choice{string(ReplyLeft), "put such rows aside"})
		in := aside{rows: open.rows, first: open.first}
		u.Questions = append(u.Questions, Question{
			ID:   AskCategory + fold(open.words),
			Text: fmt.Sprintf("Why was the alarm given where column %q says %q? %s", u.columnName(u.column(Category)), open.words, in.in()), Choices: choices, Aside: true,
		})
	}
	u.openCategories = nil
}

// category reads why an alarm was given.
func (r *rowReader) category(slot slot, cell string) string {
	if cell == "" || r.u.lx.isVacant(cell) {
		return ""
	}
	if category := r.u.lx.alarmCategory(cell); category != "" {
		return category
	}
	switch said := r.u.profile.Categories[fold(cell)]; said {
	case "":
		r.fail(slot.column, "an answer to why the alarm was given", quoteShort(cell), "answer the question about it, or write "+orOf(categoryNames()))
	case string(ReplyLeft):
		r.fail(slot.column, "why the alarm was given", quoteShort(cell), "it was put aside; write "+orOf(categoryNames()))
	default:
		return said
	}
	return ""
}

// findCategory takes a column whose heading can mean why alarms were given for that, whatever its words, where the table is
// one of alarms: it has a cause or says who came, or all that it says to have happened are alarms.
func (s *study) findCategory() {
	if s.headed(Category) || !s.headed(Cause) && !s.headed(Attended) && !s.allAlarms() {
		return
	}
	for i, m := range s.matches {
		c := &s.content[i]
		if m.strength < strengthNear || m.strength == strengthProfile || !slices.Contains(s.alternatives(i), Category) || !c.areFewWords() {
			continue
		}
		s.matches[i].field, s.roles[i] = Category, Text
		return
	}
}

// areFewWords: the cells are a few texts again and again, and neither kinds of device nor types nor what happened.
func (c *content) areFewWords() bool {
	return c.filled > 0 && c.devices == 0 && c.types == 0 && c.numbers+c.dates+c.refs == 0 && c.events == 0 && len(c.keys) <= mostCategories
}

// headed: a heading means the field.
func (s *study) headed(f Field) bool {
	return slices.ContainsFunc(s.matches, func(m match) bool { return m.field == f && m.strength >= strengthNear })
}

// allAlarms: a column says what happened, and it was an alarm each time.
func (s *study) allAlarms() bool {
	i := s.happenings()
	if i < 0 || len(s.content[i].distinct) == 0 {
		return false
	}
	for cell := range s.content[i].distinct {
		if what, _ := s.u.lx.event(cell); what != Alarmed {
			return false
		}
	}
	return true
}
