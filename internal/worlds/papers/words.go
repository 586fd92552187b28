package papers

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// english are words that stand in nearly every English sentence, and words of the trade that English alone has.
var english = set(`the of and is are was were be been being has have had not no nor or but if then than that this these those
which who whom whose what when where why how with without within from into onto out off over under between by at on in to for
as it its they them their there here we our you your he she his her can could may might must shall should will would do does
did done all any each every both few more most other some such only own same so too very just also about above after again
before below during until while because against through once nothing nobody none yes still yet since
tested passed failed mended read cleaned fitted replaced removed due overdue outside inside reading readings values found
left taken wanted listed known unknown signed signature responsible premises address next previous visit visits day days
month months year years point points device devices detector detectors loop loops floor room area draft issued page pages
report certificate servicing commissioning defect defects fault faults alarm alarms false unwanted rate label labels schedule
remedial work works summary remarks cautions confirmed opened closed normal operation locked reached dangerous`)

// shared are the words above that the language has too, of whatever meaning, or that its papers may borrow.
var shared = map[string]map[string]bool{
	"de": set("in an was so off also all die war will bin hat her es am im on normal alarm rate label page site few do wo he are there"),
	"fr": set("signature on an or son me la as page pages normal visit point points rate fault due plus tout es a if des taken area servicing his do"),
	"es": set("a no he has me son as normal os e es area real final control total visit loop do so di"),
}

// functionWords are words that stand in nearly every sentence of the language, and not in English: without any of them
// a text is not in that language.
var functionWords = map[string]map[string]bool{
	"de": set("der das und ist nicht mit von bei zur zum auf ein eine wird wurde wurden sind den dem des nach bis für oder keine kein"),
	"fr": set("le les des du et est pas avec dans pour par une aux au sur qui que ce cette été sont sans ou aucun aucune"),
	"es": set("el los las del y con para por una que se en la lo fue está son sin su al ningún ninguna"),
}

func set(words string) map[string]bool {
	all := map[string]bool{}
	for w := range strings.FieldsSeq(words) {
		all[w] = true
	}
	return all
}

// Leftover is a word of English, or a key of the catalogue, that a paper of another language shows.
type Leftover struct {
	Word string
	Line string // the first line in which it stands
	Says string
}

// catalogueKey is how a key of a catalogue stands where its words are missing: small words joined by dots or
// underlines, or a form that nobody filled in.
var catalogueKey = regexp.MustCompile(`\b[a-z]+(?:_[a-z]+)+\b|\b[a-z]{3,}(?:\.[a-z]{3,})+\b|%!?[a-zA-Z]\(|\{\{|%[sdvq]\b`)

// Leftovers walks the text of a paper in a language, de, fr or es, and names what is English in it: each word once. What
// people wrote stays in the language in which they wrote it: written lists such texts, and so names of sites, types
// and people. keys are those of the catalogue; one that stands in the paper is named too.
func Leftovers(text, language string, keys, written []string) ([]Leftover, error) {
	if shared[language] == nil {
		return nil, fmt.Errorf("the language %q is not known here", language)
	}
	written = slices.SortedFunc(slices.Values(written), func(a, b string) int { return cmp.Compare(len(b), len(a)) })
	var all []Leftover
	seen, own := map[string]bool{}, false
	add := func(word, line, says string) {
		if !seen[word] {
			seen[word] = true
			all = append(all, Leftover{word, strings.TrimSpace(line), says})
		}
	}
	for line := range strings.Lines(text) {
		line = without(line, written)
		for _, key := range catalogueKey.FindAllString(line, -1) {
			add(key, line, "looks like a key of the catalogue")
		}
		words := strings.FieldsFunc(line, func(r rune) bool { return !unicode.IsLetter(r) && r != '_' && r != '.' })
		for _, word := range words {
			word = strings.Trim(word, "._")
			if slices.Contains(keys, word) {
				add(word, line, "is a key of the catalogue")
			}
			low := strings.ToLower(word)
			own = own || functionWords[language][low]
			if english[low] && !shared[language][low] && !functionWords[language][low] {
				add(low, line, "is English")
			}
		}
	}
	if !own {
		add("", "", "nothing here is in the language "+language)
	}
	return all, nil
}

// without takes out what people wrote, where it stands by itself.
func without(line string, written []string) string {
	for _, w := range written {
		if w == "" {
			continue
		}
		re := regexp.MustCompile(`(^|[^\pL])` + regexp.QuoteMeta(w) + `($|[^\pL])`)
		line = re.ReplaceAllString(line, "$1 $2")
	}
	return line
}
