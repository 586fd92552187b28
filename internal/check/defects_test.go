package check_test

import (
	"strings"
	"testing"

	"sootline"
	"sootline/internal/check"
)

func TestDefects(t *testing.T) {
	b := sound()
	b.add(date("2026-01-15"), "hall", sootline.Tested{Failed: true, Text: "no answer"})
	b.add(date("2026-01-16"), "", sootline.Defect{Nature: sootline.Obstruction, Grade: sootline.CriticalDefect, Place: "store", Text: "racking in the beam", Needs: "racking moved"})
	b.add(date("2026-01-17"), "", sootline.Defect{Nature: sootline.OtherDefect, Grade: sootline.SeriousDefect, Text: "a door holder sticks"})
	b.add(date("2026-01-18"), "", sootline.Mended{Defect: b.entries[len(b.entries)-1].ID})
	b.add(date("2026-01-19"), "", sootline.Retested{Defect: site})
	got := map[string]sootline.Finding{}
	for _, f := range check.Register(sootline.Fold(b.entries, on), on) {
		got[f.Code+" "+f.Weight.String()] = f
	}
	for key, says := range map[string][]string{
		"defect-open serious":    {"store: obstruction (critical), racking in the beam, since 2026-01-16", "needs racking moved"},
		"defect-open warning":    {"failed test (serious), no answer, since 2026-01-15"},
		"defect-mended warning":  {"the site: other (serious), a door holder sticks, mended on 2026-01-18, not tried again yet"},
		"defect-unknown warning": {"names no defect that the site had then"},
	} {
		f, ok := got[key]
		if !ok {
			t.Errorf("no finding %q among %v", key, got)
		}
		for _, part := range says {
			if !strings.Contains(f.Reason, part) {
				t.Errorf("%s: %q lacks %q", key, f.Reason, part)
			}
		}
	}
	if len(got) != 4 {
		t.Errorf("got %d findings, want four: %v", len(got), got)
	}
	b.add(date("2026-01-20"), "hall", sootline.Tested{})
	for _, f := range check.Register(sootline.Fold(b.entries, on), on) {
		if strings.Contains(f.Reason, "failed test") {
			t.Errorf("passed, and still told: %s", f.Reason)
		}
	}
}
