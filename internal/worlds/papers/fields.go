package papers

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"regexp"
	"strings"
	"testing"
)

//go:embed fields.csv
var fieldsFile string

// Field is a field that the list of a standard asks a paper to hold.
type Field struct {
	Standard, List, Name, Clause string
	Known                        string   // read, restated or remembered
	Source                       string   // where that is known from
	Paper                        string   // the paper that must hold it
	Words                        []string // any of which, in small letters, shows that the field is there; behind ^ it begins a line or cell, and {site} is the name of the site
}

// AllFields reads the table of fields.
func AllFields() ([]Field, error) { return readFields(fieldsFile) }

func readFields(text string) ([]Field, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	var all []Field
	for i, row := range rows[1:] {
		f := Field{row[0], row[1], row[2], row[3], row[4], row[5], row[6], strings.Split(row[7], "|")}
		if f.Known != "read" && f.Known != "restated" && f.Known != "remembered" {
			return nil, fmt.Errorf("fields.csv, row %d: %q does not say how the field is known", i+2, f.Known)
		}
		if f.Source == "" || f.Paper == "" || row[7] == "" {
			return nil, fmt.Errorf("fields.csv, row %d: a field needs its source, paper and words", i+2)
		}
		all = append(all, f)
	}
	return all, nil
}

// Found is a field with what the text of its paper shows of it.
type Found struct {
	Field
	Present bool
	Marked  bool // a word behind its label says whether it is recorded, by hand, or not known
}

// marks are the words by which a paper says how it knows a field, in small letters.
var marks = []string{"recorded", "by hand", "not known"}

// markReach is how far behind its label the mark of a field may stand, in bytes of text of which the spaces are
// narrowed: about two lines of a table (our choice).
const markReach = 200

// Look finds each field in the text of its paper about a site; render gives that text, empty where there is no such paper.
func Look(fields []Field, site string, render func(paper string) string) []Found {
	texts := map[string]string{}
	var all []Found
	for _, f := range fields {
		text, ok := texts[f.Paper]
		if !ok {
			text = celled(strings.ToLower(render(f.Paper)))
			texts[f.Paper] = text
		}
		found := Found{Field: f}
		for _, word := range f.Words {
			word = strings.ReplaceAll(word, "{site}", strings.ToLower(site))
			in := text
			if !strings.HasPrefix(word, "^") {
				in = narrow(strings.ReplaceAll(text, "^", " "))
			}
			for _, at := range allAt(in, word) {
				found.Present = true
				found.Marked = found.Marked || containsAny(in[at:min(len(in), at+markReach)], marks)
			}
		}
		all = append(all, found)
	}
	return all
}

// Fields fails the test for each field that its paper does not hold, with its standard and how that is known.
func Fields(t testing.TB, site string, render func(paper string) string) []Found {
	t.Helper()
	fields, err := AllFields()
	if err != nil {
		t.Fatal(err)
	}
	all := Look(fields, site, render)
	for _, f := range all {
		if !f.Present {
			t.Errorf("the paper %s lacks %q (%s %s, %s, %s)", f.Paper, f.Name, f.Standard, f.Clause, f.List, f.Known)
		}
	}
	return all
}

// cell is what parts the cells of a line, as `pdftotext -layout`, CSV and such have them.
var cell = regexp.MustCompile(`\s{2,}|[\t,;|"]`)

// celled puts ^ before each cell of a text, and narrows the spaces in them.
func celled(text string) string {
	var b strings.Builder
	for line := range strings.Lines(strings.ReplaceAll(text, "^", " ")) {
		for _, c := range cell.Split(line, -1) {
			if c = narrow(c); c != "" {
				b.WriteString("^" + c + " ")
			}
		}
	}
	return b.String()
}

// narrow makes each run of spaces and line ends one space.
func narrow(text string) string { return strings.Join(strings.Fields(text), " ") }

// allAt lists where a word begins in a text, each time at the beginning of a word.
func allAt(text, word string) []int {
	var all []int
	for from := 0; ; {
		i := strings.Index(text[from:], word)
		if i < 0 {
			return all
		}
		at := from + i
		if at == 0 || !isLetter(rune(text[at-1])) {
			all = append(all, at)
		}
		from = at + len(word)
	}
}

func isLetter(r rune) bool { return 'a' <= r && r <= 'z' || r >= 0x80 }

func containsAny(text string, words []string) bool {
	for _, w := range words {
		if strings.Contains(text, w) {
			return true
		}
	}
	return false
}
