package listing

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// ends reads one list and gives how its first row ended: an outcome, another happening, "asked" or "refused".
func ends(t testing.TB, list string) string {
	t.Helper()
	table := openBytes(t, "x.csv", []byte(list)).Tables()[0]
	u, err := Understand(table, Profile{})
	if err != nil {
		t.Fatal(err)
	}
	if _, blocked := u.Blocking(); blocked {
		return "asked"
	}
	for rec, bad := range u.Records(table) {
		switch {
		case bad != nil && len(u.Questions) > 0:
			return "asked"
		case bad != nil:
			return "refused"
		case rec.Event == nil:
			return string(u.Kind)
		case rec.Event.What == Tested:
			return string(rec.Event.Outcome)
		}
		return string(rec.Event.What)
	}
	return "nothing"
}

func quoted(cell string) string { return `"` + strings.ReplaceAll(cell, `"`, `""`) + `"` }

// rest are rows below the one that is looked at, which make the columns plain.
const rest = "1.2,2025-01-02,tested,ok\n1.3,2025-01-02,tested,ok\n1.4,2025-01-02,cleaned,ok\n1.5,2025-01-02,tested,ok\n1.6,2025-01-02,tested,ok\n"

// TestWordsOfFailureInTheEvent: cells of the event column alone.
func TestWordsOfFailureInTheEvent(t *testing.T) {
	for want, cells := range map[string][]string{
		"failed": {
			"test failed", "tested: fail", "test nok", "TESTED – FAILED", "Prüfung n.i.O.", "Prüfung nicht bestanden", "geprüft, defekt", "getestet: ausgefallen", "essai KO", "essai non conforme",
			"essai : HS", "prueba fallida", "probado, no funciona", "testato non OK", "prova non superata", "getest, niet ok", "tested ✗", "alarm test failed", "tested, no response", "test N.O.K.", "tested - not good",
		},
		"passed": {
			"tested", "tested ok", "Geprüft i.O.", "essai OK", "tested, no fault found", "geprüft, ohne Befund", "essai sans défaut", "tested ✓", "smoke tested in kitchen", "Test No. 12", "probado sin fallos",
			"testato senza guasti", "getest, geen gebreken", "passed",
		},
		"could not be tested": {"could not be tested", "no access", "nicht zugänglich", "test: inaccessible", "sin acceso", "non accessibile", "niet bereikbaar"},
		"fault":               {"HS", "ausgefallen", "broken", "Störung", "defekt", "kapot", "averiado"},
		"asked": {
			"failed", "nicht bestanden", "not tested", "ungeprüft", "non testé", "no probado", "non provato", "niet getest", "test failed, retested ok", "tested?", "tested, Melderdefekt", "tested but slow",
			"tested, not faulty", "cleaned, nok", "reset failed", "PASS/FAIL", "test: OK / NOK", "no fault found", "tested passed: 0", "tested: disfunctional", "ok", "geprüft: Fehler", "not passed",
		},
		"refused":  {"danced", "tested and cleaned", ""},
		"cleaned":  {"cleaned", "cleaned ok"},
		"replaced": {"replaced faulty head"},
		"restored": {"fault cleared", "alarm reset"},
	} {
		for _, cell := range cells {
			if got := ends(t, "point,date,event,by\n1.1,2025-01-02,"+quoted(cell)+",x\n"+rest); got != want {
				t.Errorf("%q is %q, want %q", cell, got, want)
			}
		}
	}
}

