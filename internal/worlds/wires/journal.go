package wires

import (
	"fmt"
	"sync"
	"time"
)

// T is what a simulator needs of a test: a *testing.T, or what stands in for one.
type T interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
	Cleanup(f func())
}

// Sent is something that the program sent.
type Sent struct {
	At    time.Time
	Bytes []byte
	What  string // in words: what it is
	Write bool   // it could change something on the other side
}

// Journal keeps what the program sent.
type Journal struct {
	mu   sync.Mutex
	sent []Sent
}

// watch fails a test at its end where something in the journal could write.
func (j *Journal) watch(t T, name string) {
	t.Cleanup(func() {
		t.Helper()
		for _, s := range j.Writes() {
			t.Errorf("%s was sent what could write: %s, bytes % x", name, s.What, s.Bytes)
		}
	})
}

func (j *Journal) note(what string, write bool, b []byte) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.sent = append(j.sent, Sent{time.Now(), append([]byte(nil), b...), what, write})
}

// Sent gives all that was sent, in order.
func (j *Journal) Sent() []Sent {
	j.mu.Lock()
	defer j.mu.Unlock()
	return append([]Sent(nil), j.sent...)
}

// Writes gives what could write.
func (j *Journal) Writes() []Sent {
	var out []Sent
	for _, s := range j.Sent() {
		if s.Write {
			out = append(out, s)
		}
	}
	return out
}

// counted calls a function n times, or says where it failed.
func counted(n int, do func(i int) error) error {
	for i := range n {
		if err := do(i); err != nil {
			return fmt.Errorf("%d of %d: %w", i, n, err)
		}
	}
	return nil
}
