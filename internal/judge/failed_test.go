package judge_test

import (
	"strings"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// TestFailedTestIsNotLeft: a device that rests well and did not act is not left
// alone, until it passes; a faulty one that is dirty too is cleaned, and it is said.
func TestFailedTestIsNotLeft(t *testing.T) {
	on := date("2026-02-01")
	b := &book{}
	b.sheet(alpha())
	b.fit(date("2022-01-01"))
	b.visits(date("2026-01-01"), 25, 25, 25, 25, 25)
	if j := b.judge(t, on); j.Action != judge.Leave {
		t.Fatalf("it rests well, and is to %s", j.Action)
	}
	b.add(date("2026-01-10"), sootline.Tested{Failed: true})
	if j := b.judge(t, on); j.Action != judge.LookAgain || !strings.Contains(strings.Join(j.Reasons, "; "), "failed its test on 2026-01-10, and has not passed one since") {
		t.Errorf("got %s: %q", j.Action, j.Reasons)
	}
	b.read(date("2026-01-11"), 50)
	b.read(date("2026-01-12"), 50)
	if j := b.judge(t, on); j.Action == judge.Leave || !strings.Contains(strings.Join(j.Reasons, "; "), "failed its test on 2026-01-10") {
		t.Errorf("dirty too: got %s: %q", j.Action, j.Reasons)
	}
	b = &book{entries: b.entries[:len(b.entries)-2]}
	b.add(date("2026-01-20"), sootline.Tested{})
	if j := b.judge(t, on); j.Action != judge.Leave {
		t.Errorf("it passed since, and is to %s: %q", j.Action, j.Reasons)
	}
}