// TestResultBesideTheEvent: a column that says how it went, whatever it is headed, and whichever side it stands.
func TestResultBesideTheEvent(t *testing.T) {
	headings := []string{"result", "Ergebnis", "Résultat", "resultado", "esito", "resultaat", "Befund", "status", "Test result", "no such heading", ""}
	for want, cells := range map[string][]string{
		"failed": {"failed", "FAIL", "nok", "n.i.O.", "defekt", "HS", "non conforme", "no apto", "non superato", "afgekeurd", "✗", "fault", "Störung"},
		"passed": {"ok", "passed", "i.O.", "conforme", "✓", "no fault found", "ohne Befund", "sans défaut"},
		"asked":  {"", "y", "N", "0", "1", "x", "-", "?", "ok?", "weird", "not tested", "retested ok", "ok but slow", "failed, then ok", "nothing to see"},
	} {
		for _, heading := range headings {
			for _, cell := range cells {
				list := "point,date,event," + heading + "\n1.1,2025-01-02,tested," + quoted(cell) + "\n" + rest
				if got := ends(t, list); got != want {
					t.Errorf("tested beside %q = %q is %q, want %q", heading, cell, got, want)
				}
			}
		}
	}
	for list, want := range map[string]string{
		"point,date,event,passed?\n1.1,2025-01-02,tested,N\n":                            "failed",
		"point,date,event,passed (y/n)\n1.1,2025-01-02,tested,Y\n":                       "passed",
		"point,date,event,bestanden\n1.1,2025-01-02,geprüft,nein\n":                      "failed",
		"point,date,event,conforme\n1.1,2025-01-02,essai,oui\n":                          "passed",
		"point,date,event,OK\n1.1,2025-01-02,tested,0\n1.2,2025-01-02,tested,1\n":        "failed",
		"point,date,event,failed\n1.1,2025-01-02,tested,1\n1.2,2025-01-02,tested,0\n":    "failed",
		"point,date,event,failed\n1.1,2025-01-02,tested,no\n":                            "passed",
		"point,date,event,result\n1.1,2025-01-02,tested,0\n1.2,2025-01-02,tested,1\n":    "asked",
		"point,date,result\n1.1,2025-01-02,failed\n1.2,2025-01-02,passed\n":              "failed",
		"point,type,date,result\n1.1,Larch,2025-01-02,fail\n1.2,Larch,2025-01-02,pass\n": "failed",
		"point,date,result\n1.1,2025-01-02,passed\n1.2,2025-01-02,failed\n":              "passed",
		"result,point,date,event\nfailed,1.1,2025-01-02,tested\n":                        "failed",
		"point,date,event,result,remark\n1.1,2025-01-02,tested,ok,base cracked\n":        "asked",
		"point,date,event,result,remark\n1.1,2025-01-02,tested,failed,now ok\n":          "asked",
		"point,date,event,result,remark\n1.1,2025-01-02,tested,ok,near the door\n":       "passed",
		"point,date,event,result,cause\n1.1,2025-01-02,tested,ok,Kabel defekt\n":         "asked",
		"point,date,event,odd heading\n1.1,2025-01-02,tested,it is broken all right\n":   "asked",
		"point,date,event,result\n1.1,2025-01-02,cleaned,failed\n" + rest:                "asked",
		"1.1;2025-01-02;tested;nok\n1.2;2025-01-02;tested;ok\n":                          "failed",
	} {
		if got := ends(t, list); got != want {
			t.Errorf("%q is %q, want %q", list, got, want)
		}
	}
}

// failureWords are those of every table.
func failureWords() []string {
	lx := newLexicon()
	var out []string
	for word, class := range lx.verdicts {
		if class.isFailure() {
			out = append(out, word)
		}
	}
	slices.Sort(out)
	return out
}

