package main

import (
	"strings"
	"testing"
)

// Who is asked in is listed, with the sites; taking an invitation back says what
// happened; and a customer of which no site is known is told of.
func TestAskedIn(t *testing.T) {
	b := newBench(t)
	b.must("site", "add", "Works", "--loop", "1")
	says := func(want string, args ...string) {
		t.Helper()
		if out := strings.Join(strings.Fields(b.must(args...).out), " "); !strings.Contains(out, want) {
			t.Errorf("%v says %s", args, out)
		}
	}
	says("C. Client comes in there as customer of Works, once", "serve", "person", "invite", "C. Client", "--role", "customer", "--site", "Works")
	says("as customer of all sites of Nobody Ltd (none is known now), once", "serve", "person", "invite", "D. Client", "--role", "customer", "--customer", "Nobody Ltd")
	says("C. Client customer Works asked in, until ", "serve", "person", "list")
	b.must("log", "add", "opened", "--site", "Works", "--customer", "nobody ltd")
	says("D. Client customer all sites of Nobody Ltd asked in, until ", "serve", "person", "list")
	says("C. Client is asked in no more: the invitation is taken back.", "serve", "person", "remove", "C. Client")
	if out := b.must("serve", "person", "list").out; strings.Contains(out, "C. Client") {
		t.Errorf("the list says %s", out)
	}
	if a := b.run("serve", "person", "remove", "C. Client"); a.code == 0 || !strings.Contains(a.err, "the book knows nobody named") {
		t.Errorf("nobody is taken out with %d: %s", a.code, a.err)
	}
}
