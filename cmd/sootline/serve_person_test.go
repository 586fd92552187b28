package main

import (
	"os"
	"path/filepath"
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

// Who leaves by a list is shown first, goes at once, and no name is passed over in silence.
func TestLeaveByList(t *testing.T) {
	b := newBench(t)
	b.must("serve", "person", "invite", "C. Client", "--role", "reader")
	list := filepath.Join(t.TempDir(), "leavers.csv")
	leave := func(text string, flags ...string) answer {
		t.Helper()
		if err := os.WriteFile(list, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return b.run(append([]string{"serve", "person", "leave", "--file", list}, flags...)...)
	}
	if a := leave("C. Client\n", "--dry-run"); a.code != 0 || !strings.Contains(a.out, "C. Client would be asked in no more.\nNothing was done. Without") {
		t.Errorf("a look: %+v", a)
	}
	if a := leave("C. Client\nNobody\n", "--dry-run"); a.code != 0 || !strings.Contains(a.out, "The list would be refused") {
		t.Errorf("a look at a name that is not known: %+v", a)
	}
	if a := leave("C. Client\nNobody\n"); a.code == 0 || !strings.Contains(a.err, `nobody named "Nobody"`) {
		t.Errorf("a name that is not known: %+v", a)
	}
	if out := b.must("serve", "person", "list").out; !strings.Contains(out, "C. Client") {
		t.Errorf("the list says %s", out)
	}
	if a := leave("C. Client\nNobody\n", "--known"); a.code != 0 || !strings.Contains(a.out, "C. Client is asked in no more.") {
		t.Errorf("the known ones: %+v", a)
	}
	if out := b.must("serve", "person", "list").out; strings.Contains(out, "C. Client") {
		t.Errorf("the list says %s", out)
	}
}
