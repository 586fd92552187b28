package count

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"

	"sootline"
)

// Unknown is the category of an alarm of which nobody said why; it counts as a
// false alarm until somebody does.
const Unknown sootline.AlarmCategory = "not known"

// FalseCategories lists what counts as a false alarm, in the order in which
// people are shown them.
func FalseCategories() []sootline.AlarmCategory {
	return []sootline.AlarmCategory{sootline.Unwanted, sootline.Equipment, sootline.Malicious, sootline.GoodIntent, Unknown}
}

// False reports whether alarms of the category are false alarms.
func False(c sootline.AlarmCategory) bool { return c != sootline.RealFire && c != sootline.TestAlarm }

// Told says from what a category was known.
type Told string

// The ways of knowing a category.
const (
	BySaying Told = "said"
	ByCause  Told = "cause"
	ByText   Told = "text"
	ByVisit  Told = "visit" // a point of the round gave it while the visit lasted
	ByNobody Told = ""
)

// causes is the table of words by which causes are sorted; its head says how.
//
//go:embed causes.txt
var causes string

// phrase is a line's word or words, with the category that they mean.
type phrase struct {
	words    []string
	category sootline.AlarmCategory
}

// sorter sorts alarms by the words of causes.txt.
type sorter struct {
	phrases []phrase // longest first, so that "smoke machine" comes before "smoke"
}

func newSorter() *sorter {
	s := &sorter{}
	for line := range strings.Lines(causes) {
		category, list, ok := strings.Cut(line, ":")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		for text := range strings.SplitSeq(list, ",") {
			s.phrases = append(s.phrases, phrase{WordsOf(text), sootline.AlarmCategory(category)})
		}
	}
	slices.SortStableFunc(s.phrases, func(a, b phrase) int { return len(b.words) - len(a.words) })
	return s
}

// sort tells the category of an alarm: the one that was said, else the one that
// its cause means, else its text.
func (s *sorter) sort(a *sootline.Alarm) (sootline.AlarmCategory, Told) {
	if a.Category != "" {
		return a.Category, BySaying
	}
	if c, ok := s.find(a.Cause); ok {
		return c, ByCause
	}
	if c, ok := s.find(a.Text); ok && False(c) {
		return c, ByText
	}
	return Unknown, ByNobody
}

// TellByWords gives the category that the words of an alarm mean; known is false
// where they mean none.
func TellByWords(a *sootline.Alarm) (c sootline.AlarmCategory, known bool) {
	c, told := sorting().sort(&sootline.Alarm{Cause: a.Cause, Text: a.Text})
	return c, told == ByCause || told == ByText
}

// sorting reads the table of words once.
var sorting = sync.OnceValue(newSorter)

// find looks the words up. That there was a fire, or a test, must be all that is
// said: "thought it was a fire" and "fire door" are something else.
func (s *sorter) find(text string) (sootline.AlarmCategory, bool) {
	words := WordsOf(text)
	for _, p := range s.phrases {
		if !False(p.category) && len(words) != len(p.words) {
			continue
		}
		for i := 0; i+len(p.words) <= len(words); i++ {
			if slices.Equal(words[i:i+len(p.words)], p.words) {
				return p.category, true
			}
		}
	}
	return "", false
}

// WordsOf gives the words of a text, in small letters.
func WordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}
