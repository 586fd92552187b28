package judge_test

import (
	"strings"
	"testing"

	"sootline/internal/judge"
)

// A yes to a value that jumps about is heard: the fault that it writes settles it, and no second one is asked for.
func TestUnsteadyIsAskedOnce(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	town.history(21, "Hall", 25, 25, 25, 24, 25, 25, 25, 31, 20, 30, 22, 32, 21, 29, 20, 31)
	q := ask(t, town.register(), judge.AskUnsteady)
	if said := q.Evidence[len(q.Evidence)-1]; !strings.Contains(said, "does its value jump about?") {
		t.Errorf("asked %q: a yes is no plain answer to it", said)
	}
	town.yes(t, q)
}
