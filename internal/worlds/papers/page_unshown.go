package papers

import (
	"regexp"
	"strings"
)

func lower(s string) string { return strings.ToLower(s) }

// escape makes a regular expression of words, in small letters.
func escape(s string) string { return regexp.QuoteMeta(strings.ToLower(s)) }

var (
	everything = regexp.MustCompile(`\b(?:all|every|each)(?: of)?(?: the)? ?(?:points?|devices?|detectors?)?(?: were| was| is| are)? (?:tested|passed|in order)\b`)
	claimed    = regexp.MustCompile(`\b(?:complies|compliant|compliance|conforms?|conformity|in accordance with|meets the requirements)\b`)
	numbered   = regexp.MustCompile(`\b(?:clause|cl\.|section|annex) ?(?:\d+(?:\.\d+)*|[a-h]\b)`)
	known      = regexp.MustCompile(`\b(?:read|restate|restated|remembered|from memory|published|not checked)\b`)
	allWell    = regexp.MustCompile(`\b(?:nothing (?:was )?(?:found|wrong)|no defects?|no faults? (?:were|was) found|everything (?:is |was )?(?:in order|passed))\b`)
	recorded   = regexp.MustCompile(`\bby the (?:log book|record)\b`) // what says whence it is known says no more than that
	zeroed     = regexp.MustCompile(`\b(?:0|no|none|nothing) (?:in 0 )?(?:incidents?|false alarms?)\b`)
	visited    = regexp.MustCompile(`\bvisit (?:of |on )?` + dated.String())
	unknown    = regexp.MustCompile(`\bnot known\b|\brecorded\b|\bwritten down\b`)
	denied     = regexp.MustCompile(`\bnot?\b|\bnobody\b|\bnone\b|\byes or no\b|\bcannot\b`)
)

// sentenceReach is how far a sentence is looked at to both sides, in bytes: cells of a table have no full stop.
const sentenceReach = 60

// sentence gives the sentence about a place of a text.
func sentence(text string, at []int) string {
	before, after := text[max(0, at[0]-sentenceReach):at[0]], text[at[1]:min(len(text), at[1]+sentenceReach)]
	if i := strings.LastIndex(before, ". "); i >= 0 {
		before = before[i:]
	}
	if i := strings.Index(after, ". "); i >= 0 {
		after = after[:i]
	}
	return before + text[at[0]:at[1]] + after
}

// denies says whether the sentence about a place of a text takes back what stands there.
func denies(text string, at []int) bool { return denied.MatchString(sentence(text, at)) }

// about gives a text around a place of it.
func about(text string, at []int, reach int) string {
	return text[max(0, at[0]-reach):min(len(text), at[1]+reach)]
}

// unshown finds what a report says though the visit did not show it.
func (s *Story) unshown(pages []Page) []Miss {
	var all []Miss
	add := func(asks, says string) { all = append(all, Miss{NotShown, asks, says}) }
	text, one := plain(joined(pages).Flow), plain(pages[0].Flow)
	for _, line := range s.passedUnseen(pages) {
		add("a point passed that was not tested", line)
	}
	for _, at := range everything.FindAllStringIndex(text, -1) {
		if len(s.Tested) < len(s.Points) && !denies(text, at) {
			add("all were tested", about(text, at, 20))
		}
	}
	for _, at := range claimed.FindAllStringIndex(text, -1) {
		if !denies(text, at) {
			add("a standard is met", about(text, at, 30))
		}
	}
	for _, at := range numbered.FindAllStringIndex(text, -1) {
		if !known.MatchString(about(text, at, 60)) {
			add("a clause without how it is known", about(text, at, 30))
		}
	}
	for _, at := range regexp.MustCompile(`normal operation`).FindAllStringIndex(text, -1) {
		if (!s.Normal() || s.Opened.IsZero()) && !denies(text, at) {
			add("the site is left in normal operation", about(text, at, 30))
		}
	}
	if s.Shape == Unrecorded {
		for _, at := range zeroed.FindAllStringIndex(text, -1) {
			if !unknown.MatchString(sentence(text, at)) {
				add("a count of none where nothing was recorded", about(text, at, 30))
			}
		}
		for _, at := range visited.FindAllStringIndex(text, -1) {
			add("a visit that nobody made", about(text, at, 30))
		}
	}
	if s.Shape != Fine {
		for _, at := range allWell.FindAllStringIndex(one, -1) {
			if !recorded.MatchString(about(one, at, 40)) {
				add("nothing is wrong", about(one, at, 30))
			}
		}
	}
	return all
}

// passedUnseen finds the lines that say that a point passed which was not tested at the visit. A list that names the
// tests of earlier visits gives their days, so that a line with the day of the visit before is let go.
func (s *Story) passedUnseen(pages []Page) []string {
	tested := map[int]bool{}
	for _, i := range s.Tested {
		tested[i] = true
	}
	var lines []string
	for _, page := range pages {
		for line := range strings.Lines(strings.ToLower(page.Lines)) {
			for i := range s.Points {
				if !tested[i] && strings.Contains(line, s.Points[i].Ref()) && len(allAt(line, "passed")) > 0 && !s.earlier(line) && !strings.Contains(line, "not passed") {
					lines = append(lines, strings.TrimSpace(line))
				}
			}
		}
	}
	return lines
}

func (s *Story) earlier(line string) bool {
	return !s.Before.IsZero() && containsAny(line, forms(s.Before))
}
