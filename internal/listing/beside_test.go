package listing

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// withRemark is a list whose first test stands beside a remark.
func withRemark(remark string) string {
	return "point,date,event,result,remark\n1.1,2025-01-02,tested,ok," + quoted(remark) + "\n1.2,2025-01-02,tested,ok,\n"
}

// TestRemarksBesideAPass: a pass is taken only where its remark is known to be harmless; anything else is asked.
func TestRemarksBesideAPass(t *testing.T) {
	for want, remarks := range map[string][]string{
		"asked": {
			"never came in", "stays silent", "LED nicht geleuchtet", "painted over", "needs replacing, wet inside", "muss ersetzt werden", "inhibited", "Lamp dark",
			"battery replaced", "faild", "fialed on the stairs", "defekct", "fehlr", "guastoo", "misluckt", "rien vu", "nog steeds stil", "sigue muda", "resta spenta", "reste muette",
			"ok 👎", "why", "ok?", "не сработал", "Dunkelraum zu", "no sounder", "not in the kitchen", "f41led", "y", "x", "0",
		},
		"passed": {
			"", "-", "none", "keine", "near the door", "third floor", "Kesselraum 2. OG", "12", "2025-01-02", "12 Jan 2025", "Rm 4a", "optisch", "no remarks", "ohne Befund", "no fault found",
			"in der Küche, mit Prüfgas", "couloir, premier etage", "planta baja, puerta izquierda", "piano terra, vicino porta", "begane grond, boven de deur", "by the caretaker",
			"ok", "annual test, smoke at the detector", "Monday morning", "alarm received",
		},
	} {
		for _, remark := range remarks {
			if got := ends(t, withRemark(remark)); got != want {
				t.Errorf("beside %q it is %q, want %q", remark, got, want)
			}
		}
	}
	for _, list := range []string{
		"point,date,event,by\n1.1,2025-01-02,tested in the odd quux,x\n" + rest,
		"point,date,event,result,no such heading\n1.1,2025-01-02,tested,ok,quux\n1.2,2025-01-02,tested,ok,\n",
		"point,date,event,result,cause\n1.1,2025-01-02,tested,ok,quux\n1.2,2025-01-02,tested,ok,\n",
	} {
		if got := ends(t, list); got != "asked" {
			t.Errorf("%q is %q", list, got)
		}
	}
}

// TestNamesAreHarmless: the people, types and places of a table's own columns speak against nothing; but a column
// teaches no word of failure.
func TestNamesAreHarmless(t *testing.T) {
	for remark, want := range map[string]string{"Zyxo": "passed", "with Zyxo, Quux Tower": "passed", "Tower": "asked", "Dead": "asked"} {
		list := "point,date,event,result,remark,by,location\n1.1,2025-01-02,tested,ok," + quoted(remark) + ",Ann Zyxo,Quux Tower\n1.2,2025-01-02,tested,ok,,Dead,Hall\n"
		if got := ends(t, list); got != want {
			t.Errorf("beside %q it is %q, want %q", remark, got, want)
		}
	}
}

// TestMisspeltFailureNeverPasses: one slip in a word of failure makes no pass of it, unless the slip makes a word
// that the tables have.
func TestMisspeltFailureNeverPasses(t *testing.T) {
	lx := newLexicon()
	words := slices.DeleteFunc(failureWords(), func(w string) bool { return len(w) < shortestStem || strings.Contains(w, " ") })
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SampledFrom(words).Draw(t, "word")
		at := rapid.IntRange(0, len(word)-1).Draw(t, "at")
		letter := string(rune('a' + rapid.IntRange(0, 25).Draw(t, "letter")))
		slips := []string{word[:at] + word[at+1:], word[:at] + letter + word[at:], word[:at] + letter + word[at+1:]}
		if at+1 < len(word) {
			slips = append(slips, word[:at]+word[at+1:at+2]+word[at:at+1]+word[at+2:])
		}
		slip := rapid.SampledFrom(slips).Draw(t, "slip")
		if len(slip) < shortestStem || lx.isWord(slip) {
			t.Skip("it is another word, or too short")
		}
		if !lx.verdict(slip).odd && !lx.verdict(slip).bad() {
			t.Fatalf("%q, of %q, is not looked at", slip, word)
		}
		if got := outcomeOf(withRemark(slip)); got == string(Passed) {
			t.Fatalf("%q passes", slip)
		}
	})
}

// TestManyRemarks: three hundred remarks that no table knows are a handful of questions; rows with the same unknown
// words are one wording; an answer holds for all of them, and whoever doubts is asked about each.
func TestManyRemarks(t *testing.T) {
	var b strings.Builder
	b.WriteString("point,date,event,result,remark\n")
	const wordings = 60
	for i := range 300 {
		fmt.Fprintf(&b, "1.%d,2025-01-02,tested,ok,quux%c%c near the door %d\n", i%120+1, 'a'+i%wordings/10, 'k'+i%10, i+1)
	}
	questions, passed := lookedAt(t, b.String(), Profile{})
	if len(questions) != 3 || passed != 0 {
		t.Fatalf("%d questions and %d passes", len(questions), passed)
	}
	var p Profile
	for _, q := range questions {
		if err := p.Answer(q.ID, string(ReplyPassed)); err != nil {
			t.Fatal(err)
		}
	}
	if left, passed := lookedAt(t, b.String(), p); len(left) != 0 || passed != 300 {
		t.Errorf("answered: %d questions and %d passes", len(left), passed)
	}
	p = Profile{}
	if err := p.Answer(questions[0].ID, string(ReplyEach)); err != nil {
		t.Fatal(err)
	}
	if each, _ := lookedAt(t, b.String(), p); len(each) != mostTogether+2 {
		t.Errorf("asked about each: %d questions", len(each))
	}
}

// lookedAt gives the questions of a list, and how many passes it has.
func lookedAt(t *testing.T, list string, p Profile) (questions []Question, passed int) {
	t.Helper()
	table := openBytes(t, "x.csv", []byte(list)).Tables()[0]
	u, err := Understand(table, p)
	if err != nil {
		t.Fatal(err)
	}
	for rec, bad := range u.Records(table) {
		if bad == nil && rec.Event.Outcome == Passed {
			passed++
		}
	}
	return u.Questions, passed
}

// TestAgainstPass: what is typed with a pass is held against the same tables.
func TestAgainstPass(t *testing.T) {
	for _, text := range []string{
		"still no alarm", "never came in", "stays silent", "LED nicht geleuchtet", "painted over", "needs replacing", "muss ersetzt werden", "inhibited", "Lamp dark",
		"faild", "Melderdefekt", "not tested", "could not be tested", "sigue sin alarma", "ne répond pas", "non funziona", "werkt niet", "passed?", "base cracked",
	} {
		if !AgainstPass(text) {
			t.Errorf("%q speaks for a pass", text)
		}
	}
	for _, text := range []string{"", "ok", "from the ladder, with smoke", "tested again after the move", "no fault found", "ohne Befund", "quux", "none", "in the loft", "RAS"} {
		if AgainstPass(text) {
			t.Errorf("%q speaks against a pass", text)
		}
	}
}
