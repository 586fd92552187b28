package app

import "testing"

// sums are long and run in one goroutine: the race detector would find nothing
// in them and takes ten times as long. With -short they are left to the run
// without it.
func sums(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("long, in one goroutine: tried without -short")
	}
}
