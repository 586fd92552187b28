package app

import (
	"strings"
	"testing"
)

// What is shown is held against the rules that the site goes by; one that a fault breaks and the site did not name says so.
func TestBrokenRuleOfNoSite(t *testing.T) {
	_, _, power := shownLoop(t)
	p := power()
	if !p.Shown() || !strings.HasSuffix(p.Verdict(), "within the rules that the site goes by") || len(p.Broken) == 0 {
		t.Fatal(p.Verdict(), p.Broken)
	}
	for i := range p.Broken {
		if text := p.Broken[i].Sentence(p.Circuit); !strings.HasSuffix(text, "; the site does not say that it goes by this rule") || strings.Contains(text, "1 other faults") {
			t.Error(text)
		}
	}
}
