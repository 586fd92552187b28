package sootline_test

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// How many requirements levels 1 and 2 of the standard have (OWASP ASVS 5.0.0, its table in CSV, counted).
const ofLevel1, ofLevel2 = 70, 183

// asvsAnswer is what a line may say, and what must stand beside it.
type asvsAnswer struct{ tests, page, words bool }

var asvsAnswers = map[string]asvsAnswer{
	"shown": {tests: true}, "in part": {tests: true, words: true}, "written": {page: true},
	"by build": {words: true}, "not met": {words: true}, "no such thing": {words: true},
}

// asvsLine is one line of the table.
type asvsLine struct {
	numbers          []string
	level, say, rest string
}

var (
	asvsRow    = regexp.MustCompile(`^\| ([0-9., ]+) \| ([12]) \| [^|]+ \| ([a-z ]+): (.+) \|$`)
	asvsCount  = regexp.MustCompile(`(?m)^\| ([a-z ]+) \|[^|]*\| ([0-9]+) \| ([0-9]+) \|$`)
	testNamed  = regexp.MustCompile("`((?:Test|Fuzz)[A-Za-z0-9]+)`")
	pageNamed  = regexp.MustCompile(`\]\(([^)#]+)\)`)
	testInCode = regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`)
)

// TestASVSTable: docs/asvs.md answers each requirement once; what it names exists; what
// only `make attack` runs is said to be run by hand.
func TestASVSTable(t *testing.T) {
	where := testsOf(t)
	lines := asvsLines(t)
	seen, levels := map[string]bool{}, map[string]int{}
	last := ""
	for _, line := range lines {
		for _, number := range line.numbers {
			if seen[number] {
				t.Errorf("%s stands there twice", number)
			}
			seen[number] = true
			levels[line.level]++
		}
		if first := line.numbers[0]; last != "" && section(first) < section(last) {
			t.Errorf("%s stands behind %s", first, last)
		}
		last = line.numbers[0]
		for _, fault := range asvsFaults(line, where) {
			t.Errorf("%s: %s", strings.Join(line.numbers, ", "), fault)
		}
	}
	if levels["1"] != ofLevel1 || levels["2"] != ofLevel2 {
		t.Errorf("%d requirements of level 1 and %d of level 2 have an answer, want %d and %d", levels["1"], levels["2"], ofLevel1, ofLevel2)
	}
}

// TestASVSCounts: the table at the top says how many lines, and how many requirements,
// have which answer.
func TestASVSCounts(t *testing.T) {
	text, err := os.ReadFile("docs/asvs.md")
	if err != nil {
		t.Fatal(err)
	}
	said := map[string][2]string{}
	for _, row := range asvsCount.FindAllStringSubmatch(string(text), -1) {
		said[row[1]] = [2]string{row[2], row[3]}
	}
	lines, requirements := map[string]int{}, map[string]int{}
	for _, line := range asvsLines(t) {
		for _, answer := range []string{line.say, "all"} {
			lines[answer]++
			requirements[answer] += len(line.numbers)
		}
	}
	for answer := range lines {
		if want := [2]string{fmt.Sprint(lines[answer]), fmt.Sprint(requirements[answer])}; said[answer] != want {
			t.Errorf("%s: the page says %q, it is %q", answer, said[answer], want)
		}
	}
	if len(said) != len(lines) {
		t.Errorf("the page counts %d answers, there are %d", len(said), len(lines))
	}
}

// asvsFaults says what is wrong with a line.
func asvsFaults(line asvsLine, where map[string][]string) (faults []string) {
	want, known := asvsAnswers[line.say]
	tests := testNamed.FindAllStringSubmatch(line.rest, -1)
	pages := pageNamed.FindAllStringSubmatch(line.rest, -1)
	words := strings.Fields(pageNamed.ReplaceAllString(testNamed.ReplaceAllString(line.rest, ""), ""))
	switch {
	case !known:
		faults = append(faults, fmt.Sprintf("%q is no answer", line.say))
	case want.tests && len(tests) == 0:
		faults = append(faults, "no test is named")
	case want.page && len(pages) == 0:
		faults = append(faults, "no page is named")
	case want.words && len(words) < 2:
		faults = append(faults, "no reason is given")
	}
	return append(faults, namedFaults(line.rest, where)...)
}

// namedFaults says of the tests and pages that a text names which are not there. What
// stands in internal/attack alone is run by hand, and the text must say so.
func namedFaults(text string, where map[string][]string) (faults []string) {
	for _, test := range testNamed.FindAllStringSubmatch(text, -1) {
		folders := where[test[1]]
		byHand := len(folders) > 0 && !slices.ContainsFunc(folders, func(f string) bool { return f != "internal/attack" })
		switch {
		case len(folders) == 0:
			faults = append(faults, "there is no test "+test[1])
		case byHand && !strings.Contains(text, "by hand"):
			faults = append(faults, test[1]+" is run by hand, and the text does not say so")
		}
	}
	for _, page := range pageNamed.FindAllStringSubmatch(text, -1) {
		if _, err := os.Stat(filepath.Join("docs", page[1])); err != nil {
			faults = append(faults, "there is no page "+page[1])
		}
	}
	return faults
}

// TestThreatsNameTests: what docs/threats.md says is kept has its test, each attacker has
// what is kept from them and what is not, and the page stays one page.
func TestThreatsNameTests(t *testing.T) {
	text, err := os.ReadFile("docs/threats.md")
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(text), "\n"); n > 140 {
		t.Errorf("the page has %d lines", n)
	}
	_, attackers, _ := strings.Cut(string(text), "## Who attacks")
	where, n := testsOf(t), 0
	for part := range strings.SplitSeq(attackers, "\n**") {
		who, rest, found := strings.Cut(part, "**")
		if !found || strings.HasPrefix(who, "Chance") {
			continue
		}
		n++
		kept, not, found := strings.Cut(rest, "\n- Not: ")
		if !found || len(testNamed.FindAllString(kept, -1)) == 0 || len(strings.Fields(not)) < 5 {
			t.Errorf("%s: what is kept from them, by which test, and what is not", who)
		}
	}
	if n != 8 {
		t.Errorf("%d attackers, want 8", n)
	}
	for part := range strings.SplitSeq(string(text), "\n- ") {
		for _, fault := range namedFaults(part, where) {
			t.Error(fault)
		}
	}
}

// asvsLines reads the table. A line of it that cannot be read is a fault.
func asvsLines(t *testing.T) (lines []asvsLine) {
	t.Helper()
	text, err := os.ReadFile("docs/asvs.md")
	if err != nil {
		t.Fatal(err)
	}
	_, tables, found := strings.Cut(string(text), "\n## ")
	if !found {
		t.Fatal("there are no tables")
	}
	for line := range strings.Lines(tables) {
		line = strings.TrimSpace(line)
		if !strings.HasPrefix(line, "|") || strings.HasPrefix(line, "| number |") || strings.HasPrefix(line, "| --- |") {
			continue
		}
		cells := asvsRow.FindStringSubmatch(line)
		if cells == nil {
			t.Errorf("a line cannot be read: %s", line)
			continue
		}
		lines = append(lines, asvsLine{strings.Split(cells[1], ", "), cells[2], cells[3], cells[4]})
	}
	return lines
}

// section orders numbers as they stand in the standard.
func section(number string) int {
	var chapter, part, line int
	fmt.Sscanf(number, "%d.%d.%d", &chapter, &part, &line) //nolint:errcheck // what cannot be read comes first, and is found
	return chapter*10000 + part*100 + line
}

// testsOf gives the folders in which each test stands.
func testsOf(t *testing.T) map[string][]string {
	t.Helper()
	where := map[string][]string{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		for _, found := range testInCode.FindAllStringSubmatch(string(text), -1) {
			where[found[1]] = append(where[found[1]], filepath.ToSlash(filepath.Dir(path)))
		}
		return err
	})
	if err != nil || len(where) < 500 {
		t.Fatalf("%d tests, %v", len(where), err)
	}
	return where
}
