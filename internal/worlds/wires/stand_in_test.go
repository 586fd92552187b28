package wires_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// standIn is a test that may fail: it keeps what it was told, and what to do at its end.
type standIn struct {
	*testing.T

	errors []string
	after  []func()
}

func (s *standIn) Errorf(format string, args ...any) {
	s.errors = append(s.errors, fmt.Sprintf(format, args...))
}

func (s *standIn) Cleanup(f func()) { s.after = append(s.after, f) }

// end does what comes at the end of a test, and gives what it failed with.
func (s *standIn) end() string {
	for i := len(s.after) - 1; i >= 0; i-- {
		s.after[i]()
	}
	return strings.Join(s.errors, "\n")
}

// caught ends a test in which somebody wrote, and wants it to have failed for that.
func (s *standIn) caught(words string) {
	s.Helper()
	if got := s.end(); !strings.Contains(got, words) {
		s.T.Errorf("a writer was not caught: %q lacks %q", got, words)
	}
}

// until waits for something, two seconds at most.
func until(t *testing.T, what string, is func() bool) {
	t.Helper()
	for begun := time.Now(); !is(); time.Sleep(2 * time.Millisecond) {
		if time.Since(begun) > 2*time.Second {
			t.Fatalf("waited in vain for %s", what)
		}
	}
}