// TestFailureNeverPasses: no cell that holds a word of failure, in any surroundings, in any of the columns that
// may say how a test went, is taken for a pass. Surroundings may deny nothing: what a denial before a fault says
// is in TestDenial.
func TestFailureNeverPasses(t *testing.T) {
	words, lx := failureWords(), newLexicon()
	known := slices.Sorted(maps.Keys(lx.verdicts))
	known = slices.DeleteFunc(known, func(w string) bool { return lx.verdicts[w] == sayWithout })
	gap := rapid.SampledFrom([]string{" ", ", ", ": ", " - ", "; ", " (", ") ", ".", "/", "\t", " – ", "! ", "\n"})
	around := rapid.OneOf(rapid.SampledFrom(known), rapid.StringMatching(`[a-zA-Z0-9äéß]{0,8}`), rapid.Just(""), rapid.SampledFrom([]string{"ok", "tested", "passed", "i.O.", "geprüft", "✓"}))
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SampledFrom(words).Draw(t, "word")
		before, after := around.Draw(t, "before"), around.Draw(t, "after")
		if end := strings.Fields(fold(before)); len(end) > 0 && lx.verdicts[end[len(end)-1]] == sayWithout {
			before = ""
		}
		switch rapid.IntRange(0, 3).Draw(t, "case") {
		case 1:
			word = strings.ToUpper(word)
		case 2:
			first, size := utf8.DecodeRuneInString(word)
			word = string(unicode.ToUpper(first)) + word[size:]
		case 3:
			word = strings.ReplaceAll(word, " ", rapid.SampledFrom([]string{".", "-", "  ", "_"}).Draw(t, "inside"))
		}
		cell := quoted(before + gap.Draw(t, "gap") + word + gap.Draw(t, "gap after") + after)
		for _, list := range []string{
			"point,date,event,by\n1.1,2025-01-02,%s,x\n" + rest,
			"point,date,event,result\n1.1,2025-01-02,tested,%s\n" + rest,
			"point,date,event,result,remark\n1.1,2025-01-02,tested,ok,%s\n",
			"point,date,event,zzz\n1.1,2025-01-02,tested,%s\n",
			"point,date,result\n1.1,2025-01-02,%s\n1.2,2025-01-02,ok\n1.3,2025-01-02,ok\n",
		} {
			if got := outcomeOf(fmt.Sprintf(list, cell)); got == string(Passed) {
				t.Fatalf("%s in %q passes", cell, list)
			}
		}
	})
}

// outcomeOf is ends without a test to fail.
func outcomeOf(list string) string {
	f, err := Open("x.csv", strings.NewReader(list), int64(len(list)), Limits{})
	if err != nil {
		return "refused"
	}
	table := f.Tables()[0]
	u, err := Understand(table, Profile{})
	if err != nil {
		return "refused"
	}
	for rec, bad := range u.Records(table) {
		if bad != nil || rec.Event == nil {
			return "refused"
		}
		return string(rec.Event.Outcome)
	}
	return "nothing"
}

// TestDenial: a denied fault is a pass only where the denial stands right before it and every other word is known.
func TestDenial(t *testing.T) {
	lx := newLexicon()
	for word, class := range lx.verdicts {
		if !class.isFailure() {
			continue
		}
		for denial, d := range lx.verdicts {
			s := lx.verdict("tested " + denial + " xyzzy " + word)
			if (d == sayNot || d == sayWithout) && !s.contrary() {
				t.Errorf("%q: %+v", "tested "+denial+" xyzzy "+word, s)
			}
		}
		if s := lx.verdict("tested, no " + word + " in the xyzzy"); !s.contrary() {
			t.Errorf("no %s in the xyzzy: %+v", word, s)
		}
	}
}

// TestVerdictTables: every phrase is written as fold leaves it, under a class that is known, once in a table.
func TestVerdictTables(t *testing.T) {
	for n, table := range verdictTables {
		owner := map[string]string{}
		eachWord(table, func(class, phrase string) {
			if fold(phrase) != phrase || phrase == "" {
				t.Errorf("table %d: %q is folded to %q", n, phrase, fold(phrase))
			}
			if !slices.Contains(gravity, verdictClass(class)) {
				t.Errorf("table %d: no class %q", n, class)
			}
			if other, ok := owner[phrase]; ok {
				t.Errorf("table %d: %q stands under %s and %s", n, phrase, other, class)
			}
			owner[phrase] = class
		})
	}
	eachWord(verdictHeadings, func(pole, heading string) {
		if fold(heading) != heading {
			t.Errorf("heading %q is folded to %q", heading, fold(heading))
		}
	})
}
