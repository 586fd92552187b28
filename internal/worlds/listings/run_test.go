package listings

import (
	"strings"
	"testing"

	"sootline"
)

// An intake that refuses everything is said to refuse, with every layout in the report.
func TestRun(t *testing.T) {
	refuse := func([]sootline.Entry, string, []byte) (Outcome, error) {
		return Outcome{Exit: 3, Refused: []string{"no"}}, nil
	}
	verdicts, err := Run(refuse, 7, 700)
	if err != nil || len(verdicts) != 700 {
		t.Fatal(len(verdicts), err)
	}
	for _, v := range verdicts {
		if v.Class != Refused {
			t.Errorf("seed %d: %s", v.Seed, v)
		}
	}
	report := Report(verdicts)
	for _, name := range append(Layouts(), Formats()...) {
		if !strings.Contains(report, "| "+name+" |") {
			t.Errorf("the report has no row of %s", name)
		}
	}
	if !strings.Contains(report, "| all | 700 |") {
		t.Error("the report does not tell how many there are")
	}
}

// An exported site is a log book that reads back as it was, its chain unbroken.
func TestExport(t *testing.T) {
	l := Make(11)
	text, err := Export(l.Site)
	if err != nil {
		t.Fatal(err)
	}
	ledger, lines := sootline.Ledger{}, sootline.SplitLines(text)
	if len(lines) != len(l.Site) {
		t.Fatalf("%d lines of %d entries", len(lines), len(l.Site))
	}
	for i, text := range lines {
		e, err := sootline.ParseLine(text)
		if err != nil {
			t.Fatal(err)
		}
		if fault := ledger.Follow(text, &e); fault != nil || e.ID != l.Site[i].ID {
			t.Fatal(i, fault)
		}
	}
}
